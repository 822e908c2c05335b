"""What is known of a ring before it is measured: where its machine was built, what this shop has confirmed before."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.sizes import RingSize, Series
from catalog.standing import Standing


class Built(StrEnum):
    """Where the machine was built."""

    ANYWHERE = "anywhere"
    JAPAN = "japan"
    NORTH_AMERICA = "north-america"
    EUROPE = "europe"


# How common a size of each series is among the rings one meets, relative to one of another. Basis: in public lists of
# parts the inch and the JIS sizes are common; every metric ring named in words (58 of 58) had a stocked width of 1.5,
# 2, 2.5 or 3 mm, none a width that only ISO 3601-1 has; BS 4518 and the R sizes were not seen. The figures themselves
# are this project's own, no source.
COMMON: dict[Series, float] = {
    Series.AS568: 1.2,
    Series.JIS: 1.0,
    Series.STOCK: 1.0,
    Series.METRIC: 0.5,
    Series.BS4518: 0.3,
    Series.AFNOR: 0.3,
}
# What a row counts that nobody here has compared with a published table, in shares of one that was.
UNCHECKED = 0.5
# How much commoner a series is on a machine built there. Common practice, no source.
_ORIGINS: dict[Built, dict[Series, float]] = {
    Built.ANYWHERE: {},
    Built.JAPAN: {Series.JIS: 4.0, Series.BS4518: 0.3, Series.AFNOR: 0.3},
    Built.NORTH_AMERICA: {Series.AS568: 4.0, Series.BS4518: 0.3, Series.AFNOR: 0.3},
    Built.EUROPE: {Series.METRIC: 4.0, Series.STOCK: 2.0, Series.BS4518: 4.0, Series.AFNOR: 4.0, Series.JIS: 0.5},
}


def _weights(built: Built) -> Mapping[Series, float]:
    return MappingProxyType({series: common * _ORIGINS[built].get(series, 1.0) for series, common in COMMON.items()})


class Prior(NamedTuple):
    """How likely each size is before anything is measured.

    `series_weight`: how common a size of a series is, relative to another (1 where not named), an unchecked row
    counting half; `confirmed`: how often this shop has confirmed a size (by `RingSize.key`), each time counting as one
    more such ring; `none`: the share of rings of no standard.
    """

    series_weight: Mapping[Series, float] = _weights(Built.ANYWHERE)
    confirmed: Mapping[str, int] = MappingProxyType({})
    none: float = 0.05

    def weight(self, size: RingSize) -> float:
        """How likely this size is, relative to another."""
        common = self.series_weight.get(size.series, 1.0) * (UNCHECKED if size.standing is Standing.MEMORY else 1.0)
        return common + self.confirmed.get(size.key, 0)


RINGS_BEFOREHAND: Final = 2.0
"""How many rings what is known beforehand counts for, beside those found on the same machine: three rings of one
standard there outweigh it. This project's own estimate, no source."""


def prior_for(
    built: Built, confirmed: Mapping[str, int] | None = None, on_machine: Mapping[Series, float] | None = None
) -> Prior:
    """The prior for a machine built there, in a shop that has confirmed these sizes that often before.

    `on_machine`: how many rings of each series were confirmed on this machine, or are likely in a box from it (shares
    of a ring count). Rings of one machine are mostly of one standard: the shares of the series are drawn towards what
    was found there (a Dirichlet distribution whose mean is the shares known beforehand, worth `RINGS_BEFOREHAND`).
    """
    weights = _weights(built)
    if on_machine:
        weights = _drawn(weights, on_machine)
    return Prior(weights, MappingProxyType(dict(confirmed or {})))


def _drawn(weights: Mapping[Series, float], found: Mapping[Series, float]) -> Mapping[Series, float]:
    """The weights of a row of each series after these rings."""
    rows = rows_of_series(built_in())
    found = {series: rings for series, rings in found.items() if series in weights}
    mass = {series: weight * rows[series] for series, weight in weights.items()}
    whole, rings = sum(mass.values()), sum(found.values())
    shares = {
        series: (RINGS_BEFOREHAND * mass[series] / whole + found.get(series, 0)) / (RINGS_BEFOREHAND + rings)
        for series in weights
    }
    return MappingProxyType({series: share * whole / rows[series] for series, share in shares.items()})


@lru_cache(maxsize=8)
def rows_of_series(book: SizeBook) -> Mapping[Series, float]:
    """How many rows each series has, an unchecked one counting as `UNCHECKED`."""
    counted = dict.fromkeys(Series, 0.0)
    for size in book.sizes:
        counted[size.series] += UNCHECKED if size.standing is Standing.MEMORY else 1.0
    return MappingProxyType(counted)
