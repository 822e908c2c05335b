"""Numbers for screens: always both families of units, never an exponent. Costs no pint."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Final

from catalog.quantity import saybolt
from catalog.quantity.conversion import convert
from catalog.quantity.typed import SMALL_TORQUE_NM, fixed, significant
from catalog.quantity.units import BY_NAME, Kind, System, find

# The US gallon is 231 in³ and the inch 25.4 mm, both exactly: NIST SP 811 (2008), Appendix B.
LITRES_PER_US_GALLON: Final = 231 * Fraction("0.254") ** 3


# NIST SP 811 (2008), Appendix B: pound 0.453 592 37 kg, standard gravity 9.806 65 m/s², inch 25.4 mm, all exact.
N_PER_KGF: Final = Fraction("9.80665")
N_PER_LBF: Final = Fraction("4.4482216152605")
NM_PER_LBF_IN: Final = N_PER_LBF * Fraction("0.0254")
NM_PER_LBF_FT: Final = NM_PER_LBF_IN * 12
BAR_PER_PSI: Final = N_PER_LBF / Fraction("0.0254") ** 2 / 100_000
MPA_PER_KSI: Final = BAR_PER_PSI * 100
LBF_PER_KIP: Final = 1000
KIP_FROM_LBF: Final = 10_000


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


def format_torque(newton_metres: float | Fraction, *, first: str = "N·m") -> str:
    """Write a torque in both units with three significant figures: `136 N·m (100 lbf·ft)`, `4.52 N·m (40.0 lbf·in)`.

    Pound-inches below 20 N·m, pound-feet from there. `first`: any torque unit, whose family comes first.
    """
    exact = _exact(newton_metres)
    small = abs(exact) < SMALL_TORQUE_NM
    inch = f"{significant(exact / (NM_PER_LBF_IN if small else NM_PER_LBF_FT))} {'lbf·in' if small else 'lbf·ft'}"
    return _pair(f"{significant(exact)} N·m", inch, find(first, Kind.TORQUE).system)


def format_force(newtons: float | Fraction, *, first: str = "kN") -> str:
    """Write a force in both units with three significant figures: `42.4 kN (9530 lbf)`, `885 N (199 lbf)`.

    Newtons below 1 kN, kips from 10,000 lbf. `first`: any force unit, whose family comes first.
    """
    exact = _exact(newtons)
    metric = f"{significant(exact)} N" if abs(exact) < 1000 else f"{significant(exact / 1000)} kN"
    pounds = exact / N_PER_LBF
    large = abs(pounds) >= KIP_FROM_LBF
    inch = f"{significant(pounds / LBF_PER_KIP)} kip" if large else f"{significant(pounds)} lbf"
    return _pair(metric, inch, find(first, Kind.FORCE).system)


def format_pressure(bar: float | Fraction, *, first: str = "bar") -> str:
    """Write a pressure in both units with three significant figures: `207 bar (3000 psi)`."""
    exact = _exact(bar)
    return _pair(
        f"{significant(exact)} bar", f"{significant(exact / BAR_PER_PSI)} psi", find(first, Kind.PRESSURE).system
    )


def format_stress(mpa: float | Fraction) -> str:
    """Write a stress in both units with three significant figures: `580 MPa (84.1 ksi)`."""
    exact = _exact(mpa)
    return f"{significant(exact)} MPa ({significant(exact / MPA_PER_KSI)} ksi)"


def format_viscosity(cst: float, celsius: float) -> str:
    """Write a viscosity at a temperature with three significant figures: `46.0 mm²/s (214 SUS)`.

    Saybolt seconds are those of a cup at the same temperature; thinner than they reach, mm²/s stand alone.
    """
    said = f"{significant(_exact(cst))} mm²/s"
    if cst < saybolt.LEAST_CST:
        return said
    return f"{said} ({significant(saybolt.sus(cst, celsius * 1.8 + 32))} SUS)"


def _pair(metric: str, inch: str, system: System) -> str:
    return f"{metric} ({inch})" if system is System.METRIC else f"{inch} ({metric})"


def _exact(number: float | Fraction) -> Fraction:
    """Take a float for the decimal it prints as: 28.575 is meant to be 28.575, not the nearest binary fraction."""
    if isinstance(number, float) and not math.isfinite(number):
        raise ValueError(f"{number} cannot be shown as a quantity")
    return Fraction(repr(number)) if isinstance(number, float) else Fraction(number)
