"""The cheapest packs for a problem, proven by the kept solver; the few suppliers and the few packs among equals."""

from __future__ import annotations

import math
import time
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Final, NamedTuple

from models.errors import InvalidInputError
from models.purchasing.demand import Expiring, PlanProblem
from models.purchasing.minimum import filled_up
from models.purchasing.money import Exchange, common_rates
from models.purchasing.offers import Offer, ShortLine, Supplier, check
from models.purchasing.one_by_one import one_by_one
from models.purchasing.orders import cost_of, falls_short
from models.purchasing.pack_shares import share
from models.purchasing.programme import SOME, Written, write
from models.purchasing.solver import Ended, solve

TIE_NODES: Final = 500
"""How far the search among equally cheap plans goes; a count of steps, not of seconds, so that it always ends alike."""

LARGE: Final = 3000
"""A programme with more columns than this is first solved roughly."""

LEANS: Final = 0.85
"""From where on free freight counts as reached, in a rough plan."""


class Rough(NamedTuple):
    """A rough solution: how many columns of packs it looks at a line, how near its best it ends, its share of the time.

    The columns are those that would make the relaxation least dearer. Chosen on `tests.bench.buying`; no plan that is
    proven depends on them.
    """

    kept: int
    gap: float
    share: float


ROUGHLY: Final = (Rough(2, 0.002, 0.8), Rough(6, 0.001, 0.9))
"""The first is there soon; the second, where there is time, is some tenths of a percent cheaper."""

SPARE: Final = 0.1
"""The share of the time allowed in which the solver is not asked any more: it looks at its clock only now and then."""
LEAST_S: Final = 0.05
WORTH: Final = 0.1
"""With less than this share of the time left the whole problem is not begun: it would be read in and no more."""

FINEST: Final = Fraction(1, 100)
"""After an exchange a cost is proven to a hundredth of a minor unit; without one it is proven exactly."""


_Packs = tuple[Fraction, Mapping[int, int]]
"""What a plan costs, and its packs by offer."""


class OutOfTimeError(InvalidInputError):
    """The time allowed ended before any plan was found."""

    title = "No plan in the time allowed"


@dataclass(frozen=True, slots=True)
class Found:
    """Packs by offer and what was proven about them; `bought` None when there is no way to buy everything."""

    bought: Mapping[int, int] | None
    bound: Fraction = Fraction(0)
    is_proven: bool = False
    ties_settled: bool = False


def make_case(
    lines: Iterable[ShortLine],
    offers: Iterable[Offer],
    suppliers: Iterable[Supplier],
    *,
    today: date,
    max_suppliers: int | None = None,
    exchange: Exchange | None = None,
    expiring: Expiring = Expiring.SAY,
) -> PlanProblem:
    """Check the records, put them in order and leave out the offers no line asks for. Raises InvalidInputError."""
    in_order = tuple(sorted(lines, key=lambda line: (line.key, line.needed_by or date.max, line.line)))
    all_offers = tuple(sorted(offers, key=lambda offer: offer.where))
    all_suppliers = tuple(sorted(suppliers, key=lambda supplier: supplier.name))
    check(in_order, all_offers, all_suppliers)
    if max_suppliers is not None and max_suppliers < 1:
        raise InvalidInputError(f"At most {max_suppliers} suppliers is none.", "Allow one or more.")
    keys = {line.key for line in in_order}
    wanted = _without_twins(offer for offer in all_offers if any(each.key in keys for each in offer.serves))
    selling = {offer.supplier for offer in wanted}
    asked = tuple(supplier for supplier in all_suppliers if supplier.name in selling)
    currency, rates = common_rates((supplier.currency for supplier in asked), exchange)
    return PlanProblem(in_order, wanted, asked, currency, rates, today, expiring, max_suppliers)


def _without_twins(offers: Iterable[Offer]) -> tuple[Offer, ...]:
    """Of offers alike in everything but their number the first in name order is enough."""
    first: dict[Offer, Offer] = {}
    kept = []
    for offer in offers:
        alike = replace(offer, sku="", name="")
        if offer.available_packs is not None or first.setdefault(alike, offer) is offer:
            kept.append(offer)
    return tuple(kept)


