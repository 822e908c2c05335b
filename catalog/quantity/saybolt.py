"""Saybolt Universal seconds (SUS, SSU) and mm²/s, by the equations of ASTM D2161.

A viscosity in SUS is how long oil takes to run out of a cup, so no factor converts it, and the cup's own temperature
counts a little: 0.67 % between 100 °F and 210 °F. Where nobody says, 100 °F is taken, which most data sheets mean.
"""

from __future__ import annotations

from typing import Final

FAHRENHEIT: Final = 100.0
LEAST_CST: Final = 1.77
LEAST_SUS: Final = 31.6
"""ASTM D2161 starts at 32 SUS, which is 1.81 mm²/s at 100 °F and 1.77 at 210 °F; a rounding lower is let in."""


def sus(cst: float, fahrenheit: float = FAHRENHEIT) -> float:
    """Saybolt Universal seconds of a viscosity in mm²/s at the same temperature (ASTM D2161, the two equations of 4.3).

    Raises ValueError below 1.77 mm²/s, where the practice does not reach.
    """
    if not cst >= LEAST_CST * (1 - 1e-9):
        raise ValueError(f"{cst:g} mm²/s is too thin for Saybolt seconds (they start at {LEAST_CST} mm²/s); use mm²/s.")
    at_100 = 4.6324 * cst + (1.0 + 0.03264 * cst) * 1e5 / (3930.2 + 262.7 * cst + 23.97 * cst**2 + 1.646 * cst**3)
    return at_100 * _by_temperature(fahrenheit)


def cst(seconds: float, fahrenheit: float = FAHRENHEIT) -> float:
    """Viscosity in mm²/s of a time in Saybolt Universal seconds, the equation of `sus` turned round.

    Raises ValueError below 32 seconds, where the practice does not reach.
    """
    if not seconds >= LEAST_SUS * (1 - 1e-9):
        raise ValueError(f"{seconds:g} SUS cannot be: Saybolt seconds start at 32; type mm²/s.")
    wanted = seconds / _by_temperature(fahrenheit)
    # `sus` rises all the way, and faster than 4.6324 a mm²/s only where the oil is thin: halving finds it.
    low, high = 1.0, wanted / 4.6324 + 1.0
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        at_100 = 4.6324 * middle + (1.0 + 0.03264 * middle) * 1e5 / (
            3930.2 + 262.7 * middle + 23.97 * middle**2 + 1.646 * middle**3
        )
        low, high = (middle, high) if at_100 < wanted else (low, middle)
    return (low + high) / 2


def _by_temperature(fahrenheit: float) -> float:
    return 1 + 0.000061 * (fahrenheit - FAHRENHEIT)
