"""Readings and their limits of error."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.evidence import Dimension, Tool
from catalog.orings.instruments import plus_minus_mm, reading


def test_a_stated_limit_replaces_the_tools_own() -> None:
    found = reading(Dimension.ID, 24.9, Tool.RULE, 0.1)
    assert (found.plus_minus_mm, found.tool) == (0.1, Tool.STATED)


@pytest.mark.parametrize("value", [0.0, -3.0, float("nan"), float("inf")])
def test_a_senseless_value_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="above 0"):
        reading(Dimension.ID, value)


@pytest.mark.parametrize("plus_minus", [0.0, -0.1, float("nan")])
def test_a_senseless_limit_is_refused(plus_minus: float) -> None:
    with pytest.raises(ValueError, match="give a ± above 0"):
        reading(Dimension.ID, 24.9, plus_minus=plus_minus)


@given(st.sampled_from(list(Dimension)), st.floats(0.5, 600))
def test_finer_tools_have_smaller_limits(dimension: Dimension, value: float) -> None:
    limits = [plus_minus_mm(dimension, tool, value) for tool in (Tool.MICROMETER, Tool.CALIPER, Tool.RULE, Tool.TAPE)]
    assert limits == sorted(limits)
    assert limits[0] > 0.0
