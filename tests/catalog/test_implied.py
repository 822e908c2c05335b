"""What readings imply about ID and width, against JCGM 100 arithmetic done here by hand."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from catalog.orings.evidence import Dimension, Evidence, Reading, Tool
from catalog.orings.implied import implied


def _reading(dimension: Dimension, value: float, limit: float = 0.1) -> Reading:
    return Reading(dimension, value, limit, Tool.STATED)


def test_one_reading_of_the_id_gives_its_limit_as_a_type_b_uncertainty() -> None:
    # JCGM 100:2008, 4.3.7: limits ±a make the standard uncertainty a/√3; G.1.3: coverage factor 2 for about 95 %.
    found = implied(Evidence((_reading(Dimension.ID, 24.9),)))
    assert found.id_mm == pytest.approx(24.9)
    assert found.id_pm_mm == pytest.approx(2 * 0.1 / sqrt(3))
    assert found.width_mm is None


def test_od_and_width_give_the_id_with_their_uncertainties_combined() -> None:
    # JCGM 100:2008, 5.1.2: u²(OD - 2·width) = u²(OD) + 4·u²(width).
    found = implied(Evidence((_reading(Dimension.OD, 32.0), _reading(Dimension.WIDTH, 3.5, 0.05))))
    assert found.id_mm == pytest.approx(25.0)
    assert found.id_pm_mm == pytest.approx(2 * sqrt(0.1**2 / 3 + 4 * 0.05**2 / 3))
    assert found.width_mm == pytest.approx(3.5)


def test_around_gives_the_id_by_pi() -> None:
    found = implied(Evidence((_reading(Dimension.AROUND, 25 * pi, 1.0),)))
    assert found.id_mm == pytest.approx(25.0)
    assert found.id_pm_mm == pytest.approx(2 / sqrt(3) / pi)


def test_an_od_alone_fixes_neither() -> None:
    assert implied(Evidence((_reading(Dimension.OD, 32.0),)))[::2] == (None, None)


def test_width_alone_leaves_the_id_open() -> None:
    found = implied(Evidence((_reading(Dimension.WIDTH, 3.5),)))
    assert found.id_mm is None
    assert found.width_mm == pytest.approx(3.5)


def test_no_reading_is_refused_in_a_sentence() -> None:
    with pytest.raises(ValueError, match="no reading"):
        implied(Evidence(()))
