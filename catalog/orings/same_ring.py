"""Sizes of different standards that are one ring: no reading could tell them apart.

Two sizes count as the same ring where their tolerance boxes nearly coincide: the centres differ, in ID and in width, by
at most a third of the smaller tolerance. Even a perfect instrument would then name the right one little oftener than a
coin would: two equal boxes a third of a half-width apart in both dimensions share 69 % of their area, and 24.99 × 3.53
and 25 × 3.55 share more.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from catalog.orings.sizes import RingSize, Series

SHARE = 1.0 / 3.0
# Which name leads: the standards by how widely their rings are sold, then the stocked sizes of no standard, then a
# shop's own.
LEAD = (Series.AS568, Series.METRIC, Series.JIS, Series.BS4518, Series.AFNOR, Series.STOCK, Series.OWN)
_RANK = {series: rank for rank, series in enumerate(LEAD)}


class OneRing(NamedTuple):
    """A size and the other names it goes by."""

    size: RingSize
    also: tuple[RingSize, ...]


def apart(one: RingSize, other: RingSize) -> float:
    """Distance of two sizes' centres in smaller tolerances, the larger of ID and width. Dimensionless."""
    return max(
        abs(one.id_mm - other.id_mm) / min(one.id_tol_mm, other.id_tol_mm),
        abs(one.cross_section_mm - other.cross_section_mm) / min(one.cross_section_tol_mm, other.cross_section_tol_mm),
    )


def gather(sizes: Iterable[RingSize], leading: Sequence[Series] = LEAD) -> list[OneRing]:
    """Put the sizes that are one ring together, each under its leading name, in no particular order.

    A size joins the nearest leader, so a chain of close sizes never grows past a third of a tolerance from its name.
    Only sizes of the `leading` series may lead; the others are kept only as further names.
    """
    may_lead = frozenset(leading)
    ordered = sorted((size.series not in may_lead, _RANK[size.series], size.key, size) for size in sizes)
    leaders: list[tuple[float, str]] = []  # by ID, so that only those within reach are looked at
    rings: dict[str, tuple[RingSize, list[RingSize]]] = {}
    for _, _, own_key, size in ordered:
        reach = SHARE * size.id_tol_mm
        start = bisect_left(leaders, (size.id_mm - reach, ""))
        nearest, name = SHARE, ""
        for id_mm, key in leaders[start:]:
            if id_mm > size.id_mm + reach:
                break
            distance = apart(rings[key][0], size)
            if distance <= nearest:
                nearest, name = distance, key
        if name:
            rings[name][1].append(size)
        elif size.series in may_lead:
            insort(leaders, (size.id_mm, own_key))
            rings[own_key] = (size, [])
    return [OneRing(leader, tuple(others)) for leader, others in rings.values()]
