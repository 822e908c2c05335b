"""Orders near free freight or a minimum: bare money for what is beyond need finds the same plan, sooner."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.purchasing import cheapest
from models.purchasing.cheapest import find, make_case
from models.purchasing.demand import PlanProblem
from models.purchasing.minimum import filled_up
from models.purchasing.offers import Break, Offer, Serves, ShortLine, Supplier
from models.purchasing.orders import cost_of, goods_by_supplier
from models.purchasing.plan import Plan, plan
from models.purchasing.programme import write
from models.purchasing.solver import Ended, solve
from tests.bench.buying import TODAY, instance


def near(lines: int, suppliers: int, seed: int) -> PlanProblem:
    return make_case(*instance(lines, suppliers, seed, near=True), today=TODAY)


def names(problem: PlanProblem) -> frozenset[str]:
    return frozenset(supplier.name for supplier in problem.suppliers)


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10_000), st.integers(3, 8), st.integers(2, 3))
def test_the_plan_costs_what_it_costs_with_every_pack_written_in(seed: int, lines: int, suppliers: int) -> None:
    problem = near(lines, suppliers, seed)
    truth = solve(write(problem).programme, gap=0.5)
    money = solve(write(problem, topped=names(problem)).programme, gap=0.5)
    found = find(problem)
    assert found.bought is not None
    assert truth.ended is Ended.OPTIMAL
    assert (cost_of(problem, found.bought), found.is_proven) == (Fraction(round(truth.cost)), True)
    assert money.bound <= truth.cost + 0.01


def test_the_relaxation_is_close() -> None:
    """With money at most a third of what packs leave open between the relaxation and the least cost."""
    problem = near(30, 4, 0)
    found = find(problem, settle_ties=False)
    assert found.bought is not None
    assert found.is_proven
    least = float(cost_of(problem, found.bought))
    money = solve(write(problem, topped=names(problem)).programme, relax=True).cost
    packs = solve(write(problem).programme, relax=True).cost
    assert packs < money <= least
    assert 3 * (least - money) < least - packs


def test_a_rough_plan_before_changes_nothing_of_what_is_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = near(20, 3, 4)
    first = find(problem)
    assert first.is_proven
    monkeypatch.setattr(cheapest, "LARGE", 0)
    assert find(problem) == first


def test_what_money_reaches_and_packs_do_not_is_planned_in_packs() -> None:
    # 4 rings come to 960 and freight is free from 1000: money would make up 40, the packs there are make up 240.
    seller = Supplier("Alder", "EUR", freight=900, free_from=1000)
    ring = Offer("Alder", "P", 1, (Break(1, 240),), (Serves("ring"),))
    made = plan([ShortLine("L", "ring", 4)], [ring], [seller], today=TODAY)
    assert isinstance(made, Plan)
    assert made.total == made.bound == 1200
    assert (made.is_proven, made.ties_settled) == (True, True)


def test_money_that_packs_reach_to_the_cent_is_proven_and_ties_are_settled() -> None:
    # 2 rings come to 400; 3 come to 600, which is the minimum.
    seller = Supplier("Alder", "EUR", minimum_order=600)
    ring = Offer("Alder", "P", 1, (Break(1, 200),), (Serves("ring"),))
    made = plan([ShortLine("L", "ring", 2)], [ring], [seller], today=TODAY)
    assert isinstance(made, Plan)
    assert made.total == made.bound == 600
    assert (made.is_proven, made.ties_settled) == (True, True)


def test_orders_are_filled_up_to_free_freight_only_where_asked() -> None:
    seller = Supplier("Alder", "EUR", freight=900, free_from=1000, minimum_order=600)
    ring = Offer("Alder", "P", 1, (Break(1, 200),), (Serves("ring"),))
    problem = make_case([ShortLine("L", "ring", 2)], [ring], [seller], today=TODAY)
    filled, free = filled_up(problem, {0: 2}), filled_up(problem, {0: 2}, {"Alder"})
    assert filled is not None
    assert free is not None
    assert (goods_by_supplier(problem, filled), goods_by_supplier(problem, free)) == ({"Alder": 600}, {"Alder": 1000})


@pytest.mark.parametrize("seed", [1, 2])
def test_a_rough_plan_costs_one_percent_above_the_least_at_most(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before any search of the whole problem: its relaxation says that nothing costs much less."""
    problem = near(60, 4, seed)
    roughly: list[Fraction] = []
    rough = cheapest._rough

    def noted(*given: Any) -> Any:
        best, floor = rough(*given)
        assert best is not None
        assert cost_of(problem, best[1]) == best[0]
        roughly.append(best[0])
        return best, floor

    monkeypatch.setattr(cheapest, "LARGE", 0)
    monkeypatch.setattr(cheapest, "_rough", noted)
    monkeypatch.setattr(cheapest, "WORTH", 1.0)  # nothing after it
    found = find(problem)
    assert found.bought is not None
    assert not found.is_proven
    assert roughly == [cost_of(problem, found.bought)]
    assert found.bound < roughly[0] <= found.bound * Fraction(101, 100)
