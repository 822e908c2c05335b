"""Reorder points against worked examples in textbooks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.errors import InvalidInputError
from models.stocking.reorder import reorder_point


def test_stevenson_sand() -> None:
    """Stevenson, Operations Management, 14th ed., chapter 12, example 8.

    Usage in one lead time has mean 50 and standard deviation 5 tons, risk 3 %: z = 1.88, safety stock 9.40, ROP 59.40.
    """
    point = reorder_point(50, 1, service_level=0.97, usage_spread=5)
    assert point.z == pytest.approx(1.88, abs=0.005)
    assert point.safety == pytest.approx(9.40, abs=0.01)
    assert point.during_lead + point.safety == pytest.approx(59.40, abs=0.01)
    assert point.quantity == 60


def test_russell_taylor_carpet() -> None:
    """Russell and Taylor, Operations Management, "Reorder point with variable demand", the carpet store.

    30 yd a day, standard deviation 5 a day, lead time 10 days, service 95 %, z = 1.65: R = 30·10 + 1.65·5·√10 = 326.1.
    """
    point = reorder_point(30, 10, service_level=0.95, usage_spread=5)
    assert point.z == pytest.approx(1.65, abs=0.006)
    assert point.during_lead + point.safety == pytest.approx(326.1, abs=0.1)
    assert point.quantity == 327


def test_a_lead_time_that_varies() -> None:
    """Daily usage 5, lead time of mean 3 and standard deviation 2 days, service 95 %: σ = 5·2 = 10, reserve 16.45.

    A common exercise on variable lead time; the figures follow from the formula and z = 1.645 of the normal table.
    """
    point = reorder_point(5, 3, service_level=0.95, lead_spread=2)
    assert point.safety == pytest.approx(1.645 * 10, abs=0.01)
    assert point.quantity == 32


def test_the_reason_says_why() -> None:
    reason = reorder_point(0.2, 5, service_level=0.95, usage_spread=0.4, unit="rings").reason
    assert reason == (
        "About 6 rings are used in 30 days and a new order takes 5 days: 1 go meanwhile, "
        "and 1.47 more in reserve so that 95 % of waits end without running out. Order at 3 rings."
    )
    assert "reserve" not in reorder_point(2, 3, service_level=0.9).reason


@given(st.floats(0, 1e6), st.floats(0, 400), st.floats(0, 1e5), st.floats(0.5, 0.999))
def test_never_below_what_goes_meanwhile(usage: float, lead: float, spread: float, service: float) -> None:
    point = reorder_point(usage, lead, service_level=service, usage_spread=spread)
    assert point.quantity >= usage * lead - 1e-3
    assert reorder_point(usage, lead, service_level=0.9995, usage_spread=spread).quantity >= point.quantity


@pytest.mark.parametrize(
    ("usage", "lead", "service", "part"),
    [
        (-1.0, 1.0, 0.9, "usage a day"),
        (1.0, float("nan"), 0.9, "lead time"),
        (1.0, 1.0, 1.0, "service level"),
        (1.0, 1.0, 0.2, "service level"),
    ],
)
def test_what_can_not_be_planned(usage: float, lead: float, service: float, part: str) -> None:
    with pytest.raises(InvalidInputError, match=part):
        reorder_point(usage, lead, service_level=service)
