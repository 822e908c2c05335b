"""A problem written as an integer programme: packs, suppliers used, free freight reached, minimum orders, price breaks.

For supplier s: u = used, t = value of goods reaches the free-freight threshold; freight costs F·(u − t). For each offer
a count of packs, one column a price break where there are several (every pack at the price of the break reached).
Cover is written in running totals where that is enough (a chain of demands), else by splitting quantities.

What is bought beyond need, only to reach a value, can be written as bare money, v, one column a supplier. In packs it
needs room for as many of any offer as reach the value alone, and then a tenth of a supplier has room for all that is
needed: the relaxation is worth little. With money each offer's room is its need. It is never dearer than the truth, for
a pack too many costs what it counts; where v is nothing it is the truth.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final, NamedTuple

from models.purchasing.demand import Expiring, PlanProblem, Pool, fits_slot, pools, usage_slots
from models.purchasing.offers import Offer
from models.purchasing.solver import INFINITY, Programme

MOST_PACKS: Final = 1_000_000
"""More packs of one offer than this are never planned."""


SOME: Final = 0.01
"""Less than this of a minor unit is the solver's rounding."""


class Term(NamedTuple):
    """A column that stands for so many packs at this price each."""

    column: int
    packs: int
    price: int


@dataclass(slots=True)
class Written:
    """The programme and where its columns stand: packs by offer, u and t by supplier.

    `unmet` has a column a line when the programme was written to find lines that can't be bought; `topped` has v, by
    supplier.
    """

    programme: Programme = field(default_factory=Programme)
    packs: dict[int, list[Term]] = field(default_factory=dict)
    used: dict[str, int] = field(default_factory=dict)
    free: dict[str, int] = field(default_factory=dict)
    unmet: dict[int, int] = field(default_factory=dict)
    topped: dict[str, int] = field(default_factory=dict)
    strict: frozenset[str] = frozenset()

    def bought(self, values: tuple[float, ...]) -> dict[int, int]:
        """Packs by offer, those of zero left out."""
        counts = {
            offer: sum(round(values[term.column]) * term.packs for term in terms) for offer, terms in self.packs.items()
        }
        return {offer: count for offer, count in counts.items() if count}

    def goods(self, problem: PlanProblem, values: tuple[float, ...]) -> dict[str, float]:
        """The value of the goods by supplier, whether the packs are whole or not."""
        goods = dict.fromkeys(self.used, 0.0)
        for offer, terms in self.packs.items():
            goods[problem.offers[offer].supplier] += sum(
                values[term.column] * term.packs * term.price for term in terms
            )
        return goods

    def is_topped(self, values: tuple[float, ...]) -> frozenset[str]:
        """The suppliers whose order reaches its value only by bare money."""
        return frozenset(name for name, column in self.topped.items() if values[column] > SOME)


def write(
    problem: PlanProblem,
    *,
    strict: frozenset[str] | None = None,
    may_leave_out: bool = False,
    held: frozenset[int] = frozenset(),
    topped: frozenset[str] = frozenset(),
) -> Written:
    """The programme of a problem; with `may_leave_out` it minimises the number of lines not bought instead of the cost.

    Suppliers outside `strict` (None: all are in it) are written as if every order reached the free-freight threshold
    and the minimum order: never dearer than the truth and much smaller. `held` are lines that may not be left out.
    The strict suppliers in `topped` reach their values by bare money too.
    """
    names = frozenset(supplier.name for supplier in problem.suppliers)
    written = Written(strict=names if strict is None else strict)
    every = pools(problem)
    if may_leave_out:
        for line in range(len(problem.lines)):
            # Of equals the last in order is left out: always the same one.
            cost = float(2 * len(problem.lines) ** 2 - line)
            written.unmet[line] = written.programme.column(0.0 if line in held else 1.0, cost=cost)
    needs = _needs(problem, every)
    _suppliers(problem, written, may_leave_out)
    _top_ups(problem, written, topped)
    for offer in sorted(needs):
        _offer(problem, written, offer, needs[offer], may_leave_out)
    for pool in every:
        _cover(problem, written, pool)
    _orders(problem, written, _counted(problem, written, every))
    return written


