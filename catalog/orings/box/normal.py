"""The normal distribution over arrays: what `catalog.uncertainty` has for one number."""

from __future__ import annotations

from functools import cache
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from catalog.uncertainty import SQRT_2PI, normal_between

Floats: TypeAlias = NDArray[np.float64]
Places: TypeAlias = NDArray[np.int64]
Flags: TypeAlias = NDArray[np.bool_]

_STEPS: Final = 256
"""Steps of the table a unit: four terms of Taylor's series from the nearest are then exact to double precision."""
_REACH: Final = 38.0


@cache
def _table() -> tuple[Floats, Floats]:
    """The distribution and the density at every step."""
    at = np.arange(-_REACH * _STEPS, _REACH * _STEPS + 1) / _STEPS
    below = np.array([normal_between(-1e9, z) for z in at])
    return below, np.exp(-0.5 * at * at) / SQRT_2PI


def below(z: Floats) -> Floats:
    """Probability that a standard normal variable lies below each `z`, to 1e-15 (far below, to 1e-7 of itself)."""
    table, density = _table()
    z = np.clip(z, -_REACH, _REACH)
    step = np.rint(z * _STEPS)
    at = step / _STEPS
    place = (step + _REACH * _STEPS).astype(np.int64)
    t = z - at
    square = at * at
    series = 1.0 - 0.5 * t * (at - t / 3.0 * ((square - 1.0) - 0.25 * t * at * (square - 3.0)))
    found: Floats = table[place] + density[place] * t * series
    return found


def between(low: Floats, high: Floats) -> Floats:
    """Probability that it lies between, taken from the nearer tail."""
    far = low > 0.0
    first, last = np.where(far, -high, low), np.where(far, -low, high)
    found: Floats = np.maximum(below(last) - below(first), 0.0)
    return found


def density(z: Floats) -> Floats:
    """Density of the standard normal distribution."""
    found: Floats = np.exp(-0.5 * z * z) / SQRT_2PI
    return found


def rectangle(x: tuple[Floats, Floats], y: tuple[Floats, Floats], correlation: Floats, terms: int) -> Floats:
    """As `uncertainty.normal_rectangle`."""
    (a, b), (c, d) = x, y
    total = between(a, b) * between(c, d)
    at_a, at_b, at_c, at_d = density(a), density(b), density(c), density(d)
    old_a = old_b = old_c = old_d = np.zeros_like(a)
    factor = correlation.copy()
    total += factor * (at_b - at_a) * (at_d - at_c)
    for n in range(1, terms):
        at_a, old_a = a * at_a - (n - 1) * old_a, at_a
        at_b, old_b = b * at_b - (n - 1) * old_b, at_b
        at_c, old_c = c * at_c - (n - 1) * old_c, at_c
        at_d, old_d = d * at_d - (n - 1) * old_d, at_d
        factor *= correlation / (n + 1)
        total += factor * (at_b - at_a) * (at_d - at_c)
    found: Floats = np.maximum(total, 0.0)
    return found
