"""The plan: which packs from which supplier at the least total cost, proven, beside what a plainer way would cost."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from models.purchasing.baseline import Baseline, line_by_line, single_supplier
from models.purchasing.cheapest import Found, find, make_case
from models.purchasing.demand import Expiring, PlanProblem
from models.purchasing.infeasible import NoPlan, explain
from models.purchasing.money import Exchange
from models.purchasing.offers import Offer, ShortLine, Supplier
from models.purchasing.orders import SupplierOrder, WouldExpire, cost_of, orders_from, would_expire
from models.purchasing.pack_shares import share


@dataclass(frozen=True, slots=True)
class Plan:
    """What to order. Money is in minor units of `currency`, exact (a fraction only after an exchange).

    `bound` is the proven least cost; `is_proven` says the plan reaches it (to a hundredth of a minor unit after an
    exchange). `ties_settled`: proven to have the fewest suppliers of all plans that cost the same (then the first
    names), and the fewest packs of all such plans from those suppliers. `would_expire` names every pack the shop would
    not use up in time: nothing of the kind is bought without being said.
    """

    orders: tuple[SupplierOrder, ...]
    currency: str
    total: Fraction
    bound: Fraction
    is_proven: bool
    ties_settled: bool
    would_expire: tuple[WouldExpire, ...]
    line_by_line: Baseline | None
    single_supplier: Baseline | None


def plan(
    lines: Iterable[ShortLine],
    offers: Iterable[Offer],
    suppliers: Iterable[Supplier],
    *,
    today: date,
    max_suppliers: int | None = None,
    time_limit_s: float = 30.0,
    exchange: Exchange | None = None,
    expiring: Expiring = Expiring.SAY,
    compare: bool = True,
) -> Plan | NoPlan:
    """The cheapest way to buy all lines, or which lines can't be bought and why.

    The cost is goods at the price break reached plus freight. Each order reaches its supplier's minimum; more packs
    than needed, but only of offers that serve a line, are bought where a price break, free freight or the minimum makes
    that cheaper. A line with a date is
    met only by packs that arrive by then and are still good. `compare` False leaves the two plainer ways out.

    Raises InvalidInputError for records that make no sense, CurrencyMixError for several currencies without rates,
    OutOfTimeError when `time_limit_s` ends before any plan was found, SolverMissingError without the solver.
    """
    problem = make_case(
        lines, offers, suppliers, today=today, max_suppliers=max_suppliers, exchange=exchange, expiring=expiring
    )
    ends = time.monotonic() + time_limit_s
    found = find(problem, time_limit_s=time_limit_s)
    if found.bought is None:
        return explain(problem)
    return _plan_from(problem, found, found.bought, compare, max(0.05, ends - time.monotonic()))


def _plan_from(problem: PlanProblem, found: Found, bought: Mapping[int, int], compare: bool, left_s: float) -> Plan:
    """The plan in records, all costs recomputed in whole numbers from the packs."""
    shared = share(problem, bought)
    return Plan(
        orders_from(problem, bought, shared),
        problem.currency,
        cost_of(problem, bought),
        found.bound,
        found.is_proven,
        found.ties_settled,
        would_expire(problem, shared),
        line_by_line(problem) if compare else None,
        single_supplier(problem, time_limit_s=left_s) if compare else None,
    )
