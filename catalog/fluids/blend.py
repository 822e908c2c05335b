"""Viscosity of a blend of two fluids. Viscosity only: additives do not blend by formula, and fluids may not mix.

Ask `stand_in.may_use` first whether the two may be put together at all.
"""

from __future__ import annotations

from enum import StrEnum
from math import exp, log, log10
from typing import Final, NamedTuple

from catalog.fluids.viscosity import ViscosityLine, two_points

VISCOSITY_ONLY: Final = "Viscosity only: not whether the additives agree, or whether the two fluids may be mixed."


class Method(StrEnum):
    """How the blend is worked out. ASTM D7152 takes the share by volume, Refutas the share by mass."""

    D7152 = "ASTM D7152"
    REFUTAS = "Refutas"


class Blend(NamedTuple):
    """The viscosity of a blend in mm²/s at the temperature of both parts, and what it does not say."""

    cst: float
    method: Method
    label: str = VISCOSITY_ONLY


def blend(cst_1: float, cst_2: float, share_1: float, *, method: Method = Method.D7152) -> Blend:
    """The viscosity of `share_1` (0 to 1) of the first fluid with the rest of the second, all at one temperature.

    Viscosities in mm²/s. The share is by volume for ASTM D7152, by mass for Refutas. Raises ValueError for a share
    outside 0 to 1 or a viscosity outside the formula (2 mm²/s and more for D7152, 0.2 for Refutas; 2e7 at most).
    """
    if not 0 <= share_1 <= 1:
        raise ValueError(f"A share is between 0 and 1; {share_1:g} was typed (for 40 % type 0.4).")
    _check(method, cst_1, cst_2)
    index = share_1 * _index(method, cst_1) + (1 - share_1) * _index(method, cst_2)
    low, high = sorted((cst_1, cst_2))
    # Rounding must not carry the blend outside its parts.
    return Blend(min(max(_inverse(method, index), low), high), method)


def blend_lines(
    first: ViscosityLine, second: ViscosityLine, share_1: float, *, method: Method = Method.D7152
) -> ViscosityLine:
    """The viscosity line of a blend: blended at 40 and at 100 °C, then drawn through both. Errors as in `blend`."""
    at_40, at_100 = (blend(first.at(temp), second.at(temp), share_1, method=method).cst for temp in (40.0, 100.0))
    return two_points(40.0, at_40, 100.0, at_100)


def _check(method: Method, *viscosities: float) -> None:
    least = 2.0 if method is Method.D7152 else 0.2
    for cst in viscosities:
        if not least <= cst <= 2e7:
            raise ValueError(
                f"{cst:g} mm²/s is outside {method}; type a viscosity from {least:g} to 20,000,000 mm²/s (cSt)."
            )


def _index(method: Method, cst: float) -> float:
    if method is Method.D7152:
        return log10(log10(cst + 0.7))
    return refutas_number(cst)


def refutas_number(cst: float) -> float:
    """The viscosity blending number of a fluid in mm²/s: 14.534 ln ln(v + 0.8) + 10.975 (Refutas; Maples 2000)."""
    return 14.534 * log(log(cst + 0.8)) + 10.975


def _inverse(method: Method, index: float) -> float:
    if method is Method.D7152:
        return float(10 ** (10**index)) - 0.7
    return exp(exp((index - 10.975) / 14.534)) - 0.8
