"""What to do when no standard size fits: the sizes on either side, and the cord that makes the ring."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from math import inf, pi
from typing import NamedTuple

from catalog.orings.sizes import RingSize

# How far a neighbour's width may be from the ring's own, in tolerances of the neighbour's width: the closest that gives
# one is taken.
WIDTH_REACH = (1.0, 2.0, 4.0, 8.0, inf)


class Neighbours(NamedTuple):
    """The nearest sizes of about the same width, with the ID below and above."""

    below: RingSize | None
    above: RingSize | None


class Cord(NamedTuple):
    """A length of cord to make a ring from, in mm. Cut length is on the mean line: π·(ID + width)."""

    width_mm: float
    cut_length_mm: float


def neighbours(id_mm: float, width_mm: float | None, sizes: Sequence[RingSize]) -> Neighbours:
    """The sizes on either side of `id_mm`, among `sizes` sorted by ID; of any width where `width_mm` is not known."""
    start = bisect_left(sizes, id_mm, key=lambda size: size.id_mm)
    return Neighbours(_first(sizes[:start][::-1], width_mm), _first(sizes[start:], width_mm))


def _first(sizes: Sequence[RingSize], width_mm: float | None) -> RingSize | None:
    for reach in WIDTH_REACH:
        for size in sizes:
            if width_mm is None or abs(size.cross_section_mm - width_mm) <= reach * size.cross_section_tol_mm:
                return size
    return None


def cord(id_mm: float, width_mm: float) -> Cord:
    """The cord for a ring of `id_mm` × `width_mm`, butt-joined."""
    return Cord(width_mm, pi * (id_mm + width_mm))
