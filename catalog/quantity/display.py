"""Numbers for screens: always both families of units, never an exponent. Costs no pint."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Final

from catalog.quantity.conversion import convert
from catalog.quantity.typed import fixed
from catalog.quantity.units import BY_NAME, Kind, find

# The US gallon is 231 in³ and the inch 25.4 mm, both exactly: NIST SP 811 (2008), Appendix B.
LITRES_PER_US_GALLON: Final = 231 * Fraction("0.254") ** 3


def format_length(mm: float, unit: str, *, decimals: int | None = None) -> str:
    """Write a length of `mm` millimetres in `unit`: `24.90 mm`, `0.9803 in`.

    Decimals, unless given: 2 for mm, 3 for cm and ft, 4 for in and m, 1 for thou, none for µm. Raises `ValueError` for
    a length that is no finite number, `QuantityError` for a unit that is no length.
    """
    target = find(unit, Kind.LENGTH)
    places = decimals if decimals is not None else {"mm": 2, "cm": 3, "ft": 3, "thou": 1, "µm": 0}.get(target.name, 4)
    return f"{fixed(convert(_exact(mm), BY_NAME['mm'], target), places)} {target.name}"


def both_units(mm: float, *, first: str = "mm") -> str:
    """Write a length in both units, the session's first: `24.90 mm (0.9803 in)` or `0.9803 in (24.90 mm)`."""
    lead = find(first, Kind.LENGTH)
    return f"{format_length(mm, lead.name)} ({format_length(mm, 'in' if lead.name != 'in' else 'mm')})"


def format_volume(litres: float | Fraction, *, first: str = "L") -> str:
    """Write a volume of `litres` in litres and in US quarts, from one US gallon up also in gallons.

    `10.41 L (11.00 US qt, 2.75 US gal)`, or with the US units first `11.00 US qt, 2.75 US gal (10.41 L)`.
    """
    exact = _exact(litres)
    gallons = exact / LITRES_PER_US_GALLON
    us = f"{fixed(gallons * 4, 2)} US qt"
    if abs(gallons) >= 1:
        us += f", {fixed(gallons, 2)} US gal"
    metric = f"{fixed(exact, 2)} L"
    return f"{metric} ({us})" if find(first, Kind.VOLUME).system.value == "metric" else f"{us} ({metric})"


def _exact(number: float | Fraction) -> Fraction:
    """Take a float for the decimal it prints as: 28.575 is meant to be 28.575, not the nearest binary fraction."""
    if isinstance(number, float) and not math.isfinite(number):
        raise ValueError(f"{number} cannot be shown as a length or volume")
    return Fraction(repr(number)) if isinstance(number, float) else Fraction(number)
