"""A dimension or a figure with its limits: lowest, nominal, highest."""

from __future__ import annotations

from math import isfinite
from typing import NamedTuple


class Range(NamedTuple):
    """Lowest, nominal and highest value of one dimension or figure. The nominal need not lie in the middle."""

    minimum: float
    nominal: float
    maximum: float

    def scaled(self, factor: float) -> Range:
        """The same range times a positive factor."""
        return Range(self.minimum * factor, self.nominal * factor, self.maximum * factor)

    @property
    def width(self) -> float:
        """Highest less lowest."""
        return self.maximum - self.minimum


def span(nominal: float, plus: float = 0.0, minus: float | None = None) -> Range:
    """A dimension with its ±: `span(24.9, 0.05)`, or `span(25, 0, 0.1)` for +0 / −0.1. `minus` defaults to `plus`.

    Raises ValueError when a figure is not a number or a ± is negative.
    """
    low = plus if minus is None else minus
    if not (isfinite(nominal) and isfinite(plus) and isfinite(low)):
        raise ValueError("A dimension and its ± must be numbers, for example 24.9 and 0.05.")
    if plus < 0 or low < 0:
        raise ValueError(f"The ± of {nominal:g} mm is below zero; type it without a sign, for example 0.05.")
    return Range(nominal - low, nominal, nominal + plus)


def between(minimum: float, maximum: float) -> Range:
    """A dimension printed as lowest and highest; the nominal is the middle. Raises ValueError when they are swapped."""
    if not maximum >= minimum:
        raise ValueError(f"The lowest ({minimum:g} mm) is above the highest ({maximum:g} mm); swap the two.")
    return Range(minimum, (minimum + maximum) / 2, maximum)
