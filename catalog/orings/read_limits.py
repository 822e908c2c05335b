"""The least and the most that readings allow of a ring's own dimensions, for a drawing of what was measured.

Intervals, not probabilities: a reading of v ± e allows v − e to v + e, and what follows from several takes the worst
of each. Around: π·ID. Cut length: π·(ID + width), along the mean line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import pi
from typing import NamedTuple

from catalog.orings.evidence import Dimension, Reading


class Extent(NamedTuple):
    """From `least_mm` to `most_mm`. `read`: it was measured itself; else it follows from other readings."""

    least_mm: float
    most_mm: float
    read: bool = True

    @property
    def middle_mm(self) -> float:
        """Halfway between both."""
        return (self.least_mm + self.most_mm) / 2

    @property
    def plus_minus_mm(self) -> float:
        """How far either lies from the middle."""
        return (self.most_mm - self.least_mm) / 2


class ReadLimits(NamedTuple):
    """Of a ring's ID, OD, width and mean diameter (ID + width); None where the readings leave it open."""

    inside: Extent | None = None
    outside: Extent | None = None
    width: Extent | None = None
    mean: Extent | None = None


def read_limits(readings: Sequence[Reading]) -> ReadLimits:
    """What the readings allow. Of several readings of an ID or OD the surest counts; two widths both count.

    Two widths are those of a flattened section, which is as thin as one and as thick as the other.
    """
    inside = _surest([*_of(readings, Dimension.ID), *_of(readings, Dimension.AROUND, pi)])
    outside = _surest(_of(readings, Dimension.OD))
    mean = _surest(_of(readings, Dimension.CUT_LENGTH, pi))
    widths = _of(readings, Dimension.WIDTH)
    width = Extent(min(one.least_mm for one in widths), max(one.most_mm for one in widths)) if widths else None
    # Each of what follows needs two of the others; once more, for what needs one that followed.
    for _ in range(2):
        width = width or _less(outside, inside, lambda out, inner: (out - inner) / 2)
        width = width or _less(mean, inside, lambda middle, inner: middle - inner)
        width = width or _less(outside, mean, lambda out, middle: out - middle)
        mean = mean or _sum(inside, width, 1.0)
        inside = inside or _less(outside, width, lambda out, wide: out - 2 * wide)
        inside = inside or _less(mean, width, lambda middle, wide: middle - wide)
        outside = outside or _sum(inside, width, 2.0)
    return ReadLimits(inside, outside, width, mean)


def _of(readings: Sequence[Reading], dimension: Dimension, over: float = 1.0) -> list[Extent]:
    return [
        Extent(max(0.0, one.value_mm - one.plus_minus_mm) / over, (one.value_mm + one.plus_minus_mm) / over)
        for one in readings
        if one.dimension is dimension
    ]


def _surest(found: Sequence[Extent]) -> Extent | None:
    return min(found, key=lambda one: one.plus_minus_mm, default=None)


def _sum(one: Extent | None, other: Extent | None, times: float) -> Extent | None:
    if one is None or other is None:
        return None
    return Extent(one.least_mm + times * other.least_mm, one.most_mm + times * other.most_mm, read=False)


def _less(large: Extent | None, small: Extent | None, rule: Callable[[float, float], float]) -> Extent | None:
    """What `rule` makes of both, growing with the first and falling with the second; None where it could not be."""
    if large is None or small is None:
        return None
    least, most = rule(large.least_mm, small.most_mm), rule(large.most_mm, small.least_mm)
    return Extent(max(0.0, least), most, read=False) if most > 0 else None
