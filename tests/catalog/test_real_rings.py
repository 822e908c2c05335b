"""Ninety hand readings of ten real rings of one lot, labelled 15.8 × 2.4 (JIS B 2401 P16).

Source: the open data set tbazina/dimension-visual-inspection, folder measurement_analysis: three persons measured ID,
OD and width of each ring three times. One size and one lot: a guard, not a target.
"""

from __future__ import annotations

import csv
from math import log
from pathlib import Path
from statistics import fmean

import pytest

from catalog.orings.decide import decide
from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.instruments import reading
from catalog.orings.match import Ranking, rank

ROWS = list(csv.DictReader((Path(__file__).parent / "data" / "real_rings.csv").open(encoding="utf-8")))
TRUE = "jis:P16"


def _ranked(row: dict[str, str], dimensions: tuple[Dimension, ...], tool: Tool, look: Condition) -> Ranking:
    readings = tuple(reading(one, float(row[f"{one}_mm"]), tool) for one in dimensions)
    return rank(Evidence(readings, look), limit=100)


def _chance(ranking: Ranking) -> float:
    found = [one for one in ranking.matches if TRUE in {size.key for size in (one.size, *one.also)}]
    return found[0].probability if found else 1e-9


ID, OD, WIDTH = Dimension.ID, Dimension.OD, Dimension.WIDTH


@pytest.mark.parametrize("tool", [Tool.CALIPER, Tool.MICROMETER])
@pytest.mark.parametrize(
    ("dimensions", "least"),
    [((ID, WIDTH), -0.35), ((ID, OD, WIDTH), -0.35), ((OD, WIDTH), -0.45)],
)
def test_the_true_size_is_likely(dimensions: tuple[Dimension, ...], least: float, tool: Tool) -> None:
    found = [_chance(_ranked(row, dimensions, tool, Condition.NEW)) for row in ROWS]
    assert len(found) == 90
    assert fmean(map(log, found)) >= least


@pytest.mark.parametrize("look", list(Condition))
@pytest.mark.parametrize("tool", [Tool.CALIPER, Tool.MICROMETER])
def test_readings_of_a_healthy_ring_are_never_called_those_of_two(tool: Tool, look: Condition) -> None:
    assert not [row for row in ROWS if _ranked(row, (ID, OD, WIDTH), tool, look).conflict is not None]


@pytest.mark.parametrize("look", [Condition.NEW, Condition.NOT_SAID])
def test_the_ring_to_fit_is_the_size_on_the_label(look: Condition) -> None:
    # As a caliper reads it by ID and width, new rings; where the look is not said, one ring in ten may be named wrong.
    best = [decide(_ranked(row, (ID, WIDTH), Tool.CALIPER, look)).best for row in ROWS]
    right = sum(one is not None and one.size.key == TRUE for one in best)
    assert right >= (90 if look is Condition.NEW else 81)
