"""The next best measurement: the one that separates what the readings leave open."""

from __future__ import annotations

import random
from math import log2

import pytest

from catalog.orings.evidence import Dimension, Evidence, Tool
from catalog.orings.instruments import plus_minus_mm, reading
from catalog.orings.match import rank
from catalog.orings.next_measurement import next_measurement, rival
from catalog.orings.sizes import by_key


def test_after_the_id_comes_the_width() -> None:
    # Sizes of one ID come in widths 1.78 to 6.99 mm: the width separates them, the OD does so less finely.
    found = rank(Evidence((reading(Dimension.ID, 24.9),))).next_measurement
    assert found is not None
    assert found.dimension is Dimension.WIDTH


def test_after_the_width_comes_the_id() -> None:
    found = rank(Evidence((reading(Dimension.WIDTH, 3.5),))).next_measurement
    assert found is not None
    assert found.dimension is Dimension.ID


def test_a_rule_reading_is_asked_for_again_with_a_finer_tool() -> None:
    found = rank(
        Evidence((reading(Dimension.ID, 25.0, Tool.RULE), reading(Dimension.WIDTH, 3.5, Tool.RULE)))
    ).next_measurement
    assert found is not None
    assert found.tool in {Tool.CALIPER, Tool.MICROMETER}
    assert found.tool.value in found.why


def test_nothing_is_asked_where_nothing_would_be_told() -> None:
    size = by_key("as568:425")
    assert size is not None
    evidence = Evidence((reading(Dimension.ID, size.id_mm), reading(Dimension.WIDTH, size.cross_section_mm)))
    assert next_measurement(evidence, [rival(size, 1.0)]) is None


def test_the_sentence_names_what_each_ring_would_read() -> None:
    found = rank(Evidence((reading(Dimension.ID, 113.67), reading(Dimension.OD, 127.0, Tool.TAPE)))).next_measurement
    assert found is not None
    assert found.why.startswith("Measure the ")
    assert "mm means" in found.why


def test_the_expected_gain_agrees_with_a_simulation() -> None:
    # Mutual information by sampling: draw a ring by its probability, draw the reading, average log2(own / mixed).
    small, large = by_key("as568:214"), by_key("as568:215")
    assert small is not None
    assert large is not None
    evidence = Evidence((reading(Dimension.WIDTH, 3.53),))
    found = next_measurement(evidence, [rival(small, 0.5), rival(large, 0.5)])
    assert found is not None
    assert found.dimension is Dimension.ID
    dice = random.Random(7)
    limit = plus_minus_mm(Dimension.ID, Tool.CALIPER, small.id_mm)
    spreads = [((size.id_tol_mm**2 + limit**2) / 3.0) ** 0.5 for size in (small, large)]
    means = [small.id_mm, large.id_mm]
    total = 0.0
    for _ in range(20_000):
        own = dice.randrange(2)
        x = dice.gauss(means[own], spreads[own])
        from statistics import NormalDist

        densities = [NormalDist(mean, spread).pdf(x) for mean, spread in zip(means, spreads, strict=True)]
        total += log2(densities[own] / (0.5 * sum(densities)))
    assert found.bits == pytest.approx(total / 20_000, abs=0.02)
