"""Type B uncertainty and the normal distribution, against the guide's own examples and published tables."""

from __future__ import annotations

from math import sqrt
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.uncertainty import gauss_legendre, limit_variance, normal_between, normal_density, standard_uncertainty


def test_limit_variance_is_the_guides_example_of_copper() -> None:
    # JCGM 100:2008, 4.3.7, example 1: error not above 0.40e-6 /°C gives u² = 53.3e-15 and u = 0.23e-6 (from memory).
    assert limit_variance(0.40e-6) == pytest.approx(53.3e-15, rel=1e-3)
    assert standard_uncertainty(0.40e-6) == pytest.approx(0.23e-6, rel=5e-3)


def test_independent_contributions_add_in_variance() -> None:
    # JCGM 100:2008, H.1 (end gauge): 25, 9.7, 2.9 and 16.6 nm combine to 32 nm (from memory). A limit of u·√3 has
    # standard uncertainty u.
    contributions = [25.0, 9.7, 2.9, 16.6]
    assert standard_uncertainty(*(value * sqrt(3.0) for value in contributions)) == pytest.approx(32.0, abs=0.5)


@given(st.floats(-30.0, 30.0), st.floats(-30.0, 30.0))
def test_normal_between_agrees_with_the_standard_library(low: float, high: float) -> None:
    normal = NormalDist()
    expected = max(normal.cdf(high) - normal.cdf(low), 0.0) if high > low else 0.0
    assert normal_between(low, high) == pytest.approx(expected, abs=1e-12)


def test_normal_between_keeps_its_accuracy_in_the_tail() -> None:
    # Abramowitz and Stegun, table 26.2: Q(5) = 2.86651571e-7; Q(6) = 9.8659e-10.
    assert normal_between(5.0, 40.0) == pytest.approx(2.86651571e-7, rel=1e-8)
    assert normal_between(-40.0, -6.0) == pytest.approx(9.8659e-10, rel=1e-4)


def test_normal_density_agrees_with_the_standard_library() -> None:
    assert normal_density(1.3) == pytest.approx(NormalDist().pdf(1.3), rel=1e-14)


def test_gauss_legendre_is_the_published_rule() -> None:
    # Abramowitz and Stegun, table 25.4, n = 5.
    rule = sorted(gauss_legendre(5))
    assert [node for node, _ in rule] == pytest.approx(
        [-0.906179845938664, -0.538469310105683, 0.0, 0.538469310105683, 0.906179845938664], abs=1e-14
    )
    assert [weight for _, weight in rule] == pytest.approx(
        [0.236926885056189, 0.478628670499366, 0.568888888888889, 0.478628670499366, 0.236926885056189], abs=1e-14
    )


@given(st.integers(2, 24))
def test_gauss_legendre_integrates_polynomials_exactly(count: int) -> None:
    power = 2 * count - 2
    assert sum(weight * node**power for node, weight in gauss_legendre(count)) == pytest.approx(2.0 / (power + 1))
