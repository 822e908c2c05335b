"""Figures with their limits, as every answer tells them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, overload

import catalog

if TYPE_CHECKING:
    from catalog.orings.span import Range


@dataclass(frozen=True)
class Span:
    """Worst cases over all tolerances: the least, the nominal and the most."""

    least: float
    nominal: float
    most: float

    @property
    def all(self) -> tuple[float, float, float]:
        """The three, in order."""
        return self.least, self.nominal, self.most

    def said(self, unit: str) -> str:
        """A length in both units, with its limits where it has any."""
        nominal = catalog.quantity.both_units(self.nominal, first=unit)
        return nominal if self.most <= self.least else f"{nominal}, from {self.least:.3f} to {self.most:.3f} mm"


@overload
def span_of(value: Range) -> Span: ...
@overload
def span_of(value: Range | None) -> Span | None: ...
def span_of(value: Range | None) -> Span | None:
    """A figure of the catalog as answers tell it, to four decimals."""
    if value is None:
        return None
    return Span(round(value.minimum, 4), round(value.nominal, 4), round(value.maximum, 4))
