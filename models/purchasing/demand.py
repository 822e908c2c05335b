"""Which offers can meet which short lines in time, and what is left to decide together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from itertools import pairwise

from models.purchasing.offers import Offer, ShortLine, Supplier


class Expiring(Enum):
    """What to do about a pack that would expire before the shop has used it up."""

    SAY = "say"
    REFUSE = "refuse"


class Why(Enum):
    """Why an offer can't serve a line, or a line can't be bought."""

    NO_OFFER = "no offer"
    OUT_OF_STOCK = "out of stock"
    ARRIVES_TOO_LATE = "arrives too late"
    EXPIRES_FIRST = "expires before it is used"
    TOO_FEW_PACKS = "too few packs to be had"
    WOULD_EXPIRE = "too much of a pack would expire"
    MINIMUM_ORDER = "minimum order out of reach"
    SUPPLIER_LIMIT = "supplier limit"


def why_not(line: ShortLine, offer: Offer, today: date) -> Why | None:
    """Why this offer can't serve this line; None when it can. It must be in the shop on the day and good on the day."""
    if all(line.key != each.key for each in offer.serves):
        return Why.NO_OFFER
    if not offer.in_stock or (offer.available_packs is not None and offer.available_packs < offer.breaks[0].min_packs):
        return Why.OUT_OF_STOCK
    if line.needed_by is not None:
        arrives, expires = offer.arrives(today), offer.expires(today)
        if arrives is None or arrives > line.needed_by:
            return Why.ARRIVES_TOO_LATE
        if expires is not None and expires < line.needed_by:
            return Why.EXPIRES_FIRST
    return None


@dataclass(frozen=True, slots=True)
class PlanProblem:
    """Everything a plan is worked out from, in one fixed order whatever order it was given in."""

    lines: tuple[ShortLine, ...]
    offers: tuple[Offer, ...]
    suppliers: tuple[Supplier, ...]
    currency: str
    rates: Mapping[str, Fraction]
    today: date
    expiring: Expiring
    max_suppliers: int | None

    def rate(self, supplier: Supplier) -> Fraction:
        """What a minor unit of this supplier's money is worth in minor units of the plan's currency."""
        return self.rates[supplier.currency]


@dataclass(frozen=True, slots=True)
class Demand:
    """Lines of one key that the same offers (by their place in the problem) can serve; quantities add up."""

    key: str
    lines: tuple[int, ...]
    offers: frozenset[int]


@dataclass(frozen=True, slots=True)
class Pool:
    """Demands tied together by offers that serve several, those with the fewest offers first."""

    demands: tuple[Demand, ...]
    offers: tuple[int, ...]

    @property
    def is_chain(self) -> bool:
        """Whether each demand's offers include those of the one before.

        Then cover can be written as running totals and no quantity needs to be split among demands.
        """
        return all(low.offers <= high.offers for low, high in pairwise(self.demands))

    @property
    def keys(self) -> frozenset[str]:
        """The need keys in it."""
        return frozenset(demand.key for demand in self.demands)


@dataclass(frozen=True, slots=True)
class UsageSlot:
    """What the shop uses of a key between two days, beyond the short lines, in whole base units; None when unknown."""

    key: str
    start: date
    end: date
    quantity: int | None


def places_by_key(offers: Iterable[Offer]) -> dict[str, list[int]]:
    """The places of the offers that satisfy each need key."""
    by_key: dict[str, list[int]] = {}
    for place, offer in enumerate(offers):
        for each in offer.serves:
            by_key.setdefault(each.key, []).append(place)
    return by_key


def pools(problem: PlanProblem) -> tuple[Pool, ...]:
    """The demands grouped by what must be decided together. A line that no offer serves has an empty set of offers."""
    by_key = places_by_key(problem.offers)
    grouped: dict[tuple[str, frozenset[int]], list[int]] = {}
    for place, line in enumerate(problem.lines):
        able = frozenset(o for o in by_key.get(line.key, ()) if why_not(line, problem.offers[o], problem.today) is None)
        grouped.setdefault((line.key, able), []).append(place)
    demands = [Demand(key, tuple(places), able) for (key, able), places in grouped.items()]
    return tuple(_pool(group) for group in _tied(demands))


def _pool(demands: Iterable[Demand]) -> Pool:
    in_order = tuple(sorted(demands, key=lambda demand: (len(demand.offers), demand.lines)))
    return Pool(in_order, tuple(sorted(frozenset().union(*(demand.offers for demand in in_order)))))


def _tied(demands: Sequence[Demand]) -> list[list[Demand]]:
    """Demands that share an offer, directly or through others, together."""
    groups: list[tuple[set[int], list[Demand]]] = []
    home: dict[int, int] = {}
    for demand in demands:
        touched = sorted({home[offer] for offer in demand.offers if offer in home})
        if not touched:
            groups.append((set(), []))
            touched = [len(groups) - 1]
        first, *rest = touched
        for other in rest:
            groups[first][0].update(groups[other][0])
            groups[first][1].extend(groups[other][1])
            groups[other] = (set(), [])
        groups[first][0].update(demand.offers)
        groups[first][1].append(demand)
        for offer in groups[first][0]:
            home[offer] = first
    return [members for _, members in groups if members]


def usage_slots(problem: PlanProblem, pool: Pool) -> tuple[UsageSlot, ...]:
    """The stretches of time in which packs that expire can still be used up beyond the short lines.

    What is used is counted in whole units from today on, whatever is offered: at half a ring a day the first is used on
    the second. So nothing is ever shared out in parts of a ring.
    """
    expiring = [problem.offers[place] for place in pool.offers if problem.offers[place].shelf_life_days is not None]
    slots = []
    for key in sorted(pool.keys):
        serving = [offer for offer in expiring if any(each.key == key for each in offer.serves)]
        rates = [line.usage_per_day for line in problem.lines if line.key == key and line.usage_per_day is not None]
        first = {usable_from(offer, problem.today) for offer in serving}
        days = sorted(first | {day for offer in serving if (day := offer.expires(problem.today)) is not None})
        for start, end in pairwise(days):
            used = [math.floor(max(rates) * (day - problem.today).days) for day in (start, end)] if rates else None
            slots.append(UsageSlot(key, start, end, None if used is None else used[1] - used[0]))
    return tuple(slots)


def usable_from(offer: Offer, today: date) -> date:
    """The first day the pack can be used; today when the lead time is not known."""
    return offer.arrives(today) or today


def fits_slot(offer: Offer, slot: UsageSlot, today: date) -> bool:
    """Whether the pack is in the shop and still good for the whole stretch."""
    expires = offer.expires(today)
    return (
        any(each.key == slot.key for each in offer.serves)
        and usable_from(offer, today) <= slot.start
        and expires is not None
        and slot.end <= expires
    )