def find(problem: PlanProblem, *, time_limit_s: float = 30.0, settle_ties: bool = True) -> Found:
    """The cheapest packs for a problem. Raises OutOfTimeError when the time ends before any were found.

    Free-freight thresholds and minimum orders are written in only where an order looks like missing one, and for the
    suppliers whose order turns out to; what is bought only to reach them is bare money at first, and packs for the
    suppliers that had to be paid so. All that can only make it cheaper. A plan that misses none, without bare money, is
    the cheapest of the whole problem. A large problem is first solved roughly, with free freight decided as its
    relaxation leans; that relaxation is a bound already. The solver is stopped `SPARE` of the time before it ends, for
    what is reckoned around it: the best plan so far is given then, at worst each line bought by itself, with the bound
    proven so far.
    """
    if not problem.lines:
        return Found({}, Fraction(0), True, True)
    ends = time.monotonic() + time_limit_s * (1 - SPARE)
    scale = _Scale.of(problem)
    names = frozenset(supplier.name for supplier in problem.suppliers)
    strict, topped = names if _looks_short(problem, scale) else frozenset(), names
    bound = Fraction(0)
    best: _Packs | None = None
    while True:
        written = write(problem, strict=strict, topped=topped)
        costs = scale.costs(problem, written)
        if strict and best is None and len(costs) > LARGE:
            rough, floor = _rough(problem, written, costs, ends)
            best = rough or _plainest(problem)
            if best is not None:
                bound = scale.bound(floor, best[0])
        left = max(LEAST_S, ends - time.monotonic())
        if best is not None and left <= max(LEAST_S, time_limit_s * WORTH):
            return Found(best[1], bound, bound == best[0])
        answer = solve(written.programme, cost=costs, gap=scale.gap, time_limit_s=left)
        if answer.ended is Ended.INFEASIBLE:
            return Found(None)
        bought: Mapping[int, int] = written.bought(answer.values) if answer.values else {}
        missing = falls_short(problem, bought) - strict
        paid = written.is_topped(answer.values) if answer.values else frozenset()
        free = frozenset(name for name in paid & written.free.keys() if answer.values[written.free[name]] > 0.5)
        made = (_made_good(problem, bought), _made_good(problem, bought, free) if free else None)
        best = _cheapest(best, *made)
        if best is not None:
            bound = max(bound, scale.bound(answer.bound, best[0]))
        is_reached = best is not None and bound == best[0]
        if not (missing or paid) or is_reached or time.monotonic() > ends:
            break
        strict, topped = strict | missing, topped - paid
    best = best or _plainest(problem)
    if best is None:
        raise OutOfTimeError(f"No plan was found in {time_limit_s:g} s.", "Allow more time or plan fewer lines.")
    cost, packs = best
    if paid:  # reached all the same by packs that come to that very value; u and t stand first in both programmes
        written, bought = write(problem, strict=strict), packs
    is_answer = not missing and bool(answer.values) and cost_of(problem, bought) == cost
    if bound < cost or not settle_ties or not is_answer:
        return Found(packs, bound, bound == cost)
    few_suppliers = answer.ended is Ended.OPTIMAL
    few_packs, fewest = _fewest_packs(problem, written, bought, answer.values, scale, ends)
    return Found(fewest, bound, True, few_suppliers and few_packs)


def _looks_short(problem: PlanProblem, scale: _Scale) -> bool:
    """Whether an order would miss its minimum or free freight if packs could be cut: a guess, quickly made."""
    if not any(supplier.minimum_order or supplier.free_from for supplier in problem.suppliers):
        return False
    written = write(problem, strict=frozenset())
    answer = solve(written.programme, cost=scale.costs(problem, written), relax=True)
    goods = written.goods(problem, answer.values) if answer.values else {}
    return any(
        SOME < goods.get(supplier.name, 0.0) < max(supplier.minimum_order, supplier.free_from or 0)
        for supplier in problem.suppliers
    )


def _plainest(
    problem: PlanProblem, among: Collection[int] | None = None, free: frozenset[str] = frozenset()
) -> _Packs | None:
    """Each line bought by itself, small orders filled up, and its cost; None when that breaks a rule.

    `among`: only of these offers; `free`: whose orders are filled up to free freight, too.
    """
    bought = one_by_one(problem, among)
    if bought is None:
        return None
    sellers = {problem.offers[offer].supplier for offer in bought}
    is_few = problem.max_suppliers is None or len(sellers) <= problem.max_suppliers
    return _made_good(problem, bought, free) if is_few else None


