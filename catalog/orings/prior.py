"""What is known of a ring before it is measured: where its machine was built, what this shop has confirmed before."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import NamedTuple

from catalog.orings.sizes import RingSize, Series


class Built(StrEnum):
    """Where the machine was built."""

    ANYWHERE = "anywhere"
    JAPAN = "japan"
    NORTH_AMERICA = "north-america"
    EUROPE = "europe"


# How common a size of each series is, relative to one of another. A stocked size of no standard is rarer than a
# standard one. Common practice, no source.
_WEIGHTS: dict[Built, dict[Series, float]] = {
    Built.ANYWHERE: {Series.STOCK: 0.5},
    Built.JAPAN: {Series.JIS: 4.0, Series.STOCK: 0.5, Series.BS4518: 0.3, Series.AFNOR: 0.3},
    Built.NORTH_AMERICA: {Series.AS568: 4.0, Series.STOCK: 0.5, Series.BS4518: 0.3, Series.AFNOR: 0.3},
    Built.EUROPE: {Series.METRIC: 2.0, Series.BS4518: 2.0, Series.AFNOR: 2.0, Series.JIS: 0.5},
}


class Prior(NamedTuple):
    """How likely each size is before anything is measured.

    `series_weight`: how common a size of a series is, relative to another (1 where not named); `confirmed`: how often
    this shop has confirmed a size (by `RingSize.key`), each time counting as one more such ring; `none`: the share of
    rings of no standard.
    """

    series_weight: Mapping[Series, float] = MappingProxyType(_WEIGHTS[Built.ANYWHERE])
    confirmed: Mapping[str, int] = MappingProxyType({})
    none: float = 0.05

    def weight(self, size: RingSize) -> float:
        """How likely this size is, relative to another."""
        return self.series_weight.get(size.series, 1.0) + self.confirmed.get(size.key, 0)


def prior_for(built: Built, confirmed: Mapping[str, int] | None = None) -> Prior:
    """The prior for a machine built there, in a shop that has confirmed these sizes that often before."""
    return Prior(MappingProxyType(_WEIGHTS[built]), MappingProxyType(dict(confirmed or {})))
