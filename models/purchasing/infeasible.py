"""Why not everything can be bought: which lines, and which rule would have to give way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from models.purchasing.demand import Expiring, PlanProblem, Why, why_not
from models.purchasing.money import written as money
from models.purchasing.offers import ShortLine
from models.purchasing.programme import write
from models.purchasing.solver import Ended, solve


@dataclass(frozen=True, slots=True)
class CannotBuy:
    """A line that can't be bought with the others, why, and the reason in a sentence."""

    line: str
    why: Why
    reason: str


@dataclass(frozen=True, slots=True)
class NoPlan:
    """There is no way to buy everything. Without the lines in `cannot` the others, in `rest`, can be bought."""

    cannot: tuple[CannotBuy, ...]
    rest: tuple[str, ...]


_RANK = (Why.EXPIRES_FIRST, Why.ARRIVES_TOO_LATE, Why.OUT_OF_STOCK, Why.NO_OFFER)


def explain(problem: PlanProblem) -> NoPlan:
    """Say which lines can't be bought: those that no offer serves, and the fewest others that must be left out.

    For the others one rule after the other is lifted; the first that lets the line in beside the rest is the reason.
    """
    alone = [cannot for line in problem.lines if (cannot := _by_itself(problem, line))]
    names = {cannot.line for cannot in alone}
    possible = replace(problem, lines=tuple(line for line in problem.lines if line.line not in names))
    left_out = _left_out(possible, frozenset()) or frozenset()
    together = [_together(possible, place, left_out) for place in sorted(left_out)]
    names |= {cannot.line for cannot in together}
    in_order = sorted([*alone, *together], key=lambda cannot: cannot.line)
    return NoPlan(tuple(in_order), tuple(sorted(line.line for line in problem.lines if line.line not in names)))


def _left_out(problem: PlanProblem, held: frozenset[int]) -> frozenset[int] | None:
    """The fewest lines to leave out so that the rest can be bought; None when the `held` ones can't be."""
    written = write(problem, may_leave_out=True, held=held)
    answer = solve(written.programme, gap=0.0)
    if answer.ended is Ended.INFEASIBLE or not answer.values:
        return None
    return frozenset(line for line, column in written.unmet.items() if round(answer.values[column]))


def _by_itself(problem: PlanProblem, line: ShortLine) -> CannotBuy | None:
    """The reason a line can't be bought whatever else is bought."""
    serving = [offer for offer in problem.offers if any(each.key == line.key for each in offer.serves)]
    reasons = {offer: why_not(line, offer, problem.today) for offer in serving}
    able = [offer for offer, why in reasons.items() if why is None]
    if able:
        if any(offer.available_packs is None for offer in able):
            return None
        had = sum(offer.pack_quantity * (offer.available_packs or 0) for offer in able)
        if had >= line.quantity:
            return None
        return CannotBuy(
            line.line, Why.TOO_FEW_PACKS, f"{line.called}: {line.quantity} needed, all suppliers together have {had}."
        )
    why = next((each for each in _RANK if each in reasons.values()), Why.NO_OFFER)
    if why is Why.ARRIVES_TOO_LATE:
        dates = sorted(
            day for offer, each in reasons.items() if each is why and (day := offer.arrives(problem.today)) is not None
        )
        comes = f"the earliest comes on {dates[0]}" if dates else "its delivery time is not known"
        return CannotBuy(line.line, why, f"{line.called}: needed by {line.needed_by}, {comes}.")
    said = {
        Why.NO_OFFER: "no supplier offers it.",
        Why.OUT_OF_STOCK: "every supplier that sells it is out of stock.",
        Why.EXPIRES_FIRST: f"what could be bought expires before {line.needed_by}.",
    }
    return CannotBuy(line.line, why, f"{line.called}: {said[why]}")


def _together(problem: PlanProblem, place: int, left_out: frozenset[int]) -> CannotBuy:
    line = problem.lines[place]
    held = frozenset(range(len(problem.lines))) - left_out | {place}
    for why, lift, reason in _RULES:
        lifted = lift(problem)
        if lifted != problem and _left_out(lifted, held) is not None:
            return CannotBuy(line.line, why, f"{line.called}: {reason(problem, line)}")
    return CannotBuy(line.line, Why.TOO_FEW_PACKS, f"{line.called}: can't be bought together with the other lines.")


def _any_number_of_packs(problem: PlanProblem) -> PlanProblem:
    return replace(problem, offers=tuple(replace(offer, available_packs=None) for offer in problem.offers))


def _no_minimum(problem: PlanProblem) -> PlanProblem:
    return replace(problem, suppliers=tuple(replace(supplier, minimum_order=0) for supplier in problem.suppliers))


def _limit_reason(problem: PlanProblem, line: ShortLine) -> str:
    most = problem.max_suppliers
    return f"not to be had beside the other lines from {most} supplier{'s' * (most != 1)}."


def _minimum_reason(problem: PlanProblem, line: ShortLine) -> str:
    selling = {offer.supplier for offer in problem.offers if why_not(line, offer, problem.today) is None}
    asking = [
        f"{supplier.name} asks for {money(supplier.minimum_order, supplier.currency)}"
        for supplier in problem.suppliers
        if supplier.name in selling and supplier.minimum_order
    ]
    return f"the minimum order is out of reach ({', '.join(asking)})."


_RULES: tuple[tuple[Why, Callable[[PlanProblem], PlanProblem], Callable[[PlanProblem, ShortLine], str]], ...] = (
    (Why.SUPPLIER_LIMIT, lambda problem: replace(problem, max_suppliers=None), _limit_reason),
    (Why.MINIMUM_ORDER, _no_minimum, _minimum_reason),
    (
        Why.WOULD_EXPIRE,
        lambda problem: replace(problem, expiring=Expiring.SAY),
        lambda problem, line: "every pack of it would expire before it is used up.",
    ),
    (
        Why.TOO_FEW_PACKS,
        _any_number_of_packs,
        lambda problem, line: "other lines need the same packs; there are too few.",
    ),
)