def _rough(problem: PlanProblem, written: Written, costs: Sequence[float], ends: float) -> tuple[_Packs | None, float]:
    """A good plan soon: suppliers and free freight as the relaxation leans, and of each line's packs the most likely.

    Which those are, the relaxation with all that decided tells best. None when there is no plan so, or no time. And
    what the relaxation costs: no whole solution costs less.
    """
    relaxed = solve(written.programme, cost=costs, relax=True, time_limit_s=max(LEAST_S, ends - time.monotonic()))
    if relaxed.ended is not Ended.OPTIMAL:
        return None, -math.inf
    fixed = {column: float(relaxed.values[column] > SOME) for column in written.used.values()}
    fixed |= {column: float(relaxed.values[column] > LEANS) for column in written.free.values()}
    leaning = replace(written.programme, low=written.programme.low.copy(), high=written.programme.high.copy())
    for column, value in fixed.items():
        leaning.low[column] = leaning.high[column] = value
    decided = solve(leaning, cost=costs, relax=True, time_limit_s=max(LEAST_S, ends - time.monotonic()))
    dearer = decided.dearer if decided.ended is Ended.OPTIMAL else relaxed.dearer
    near = sorted((dearer[term.column], term.column) for terms in written.packs.values() for term in terms)
    best: _Packs | None = None
    if decided.values:
        likely = {o for o, terms in written.packs.items() if any(decided.values[each.column] > SOME for each in terms)}
        free = frozenset(name for name, column in written.free.items() if fixed[column])
        best = _cheapest(_plainest(problem, likely), _plainest(problem, likely, free))
    for rough in ROUGHLY:
        if best is not None and time.monotonic() > ends:
            break
        programme = replace(leaning, high=leaning.high.copy())
        for _, column in near[rough.kept * len(problem.lines) :]:
            programme.high[column] = programme.low[column]
        limit_s = max(LEAST_S, (ends - time.monotonic()) * rough.share)
        values = solve(programme, cost=costs, gap=rough.gap * abs(relaxed.cost), time_limit_s=limit_s).values
        made = _made_good(problem, written.bought(values)) if values else None
        best = _cheapest(best, made)
    return best, relaxed.cost


def _cheapest(*each: _Packs | None) -> _Packs | None:
    return min((one for one in each if one is not None), key=lambda one: one[0], default=None)


def _made_good(
    problem: PlanProblem, bought: Mapping[int, int], free: frozenset[str] = frozenset()
) -> tuple[Fraction, Mapping[int, int]] | None:
    """A plan of the packs found with small orders filled up, and its cost; None when that breaks a rule.

    The orders of the suppliers in `free` are filled up to free freight.
    """
    filled = filled_up(problem, bought, free)
    if not filled:
        return None
    if problem.expiring is Expiring.REFUSE:
        shared = share(problem, filled)
        if shared.expiring.keys() - shared.unknown:
            return None
    return cost_of(problem, filled), filled


def _fewest_packs(
    problem: PlanProblem,
    written: Written,
    bought: Mapping[int, int],
    values: tuple[float, ...],
    scale: _Scale,
    ends: float,
) -> tuple[bool, Mapping[int, int]]:
    """The fewest packs for the same cost from the same suppliers."""
    programme = written.programme
    for column in (*written.used.values(), *written.free.values()):
        programme.low[column] = programme.high[column] = float(round(values[column]))
    packs = sum(bought.values())
    costs = [(packs + 1) * each * float(scale.steps) for each in programme.cost]
    for terms in written.packs.values():
        for term in terms:
            costs[term.column] += term.packs
    left = max(LEAST_S, ends - time.monotonic())
    answer = solve(programme, cost=costs, gap=0.9, most_nodes=TIE_NODES, time_limit_s=left)
    if answer.values:
        fewer = written.bought(answer.values)
        holds = cost_of(problem, fewer) == cost_of(problem, bought) and not falls_short(problem, fewer) - written.strict
        if holds and sum(fewer.values()) <= packs:
            return answer.ended is Ended.OPTIMAL, fewer
    return False, bought


@dataclass(frozen=True, slots=True)
class _Scale:
    """Costs in whole steps, times so much that the suppliers used (fewest, first names) only decide between equals."""

    steps: int
    ties: int
    suppliers: int

    @classmethod
    def of(cls, problem: PlanProblem) -> _Scale:
        finest = math.lcm(*(problem.rate(supplier).denominator for supplier in problem.suppliers))
        count = len(problem.suppliers)
        return cls(min(finest, FINEST.denominator), count * (count**2 + count) + 1, count)

    @property
    def gap(self) -> float:
        return 0.9

    def costs(self, problem: PlanProblem, written: Written) -> list[float]:
        costs = [each * self.steps * self.ties for each in written.programme.cost]
        for rank, supplier in enumerate(problem.suppliers):
            costs[written.used[supplier.name]] += self.suppliers**2 + rank
        return costs

    def bound(self, reached: float, cost: Fraction) -> Fraction:
        """The least cost proven, rounded up to a whole step and never above the cost found."""
        if not math.isfinite(reached):
            return Fraction(0)
        in_steps = Fraction(reached) / self.ties  # the ties add less than one step
        lowest = Fraction(math.ceil(in_steps - 1 + Fraction(1, 2 * self.ties)), self.steps)
        return max(Fraction(0), cost if lowest + Fraction(1, self.steps) > cost else lowest)
