"""What a plainer way of buying would cost: line by line, and everything from the cheapest single supplier."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from fractions import Fraction

from models.purchasing.cheapest import OutOfTimeError, find
from models.purchasing.demand import PlanProblem, places_by_key, why_not
from models.purchasing.minimum import filled_up
from models.purchasing.one_by_one import one_by_one
from models.purchasing.orders import cost_of, goods_by_supplier


@dataclass(frozen=True, slots=True)
class Baseline:
    """A plainer way, its cost in minor units of the plan's currency (exact), and its suppliers in name order.

    `is_proven` False: a single supplier was searched for only as long as the time allowed.
    """

    total: Fraction
    suppliers: tuple[str, ...]
    is_proven: bool = True


def line_by_line(problem: PlanProblem) -> Baseline | None:
    """Each line by itself, at the offer that covers it for the least money, freight and other lines not looked at.

    What an earlier line left over is used first. An order below the minimum is filled up with packs of
    its cheapest offer. A limit of suppliers is not kept. None when a line can't be bought, or a minimum not reached.
    """
    bought = one_by_one(problem)
    if bought is None:
        return None
    filled = filled_up(problem, bought)
    return (
        None
        if filled is None
        else Baseline(cost_of(problem, filled), tuple(sorted(goods_by_supplier(problem, filled))))
    )


def single_supplier(problem: PlanProblem, *, time_limit_s: float) -> Baseline | None:
    """Everything from one supplier, the cheapest that has it all in time; None when no supplier has."""
    ends = time.monotonic() + time_limit_s
    best: Baseline | None = None
    is_proven = True
    for supplier in problem.suppliers:
        own = tuple(offer for offer in problem.offers if offer.supplier == supplier.name)
        serving = places_by_key(own)
        if not all(
            any(why_not(line, own[place], problem.today) is None for place in serving.get(line.key, ()))
            for line in problem.lines
        ):
            continue
        alone = replace(problem, offers=own, suppliers=(supplier,), max_suppliers=None)
        try:
            found = find(alone, time_limit_s=max(0.05, ends - time.monotonic()), settle_ties=False)
        except OutOfTimeError:
            is_proven = False
            continue
        is_proven = is_proven and (found.bought is None or found.is_proven)
        if found.bought is not None:
            cost = cost_of(alone, found.bought)
            if best is None or cost < best.total:
                best = Baseline(cost, (supplier.name,))
    return best if best is None else replace(best, is_proven=is_proven)