def _needs(problem: PlanProblem, every: tuple[Pool, ...]) -> dict[int, int]:
    """The most each offer can be of use for: the quantity of all lines it may serve."""
    needs: dict[int, int] = {}
    for pool in every:
        for demand in pool.demands:
            quantity = sum(problem.lines[line].quantity for line in demand.lines)
            for offer in demand.offers:
                needs[offer] = needs.get(offer, 0) + quantity
    return needs


def _suppliers(problem: PlanProblem, written: Written, may_leave_out: bool) -> None:
    for supplier in problem.suppliers:
        is_strict = supplier.name in written.strict
        is_free = may_leave_out or (supplier.free_from is not None and not is_strict)
        freight = 0.0 if is_free else float(supplier.freight * problem.rate(supplier))
        written.used[supplier.name] = written.programme.column(1.0, cost=freight)
        if supplier.free_from is not None and supplier.freight > 0 and is_strict and not may_leave_out:
            written.free[supplier.name] = written.programme.column(1.0, cost=-freight)


def _top_ups(problem: PlanProblem, written: Written, topped: frozenset[str]) -> None:
    for supplier in problem.suppliers:
        asked = max(supplier.minimum_order, supplier.free_from or 0)
        if asked and supplier.name in topped & written.strict:
            cost = float(problem.rate(supplier))
            written.topped[supplier.name] = written.programme.column(float(asked), cost=cost, whole=False)


class Step(NamedTuple):
    """A price break worth having: from `fewest` to `top` packs at `price` each."""

    fewest: int
    top: int
    price: int


def _steps(offer: Offer, cover: int, value: int) -> list[Step]:
    """The price breaks worth having: a dearer way to buy more packs than `cover` is left out.

    `value` is the most that the supplier's minimum order or free freight could ask for. A break is left out when a
    smaller count covers the need, reaches that value by itself and costs no more than the break's fewest packs.
    """
    tops = [following.min_packs - 1 for following in offer.breaks[1:]] + [MOST_PACKS]
    every = [Step(each.min_packs, top, each.price) for each, top in zip(offer.breaks, tops, strict=True)]
    kept = every[:1]
    for each in every[1:]:
        low = kept[-1]
        reach = _reach(value, low.price) if low.price or not value else MOST_PACKS
        enough = max(cover, low.fewest, reach)
        if enough > low.top or enough * low.price > each.fewest * each.price:
            kept.append(each)
    return kept


def _bounds(offer: Offer, steps: Sequence[Step], cover: int, minimum: int, threshold: int) -> tuple[int, int]:
    """The most packs worth buying without, and with, reaching for free freight.

    Beyond cover, the last price break and the value asked for, one pack fewer is never dearer and breaks nothing.
    """
    last = steps[-1]
    plain = max(cover, last.fewest, _reach(minimum, last.price))
    most = max(plain, _reach(threshold, last.price))
    had = MOST_PACKS if offer.available_packs is None else offer.available_packs
    return min(plain, had, last.top), min(most, had, last.top)


