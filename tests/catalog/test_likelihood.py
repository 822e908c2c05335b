"""The density of readings, against brute force on a fine grid that shares no code with it."""

from __future__ import annotations

from math import exp, log, pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.condition import WEAR
from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.likelihood import (
    ANY_ID_MM,
    ANY_WIDTH_MM,
    any_ring_log_density,
    covariance,
    expected,
    fit,
    made_log_density,
    terms,
)


def _reading(dimension: Dimension, value: float, limit: float) -> Reading:
    return Reading(dimension, value, limit, Tool.STATED)


def _normal(miss: float, variance: float) -> float:
    return exp(-0.5 * miss * miss / variance) / sqrt(2.0 * pi * variance)


def _grid_density(evidence: Evidence, size: tuple[float, float, float, float], steps: int = 400) -> float:
    """Mean density of the readings of a new ring, cut normal over its tolerance, by the midpoint rule."""
    id_mm, id_tol, width, width_tol = size
    geometry = {"id": (1, 0), "od": (1, 2), "width": (0, 1), "around": (pi, 0), "cut_length": (pi, pi)}
    total = weight = 0.0
    for i in range(steps):
        x = id_mm + id_tol * (2.0 * (i + 0.5) / steps - 1.0)
        for j in range(steps):
            y = width + width_tol * (2.0 * (j + 0.5) / steps - 1.0)
            made = exp(-2.0 * (((x - id_mm) / id_tol) ** 2 + ((y - width) / width_tol) ** 2))
            weight += made
            density = made
            for reading in evidence.readings:
                h1, h2 = geometry[reading.dimension.value]
                density *= _normal(reading.value_mm - h1 * x - h2 * y, reading.plus_minus_mm**2 / 3.0)
            total += density
    return total / weight


@pytest.mark.parametrize(
    "readings",
    [
        (_reading(Dimension.ID, 24.9, 0.1),),
        (_reading(Dimension.WIDTH, 3.58, 0.05),),
        (_reading(Dimension.OD, 32.2, 0.1),),
        (_reading(Dimension.ID, 24.9, 0.1), _reading(Dimension.WIDTH, 3.58, 0.05)),
        (_reading(Dimension.ID, 24.8, 0.1), _reading(Dimension.OD, 32.0, 0.1)),
        (_reading(Dimension.ID, 24.9, 0.1), _reading(Dimension.WIDTH, 3.5, 0.05), _reading(Dimension.OD, 32.0, 0.2)),
        (_reading(Dimension.AROUND, 78.0, 0.6), _reading(Dimension.CUT_LENGTH, 89.8, 0.6)),
    ],
)
def test_density_of_a_new_ring_agrees_with_a_grid(readings: tuple[Reading, ...]) -> None:
    evidence = Evidence(readings, Condition.NEW)
    size = (24.99, 0.25, 3.53, 0.10)
    found = made_log_density(fit(terms(evidence), size[0], size[2]), size[1], size[3])
    assert exp(found) == pytest.approx(_grid_density(evidence, size), rel=2e-3)


def test_density_of_one_reading_is_a_cut_normal_smeared_by_a_normal() -> None:
    # The product of two normals is a normal (σ² = 1/(1/s² + 1/r²), centre weighed by precision), cut at the tolerance:
    # N(miss; 0, s² + r²) · [Φ((a-c)/σ) - Φ((-a-c)/σ)] / [Φ(2) - Φ(-2)], with s = a/2 as made, r = ±/√3 as read.
    from statistics import NormalDist

    evidence = Evidence((_reading(Dimension.ID, 25.3, 0.1),), Condition.NEW)
    half, made, read, miss = 0.25, 0.125, 0.1 / sqrt(3.0), 0.31
    sigma = 1.0 / sqrt(1.0 / made**2 + 1.0 / read**2)
    centre = miss / read**2 * sigma**2
    normal = NormalDist()
    inside = normal.cdf((half - centre) / sigma) - normal.cdf((-half - centre) / sigma)
    by_hand = _normal(miss, made**2 + read**2) * inside / (normal.cdf(2.0) - normal.cdf(-2.0))
    assert exp(made_log_density(fit(terms(evidence), 24.99, 3.53), 0.25, 0.10)) == pytest.approx(by_hand, rel=1e-9)


