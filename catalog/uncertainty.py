"""What a stated limit of error says: standard uncertainties (JCGM 100, Type B) and the normal distribution.

A limit ±a with nothing else known is a uniform distribution of half-width a, whose variance is a²/3
(JCGM 100:2008, 4.3.7). Independent contributions add in variance (JCGM 100:2008, 5.1.2).
"""

from __future__ import annotations

from functools import cache
from math import cos, erf, erfc, exp, pi, sqrt
from typing import Final

SQRT_2 = sqrt(2.0)
SQRT_2PI = sqrt(2.0 * pi)


def limit_variance(limit: float) -> float:
    """Variance of a quantity known to lie within ±`limit`, all values equally likely (JCGM 100:2008, 4.3.7)."""
    return limit * limit / 3.0


def standard_uncertainty(*limits: float) -> float:
    """Combined standard uncertainty of independent limits ±a of one quantity, in the unit of the limits."""
    return sqrt(sum(limit_variance(limit) for limit in limits))


def normal_density(z: float) -> float:
    """Density of the standard normal distribution at `z`."""
    return exp(-0.5 * z * z) / SQRT_2PI


def normal_between(low: float, high: float) -> float:
    """Probability that a standard normal variable lies between `low` and `high` (0 where `high` <= `low`).

    Taken from the nearer tail, so that narrow intervals far out keep their relative accuracy.
    """
    if high <= low:
        return 0.0
    if low > 0.0:
        return 0.5 * (erfc(low / SQRT_2) - erfc(high / SQRT_2))
    if high < 0.0:
        return 0.5 * (erfc(-high / SQRT_2) - erfc(-low / SQRT_2))
    return 0.5 * (erf(high / SQRT_2) - erf(low / SQRT_2))


def rectangle_terms(correlation: float) -> int:
    """How many terms `normal_rectangle` needs to be exact to 3e-8; 0 where they would be too many.

    Term n is at most 0.64·|ρ|ⁿ/n, for the derivatives of the normal distribution are bounded.
    """
    size = abs(correlation)
    return next((terms for most, terms in RECTANGLE_TERMS if size <= most), 0)


RECTANGLE_TERMS: Final = ((0.06, 5), (0.15, 7), (0.35, 13))
"""Up to which correlation so many terms do."""


def normal_rectangle(x: tuple[float, float], y: tuple[float, float], correlation: float, terms: int) -> float:
    """Probability that two standard normal variables with this correlation both lie in their interval.

    The tetrachoric series (K. Pearson 1900): the sum over n of ρⁿ/n! times the n-th derivatives of the distribution,
    each taken between the limits; the derivatives are Hermite polynomials times the density.
    """
    (a, b), (c, d) = x, y
    total = normal_between(a, b) * normal_between(c, d)
    # Hermite polynomial times density at each limit: of this degree, and of the one before.
    at_a, at_b, at_c, at_d = normal_density(a), normal_density(b), normal_density(c), normal_density(d)
    old_a = old_b = old_c = old_d = 0.0
    factor = correlation
    total += factor * (at_b - at_a) * (at_d - at_c)
    for n in range(1, terms):
        at_a, old_a = a * at_a - (n - 1) * old_a, at_a
        at_b, old_b = b * at_b - (n - 1) * old_b, at_b
        at_c, old_c = c * at_c - (n - 1) * old_c, at_c
        at_d, old_d = d * at_d - (n - 1) * old_d, at_d
        factor *= correlation / (n + 1)
        total += factor * (at_b - at_a) * (at_d - at_c)
    return max(total, 0.0)


@cache
def gauss_legendre(count: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights of the `count`-point Gauss-Legendre rule on [-1, 1].

    Newton's method on the Legendre polynomial, started from the usual cosine approximation of its roots.
    """
    rule = []
    for index in range(count):
        node = cos(pi * (index + 0.75) / (count + 0.5))
        slope = 1.0
        for _ in range(50):
            last, value = 1.0, node
            for degree in range(2, count + 1):
                last, value = value, ((2 * degree - 1) * node * value - (degree - 1) * last) / degree
            slope = count * (node * value - last) / (node * node - 1.0)
            step = value / slope
            node -= step
            if abs(step) < 1e-15:
                break
        rule.append((node, 2.0 / ((1.0 - node * node) * slope * slope)))
    return tuple(rule)
