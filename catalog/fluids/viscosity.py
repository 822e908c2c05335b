"""Viscosity against temperature from two measured points (ASTM D341), and the temperatures a pump can bear.

Kinematic viscosity in mm²/s (the same number as cSt), temperature in °C.
"""

from __future__ import annotations

from math import exp, isfinite, log10
from typing import Final, NamedTuple

KELVIN: Final = 273.15
MIN_CST: Final = 0.21
"""ASTM D341 in its simple form holds from here; below 2 mm²/s through the exponential term."""
MAX_CST: Final = 2e7
"""ASTM D341 holds up to here."""
EXTRAPOLATED: Final = (
    "Outside the two measured temperatures this is an estimate; near and below the pour point oil is thicker than this."
)


class ViscosityLine(NamedTuple):
    """A fluid's straight line log log Z = a - b log T (ASTM D341, logarithms to base 10, T in kelvin).

    `cold_c` and `hot_c` are the temperatures it was measured at; outside them it is extrapolated.
    """

    a: float
    b: float
    cold_c: float
    hot_c: float

    def at(self, temp_c: float) -> float:
        """The viscosity in mm²/s at a temperature in °C.

        Raises ValueError if the temperature is not above absolute zero or the result leaves 0.21 to 2e7 mm²/s.
        """
        kelvin = _kelvin(temp_c)
        power = self.a - self.b * log10(kelvin)
        if power > _TOP:
            raise ValueError(
                f"At {temp_c:g} °C the oil is thicker than {MAX_CST:.0e} mm²/s, where ASTM D341 ends: "
                "take it as solid, and type a higher temperature."
            )
        cst = _from_z(10 ** (10**power))
        if cst < MIN_CST * (1 - 1e-9):
            raise ValueError(
                f"At {temp_c:g} °C the viscosity is under {MIN_CST} mm²/s, where ASTM D341 ends; "
                "type a lower temperature."
            )
        return cst

    def temperature_for(self, cst: float) -> float:
        """The temperature in °C at which the fluid has this viscosity. Raises ValueError outside 0.21 to 2e7 mm²/s."""
        return float(10 ** ((self.a - _double_log(cst)) / self.b)) - KELVIN

    def measured_at(self, temp_c: float) -> bool:
        """Whether a temperature lies within the two measured ones; if not, show `EXTRAPOLATED`."""
        return self.cold_c <= temp_c <= self.hot_c


class Window(NamedTuple):
    """The temperatures in °C between which a fluid is thin enough to be pumped and thick enough to lubricate.

    `extrapolated` is True if either lies outside the measured temperatures.
    """

    coldest_c: float
    hottest_c: float
    extrapolated: bool


class Point(NamedTuple):
    """A point of the curve. `allowed` is whether it lies within the limits the curve was asked for."""

    temp_c: float
    cst: float
    allowed: bool
    extrapolated: bool


def two_points(temp1_c: float, cst1: float, temp2_c: float, cst2: float) -> ViscosityLine:
    """The line through two measured viscosities in mm²/s at two temperatures in °C, in either order.

    Raises ValueError if the temperatures are the same, a viscosity lies outside 0.21 to 2e7 mm²/s, or the fluid does
    not get thinner as it gets warmer. Formula: ASTM D341, with Z = v + 0.7 + exp(-1.47 - 1.84 v - 0.51 v²).
    """
    (cold, thick), (hot, thin) = sorted(((temp1_c, cst1), (temp2_c, cst2)))
    cold_k, hot_k = _kelvin(cold), _kelvin(hot)
    if hot - cold < 1:
        raise ValueError(f"Both viscosities are for {cold:g} °C; type two temperatures at least 1 °C apart.")
    thick_log, thin_log = _double_log(thick), _double_log(thin)
    if thin_log >= thick_log:
        raise ValueError(
            f"Oil gets thinner when warmer, but {thin:g} mm²/s at {hot:g} °C is not below {thick:g} at {cold:g} °C; "
            "check which reading belongs to which temperature."
        )
    b = (thick_log - thin_log) / (log10(hot_k) - log10(cold_k))
    return ViscosityLine(thick_log + b * log10(cold_k), b, cold, hot)


def window(line: ViscosityLine, min_cst: float, max_cst: float) -> Window:
    """Between which temperatures a fluid stays within a pump's limits in mm²/s.

    The coldest is the cold-start limit for `max_cst`. Raises ValueError if the limits are not in order or out of range.
    """
    if min_cst >= max_cst:
        raise ValueError(f"The least viscosity must be below the most; {min_cst:g} and {max_cst:g} mm²/s were typed.")
    coldest, hottest = line.temperature_for(max_cst), line.temperature_for(min_cst)
    return Window(coldest, hottest, not (line.measured_at(coldest) and line.measured_at(hottest)))


def curve(
    line: ViscosityLine,
    from_c: float,
    to_c: float,
    *,
    count: int = 61,
    min_cst: float | None = None,
    max_cst: float | None = None,
) -> tuple[Point, ...]:
    """Evenly spaced points for a plot, cold to hot. Points where ASTM D341 does not hold are left out.

    Raises ValueError if the temperatures are not in order or fewer than two points are asked for.
    """
    if not from_c < to_c:
        raise ValueError(f"The plot must run from cold to hot; {from_c:g} °C and {to_c:g} °C were typed.")
    if count < 2:
        raise ValueError(f"A curve needs at least two points; {count} was asked for.")
    points: list[Point] = []
    for step in range(count):
        temp = from_c + (to_c - from_c) * step / (count - 1)
        try:
            cst = line.at(temp)
        except ValueError:
            continue
        allowed = (min_cst is None or cst >= min_cst) and (max_cst is None or cst <= max_cst)
        points.append(Point(temp, cst, allowed, not line.measured_at(temp)))
    return tuple(points)


def _kelvin(temp_c: float) -> float:
    if not isfinite(temp_c) or temp_c <= -KELVIN:
        raise ValueError(f"{temp_c:g} °C is no temperature; type one in °C above -273.15.")
    return temp_c + KELVIN


def _z(cst: float) -> float:
    return cst + 0.7 + exp(-1.47 - 1.84 * cst - 0.51 * cst * cst)


def _double_log(cst: float) -> float:
    if not MIN_CST <= cst <= MAX_CST:
        raise ValueError(
            f"{cst:g} mm²/s is outside ASTM D341; type a viscosity from {MIN_CST} to 20,000,000 mm²/s (cSt)."
        )
    return log10(log10(_z(cst)))


_TOP: Final = log10(log10(MAX_CST + 0.7)) + 1e-12


def _from_z(z: float) -> float:
    """The viscosity that belongs to Z. The standard prints an approximate inverse; solving it closes the round trip."""
    cst = max(z - 0.7, 0.0)
    # The exponential fades within a few mm²/s; Newton's step converges because Z rises with v everywhere above zero.
    for _ in range(30):
        tail = exp(-1.47 - 1.84 * cst - 0.51 * cst * cst)
        step = (cst + 0.7 + tail - z) / (1 - (1.84 + 1.02 * cst) * tail)
        cst = max(cst - step, 0.0)
        if abs(step) <= 1e-13 * (1 + cst):
            break
    return cst
