"""Readings that no ring can have together: a slip of the pen, or a value in the wrong field."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi
from typing import NamedTuple

from catalog.orings.evidence import Dimension, Reading

FLATTEST = 1.4
"""Common practice, no source: a section pressed out further than this is hardly measured as one any more."""
SLIP = 0.8
"""How far below what must be a reading is before it is a slip: a soft ring read across its long side, or swollen at one
reading and dry at the other, is some per cent off (common practice, no source)."""


class Contradiction(NamedTuple):
    """The reading that cannot be, and the other that says so. `why` is a clause: "the OD of a ring is larger …"."""

    wrong: Reading
    other: Reading
    why: str


def contradiction(readings: Sequence[Reading]) -> Contradiction | None:
    """The first pair of readings (mm, each with its ± limit) that no ring can have, whatever became of it; or None.

    Geometry, no source needed: OD > ID, OD > 2 × width, and a ring cut open is longer than its inner circumference;
    each only where it is missed by far. A flattened section may be `FLATTEST` times as wide as it was.
    """
    for low in readings:
        if low.dimension is not Dimension.OD and low.dimension is not Dimension.CUT_LENGTH:
            continue
        for high in readings:
            why = _why(low, high)
            if why:
                inside = [one for one in readings if one.dimension in (Dimension.ID, Dimension.AROUND)]
                width_is_wrong = high.dimension is Dimension.WIDTH and any(not _why(low, one) for one in inside)
                return Contradiction(high, low, why) if width_is_wrong else Contradiction(low, high, why)
    return None


def _why(low: Reading, high: Reading) -> str:
    """Why a ring with at least `high` (less its limit) can't have as little as `low` (with its limit); or nothing."""
    factor, why = _RULES.get((low.dimension, high.dimension), (0.0, ""))
    least = factor * (high.value_mm - high.plus_minus_mm)
    return why if low.value_mm + low.plus_minus_mm <= SLIP * least else ""


_OUTSIDE = "the outside diameter of a ring is larger than its inside diameter"
_CUT = "a ring cut open is longer than around its inside"
_RULES = {
    (Dimension.OD, Dimension.ID): (1.0, _OUTSIDE),
    (Dimension.OD, Dimension.AROUND): (1 / pi, _OUTSIDE),
    (Dimension.OD, Dimension.WIDTH): (2.0 / FLATTEST, "the outside diameter of a ring is more than twice its width"),
    (Dimension.CUT_LENGTH, Dimension.AROUND): (1.0, _CUT),
    (Dimension.CUT_LENGTH, Dimension.ID): (pi, _CUT),
}
"""What the first, an OD or a cut length, must be at least, in times the second."""