def test_an_od_read_by_jaws_is_taken_as_pressed_in_and_a_stated_one_is_not() -> None:
    # HANDREAD: hands press the OD of a soft ring in by 0.09 mm; whoever states a ± answers for the reading.
    jaws = Evidence((Reading(Dimension.OD, 32.0, 0.14, Tool.CALIPER),), Condition.NEW)
    stated = Evidence((Reading(Dimension.OD, 32.0, 0.14, Tool.STATED),), Condition.NEW)
    picture = Evidence((Reading(Dimension.OD, 32.0, 0.14, Tool.TAPE),), Condition.NEW)
    assert terms(jaws).values == pytest.approx((32.09,))
    assert terms(stated).values == terms(picture).values == (32.0,)


def test_wear_is_shared_by_the_readings() -> None:
    evidence = Evidence((_reading(Dimension.ID, 25.0, 0.1), _reading(Dimension.OD, 32.0, 0.1)), Condition.SWOLLEN)
    given_terms = terms(evidence)
    scale = WEAR[Condition.SWOLLEN].scale
    matrix = covariance(given_terms, 25.0, 3.5)
    # One swell moves both readings by their own size, so their covariance is scale variance times both sizes, less the
    # spread that takes from one what it adds to the other.
    spread = WEAR[Condition.SWOLLEN].spread.deviation * 3.5
    assert matrix[0][1] == pytest.approx(25.0 * 32.0 * scale.deviation**2 - spread**2)
    assert expected(given_terms, 25.0, 3.5) == pytest.approx([25.0 * (1 + scale.mean), 32.0 * (1 + scale.mean)])


def test_two_widths_of_a_flattened_ring_recover_the_section() -> None:
    # Constant area: a 3.53 mm section flattened to 3.18 mm (20 % squeeze, half of it kept as set: trade note A,
    # "used rings") grows across its free faces; both readings together lie near 3.53 mm, one alone does not.
    flat, free = 3.18, 3.53**2 / 3.18
    both = Evidence((_reading(Dimension.WIDTH, flat, 0.04), _reading(Dimension.WIDTH, free, 0.04)), Condition.FLATTENED)
    _, _, _, width = any_ring_log_density(terms(both))
    assert width == pytest.approx(3.53, abs=0.06)


def test_a_ring_of_no_standard_is_equally_likely_by_ratio() -> None:
    # A perfect reading of the ID alone: the density is that of a log-uniform ID at the reading.
    log_density, _, id_mm, _ = any_ring_log_density(
        terms(Evidence((_reading(Dimension.ID, 40.0, 0.001),), Condition.NEW))
    )
    assert exp(log_density) == pytest.approx(1.0 / (40.0 * log(ANY_ID_MM[1] / ANY_ID_MM[0])), rel=1e-9)
    assert id_mm == pytest.approx(40.0)


def test_od_and_width_of_no_standard_ring_change_variables() -> None:
    # d(ID, width) / d(OD, width) has determinant 1, so the density is the product of the two log-uniform ones.
    evidence = Evidence((_reading(Dimension.OD, 47.0, 0.001), _reading(Dimension.WIDTH, 3.5, 0.001)), Condition.NEW)
    log_density, _, _, _ = any_ring_log_density(terms(evidence))
    by_hand = 1.0 / (40.0 * log(ANY_ID_MM[1] / ANY_ID_MM[0])) / (3.5 * log(ANY_WIDTH_MM[1] / ANY_WIDTH_MM[0]))
    assert exp(log_density) == pytest.approx(by_hand, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(
    id_miss=st.floats(-0.6, 0.6),
    width_miss=st.floats(-0.2, 0.2),
    od_miss=st.floats(-0.6, 0.6),
    condition=st.sampled_from(list(Condition)),
)
def test_density_does_not_depend_on_the_order_of_readings(
    id_miss: float, width_miss: float, od_miss: float, condition: Condition
) -> None:
    readings = (
        _reading(Dimension.ID, 25.0 + id_miss, 0.1),
        _reading(Dimension.WIDTH, 3.53 + width_miss, 0.05),
        _reading(Dimension.OD, 32.05 + od_miss, 0.2),
    )
    found = [
        made_log_density(fit(terms(Evidence(order, condition)), 24.99, 3.53), 0.25, 0.10)
        for order in (readings, readings[::-1], readings[1:] + readings[:1])
    ]
    assert found[1] == pytest.approx(found[0], abs=1e-6)
    assert found[2] == pytest.approx(found[0], abs=1e-6)
