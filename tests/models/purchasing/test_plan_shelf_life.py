"""Refusing what would expire, against every count of packs with the shop's use played day by day in whole pieces."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from itertools import product
from math import floor

from hypothesis import example, given, settings
from hypothesis import strategies as st

from models.purchasing.demand import Expiring
from models.purchasing.offers import Break, Offer, Serves, ShortLine, Supplier
from models.purchasing.plan import Plan, plan

TODAY = date(2026, 3, 2)
SHOP = Supplier("Alder", "EUR", freight=3)


@dataclass
class Lot:
    quantity: int
    comes: int
    expires: int


def _left_over(offers: list[Offer], packs: tuple[int, ...], need: int, used_a_day: Fraction) -> int | None:
    """What is thrown away when the line is met first and then, each day, what expires soonest is used.

    The line has no date: it may be met from any pack. A piece is used on the day that the use since today makes
    it whole. None when the packs don't cover the line.
    """
    lots = []
    for count, offer in zip(packs, offers, strict=True):
        if count:
            comes = offer.lead_days or 0
            lots.append(Lot(count * offer.pack_quantity, comes, comes + (offer.shelf_life_days or 0)))
    if sum(lot.quantity for lot in lots) < need:
        return None
    best: int | None = None
    for taken in product(*(range(min(need, lot.quantity) + 1) for lot in lots)):
        if sum(taken) != need:
            continue
        rest = [replace(lot, quantity=lot.quantity - took) for lot, took in zip(lots, taken, strict=True)]
        rest.sort(key=lambda lot: lot.expires)
        for day in range(max(lot.expires for lot in rest)):
            wanted = floor(used_a_day * (day + 1)) - floor(used_a_day * day)
            for lot in rest:
                if lot.comes <= day < lot.expires:
                    used = min(lot.quantity, wanted)
                    lot.quantity -= used
                    wanted -= used
        thrown = sum(lot.quantity for lot in rest)
        best = thrown if best is None else min(best, thrown)
    return best


def _shared_out(made: Plan) -> int:
    """What the one line gets of all that is bought."""
    shares = [share for order in made.orders for purchase in order.purchases for share in purchase.for_lines]
    return sum(share.quantity for share in shares)


@settings(max_examples=80, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(1, 6), st.integers(1, 20), st.integers(0, 3), st.integers(1, 9)), min_size=1, max_size=3
    ),
    st.integers(1, 6),
    st.fractions(0, 2, max_denominator=4),
)
@example([(2, 1, 0, 1), (2, 1, 1, 1)], 3, Fraction(1, 2))  # once a piece and a half came from each pack
def test_the_cheapest_of_what_is_used_up_in_time(
    drawn: list[tuple[int, int, int, int]], need: int, used_a_day: Fraction
) -> None:
    offers = [
        Offer("Alder", f"P{n}", pack, (Break(1, price),), (Serves("a"),), lead_days=lead, shelf_life_days=life)
        for n, (pack, price, lead, life) in enumerate(drawn)
    ]
    line = ShortLine("L", "a", need, usage_per_day=used_a_day)
    refusing = plan([line], offers, [SHOP], today=TODAY, expiring=Expiring.REFUSE)
    saying = plan([line], offers, [SHOP], today=TODAY)
    costs = {}
    for packs in product(*(range(-(-need // offer.pack_quantity) + 1) for offer in offers)):
        thrown = _left_over(offers, packs, need, used_a_day)
        if thrown is not None:
            price = (
                sum(count * offer.breaks[0].price for count, offer in zip(packs, offers, strict=True)) + SHOP.freight
            )
            costs[packs] = (price, thrown)
    clean = [price for price, thrown in costs.values() if not thrown]
    assert isinstance(refusing, Plan) == bool(clean)
    assert all(_shared_out(made) == need for made in (refusing, saying) if isinstance(made, Plan))
    if isinstance(refusing, Plan):
        assert refusing.total == min(clean)
        assert refusing.would_expire == ()
    assert isinstance(saying, Plan)
    counts = {p.offer.sku: p.packs for order in saying.orders for p in order.purchases}
    said = sum(each.quantity for each in saying.would_expire)
    assert said == costs[tuple(counts.get(offer.sku, 0) for offer in offers)][1]
    assert all(each.expires > TODAY for each in saying.would_expire)