def _reach(value: int, price: int) -> int:
    return -(-value // price) if price else 0


def _offer(problem: PlanProblem, written: Written, place: int, need: int, may_leave_out: bool) -> None:
    """Columns of one offer. A break that starts above one pack is a yes-or-no for its fewest packs, and more packs."""
    offer = problem.offers[place]
    supplier = next(each for each in problem.suppliers if each.name == offer.supplier)
    programme, used, free = written.programme, written.used[supplier.name], written.free.get(supplier.name)
    cover = -(-need // offer.pack_quantity)
    in_packs = supplier.name in written.strict and supplier.name not in written.topped
    minimum = supplier.minimum_order if in_packs else 0
    threshold = supplier.free_from or 0 if in_packs and free is not None else 0
    steps = _steps(offer, cover, max(minimum, threshold))
    plain, most = _bounds(offer, steps, cover, minimum, threshold)
    rate = Fraction(0) if may_leave_out else problem.rate(supplier)
    terms = written.packs.setdefault(place, [])
    reaching = [(free, -float(most - plain))] if free is not None and most > plain else []
    flags = []
    for step in steps:
        top = min(step.top, most)
        if step.fewest > most:
            continue
        if len(steps) == 1 and step.fewest == 1:
            terms.append(Term(programme.column(float(top), cost=float(step.price * rate)), 1, step.price))
            continue
        flag = programme.column(1.0, cost=float(step.fewest * step.price * rate))
        flags.append((flag, 1.0))
        terms.append(Term(flag, step.fewest, step.price))
        if top > step.fewest:
            more = programme.column(float(top - step.fewest), cost=float(step.price * rate))
            terms.append(Term(more, 1, step.price))
            programme.row([(more, 1.0), (flag, -float(top - step.fewest))], high=0.0)
            useful = max(plain - step.fewest, 0)
            if reaching and top - step.fewest > useful:
                programme.row([(more, 1.0), (flag, -float(useful)), *reaching], high=0.0)
    if flags:
        programme.row([*flags, (used, -1.0)], high=0.0)
    if any(plain > term.packs for term in terms) or reaching or not flags:
        programme.row(
            [*((term.column, float(term.packs)) for term in terms), (used, -float(plain)), *reaching], high=0.0
        )


def _cover(problem: PlanProblem, written: Written, pool: Pool) -> None:
    refuses = problem.expiring is Expiring.REFUSE and any(
        problem.offers[offer].shelf_life_days is not None for offer in pool.offers
    )
    if pool.is_chain and not refuses:
        _running_totals(problem, written, pool)
    else:
        _split(problem, written, pool, refuses)


def _unmet_terms(problem: PlanProblem, written: Written, lines: tuple[int, ...]) -> list[tuple[int, float]]:
    return [(written.unmet[line], float(problem.lines[line].quantity)) for line in lines if line in written.unmet]


def _running_totals(problem: PlanProblem, written: Written, pool: Pool) -> None:
    lines: tuple[int, ...] = ()
    for demand, following in zip(pool.demands, [*pool.demands[1:], None], strict=True):
        lines += demand.lines
        if following is not None and following.offers == demand.offers:
            continue
        need = sum(problem.lines[line].quantity for line in lines)
        sizes = {
            term.column: min(term.packs * problem.offers[offer].pack_quantity, need)
            for offer in sorted(demand.offers)
            for term in written.packs[offer]
        }
        unmet = _unmet_terms(problem, written, lines)
        rows = [(sizes, need)] if unmet or not sizes else [_reduced(sizes, need), *_rounded(*_reduced(sizes, need))]
        for factors, low in rows:
            terms = [(column, float(size)) for column, size in factors.items()]
            written.programme.row([*terms, *unmet], low=float(low))


def _reduced(sizes: dict[int, int], need: int) -> tuple[dict[int, int], int]:
    """The same cover in whole packs with what all sizes share divided out and the need rounded up."""
    common = math.gcd(*sizes.values())
    least = -(-need // common)
    return {column: min(size // common, least) for column, size in sizes.items()}, least


def _rounded(sizes: dict[int, int], need: int) -> list[tuple[dict[int, int], int]]:
    """Cover as it must hold for whole packs, for each size as the unit: mixed-integer rounding of the cover row.

    With unit d and rest r = need − d·(⌈need/d⌉ − 1): Σ (r·⌊a/d⌋ + min(r, a mod d))·x ≥ r·⌈need/d⌉ for every whole x
    (Nemhauser and Wolsey, Integer and Combinatorial Optimization, II.1.7). It makes the relaxation several times
    closer, so that far less is left to search.
    """
    rows = []
    for unit in sorted({size for size in sizes.values() if 1 < size < need}):
        most = -(-need // unit)
        rest = need - unit * (most - 1)
        rows.append(({c: rest * (size // unit) + min(rest, size % unit) for c, size in sizes.items()}, rest * most))
    return rows


def _split(problem: PlanProblem, written: Written, pool: Pool, refuses: bool) -> None:
    """Quantities from each offer to each demand, and, for packs that expire, to what the shop uses in time."""
    programme = written.programme
    from_offer: dict[int, list[tuple[int, float]]] = {offer: [] for offer in pool.offers}
    for demand in pool.demands:
        need = sum(problem.lines[line].quantity for line in demand.lines)
        to_demand = []
        for offer in sorted(demand.offers):
            column = programme.column(float(need), whole=False)
            from_offer[offer].append((column, 1.0))
            to_demand.append((column, 1.0))
        programme.row([*to_demand, *_unmet_terms(problem, written, demand.lines)], low=float(need), high=float(need))
    if refuses:
        for slot in usage_slots(problem, pool):
            into = []
            for offer in pool.offers:
                if fits_slot(problem.offers[offer], slot, problem.today):
                    column = programme.column(INFINITY, whole=False)
                    from_offer[offer].append((column, 1.0))
                    into.append((column, 1.0))
            if slot.quantity is not None:
                programme.row(into, high=float(slot.quantity))
    for offer, terms in from_offer.items():
        size = problem.offers[offer].pack_quantity
        packs = [(term.column, -float(size * term.packs)) for term in written.packs[offer]]
        all_used = refuses and problem.offers[offer].shelf_life_days is not None
        programme.row([*terms, *packs], low=0.0 if all_used else -INFINITY, high=0.0)


def _counted(problem: PlanProblem, written: Written, every: Sequence[Pool]) -> dict[str, list[tuple[int, float]]]:
    """What each pool's goods count towards free freight, for suppliers whose orders are topped up with money.

    At most what one offer that covers the whole pool costs: more of them can be replaced by it and by money for the
    rest. So, where freight is free in part, goods count in that part at most. That is not so where expiring packs are
    refused, for the one offer may expire.
    """
    counted: dict[str, list[tuple[int, float]]] = {name: [] for name in written.free if name in written.topped}
    for pool in every:
        by_supplier: dict[str, list[int]] = {}
        for place in pool.offers:
            by_supplier.setdefault(problem.offers[place].supplier, []).append(place)
        for name in counted.keys() & by_supplier.keys():
            places = by_supplier[name]
            goods = [(term.column, term.packs * term.price) for place in places for term in written.packs[place]]
            enough = [cost for place in places if (cost := _cost_of_all(problem, pool, place)) is not None]
            if not enough or problem.expiring is Expiring.REFUSE:
                counted[name] += [(column, float(value)) for column, value in goods]
                continue
            most = float(min(enough))
            part = written.programme.column(most, whole=False)
            counted[name].append((part, 1.0))
            written.programme.row([(part, 1.0), (written.free[name], -most)], high=0.0)
            written.programme.row([(part, 1.0), *((column, -float(value)) for column, value in goods)], high=0.0)
    return counted


def _cost_of_all(problem: PlanProblem, pool: Pool, place: int) -> int | None:
    """What covering the whole pool by this offer alone costs; None where it can't."""
    offer = problem.offers[place]
    if any(place not in demand.offers for demand in pool.demands):
        return None
    need = sum(problem.lines[line].quantity for demand in pool.demands for line in demand.lines)
    packs = max(-(-need // offer.pack_quantity), offer.breaks[0].min_packs)
    return None if offer.available_packs is not None and packs > offer.available_packs else offer.cost_of(packs)


def _orders(problem: PlanProblem, written: Written, counted: Mapping[str, list[tuple[int, float]]]) -> None:
    """Minimum orders, free freight and the number of suppliers."""
    programme = written.programme
    values: dict[str, list[tuple[int, float]]] = {supplier.name: [] for supplier in problem.suppliers}
    for offer, terms in written.packs.items():
        record = problem.offers[offer]
        values[record.supplier].extend((term.column, float(term.packs * term.price)) for term in terms)
    for supplier in problem.suppliers:
        used, value = written.used[supplier.name], values[supplier.name]
        money = [(written.topped[supplier.name], 1.0)] if supplier.name in written.topped else []
        if supplier.minimum_order and supplier.name in written.strict:
            programme.row([*value, *money, (used, -float(supplier.minimum_order))], low=0.0)
        if supplier.name in written.free:
            free = written.free[supplier.name]
            reached = counted.get(supplier.name, value)
            programme.row([*reached, *money, (free, -float(supplier.free_from or 0))], low=0.0)
            programme.row([(free, 1.0), (used, -1.0)], high=0.0)
    if problem.max_suppliers is not None:
        programme.row([(used, 1.0) for used in written.used.values()], high=float(problem.max_suppliers))
