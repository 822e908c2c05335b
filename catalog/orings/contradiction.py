"""Readings that no ring can have together: a slip of the pen, or a value in the wrong field."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi
from typing import NamedTuple

from catalog.orings.evidence import Dimension, Reading

FLATTEST = 1.4
"""Common practice, no source: a section pressed out further than this is hardly measured as one any more."""


class Contradiction(NamedTuple):
    """The reading that cannot be, and the other that says so. `why` is a clause: "the OD of a ring is larger …"."""

    wrong: Reading
    other: Reading
    why: str


def contradiction(readings: Sequence[Reading]) -> Contradiction | None:
    """The first pair of readings (mm, each with its ± limit) that no ring can have, whatever became of it; or None.

    Geometry, no source needed: OD > ID, OD > 2 × width, and a ring cut open is longer than its inner circumference. A
    flattened section may be `FLATTEST` times as wide as it was.
    """
    for wrong in readings:
        for other in readings:
            why = _why(wrong, other)
            if why:
                return Contradiction(wrong, other, why)
    return None


def _why(wrong: Reading, other: Reading) -> str:
    pair = (wrong.dimension, other.dimension)
    most, least = wrong.value_mm + wrong.plus_minus_mm, other.value_mm - other.plus_minus_mm
    if pair == (Dimension.OD, Dimension.ID) and most <= least:
        return "the outside diameter of a ring is larger than its inside diameter"
    if pair == (Dimension.OD, Dimension.AROUND) and most <= least / pi:
        return "the outside diameter of a ring is larger than its inside diameter"
    if pair == (Dimension.OD, Dimension.WIDTH) and most <= 2.0 * least / FLATTEST:
        return "the outside diameter of a ring is more than twice its width"
    if pair == (Dimension.CUT_LENGTH, Dimension.AROUND) and most <= least:
        return "a ring cut open is longer than around its inside"
    if pair == (Dimension.CUT_LENGTH, Dimension.ID) and most <= pi * least:
        return "a ring cut open is longer than around its inside"
    return ""
