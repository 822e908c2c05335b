"""An independent check of the planner: every count of packs tried. It shares only the records with what it checks."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction
from itertools import combinations, product

from models.purchasing.offers import Offer, ShortLine, Supplier


def able(line: ShortLine, offer: Offer, today: date) -> bool:
    if line.key not in [each.key for each in offer.serves] or not offer.in_stock:
        return False
    if line.needed_by is None:
        return True
    if offer.lead_days is None or today + timedelta(offer.lead_days) > line.needed_by:
        return False
    return offer.shelf_life_days is None or today + timedelta(offer.lead_days + offer.shelf_life_days) >= line.needed_by


def covered(lines: Sequence[ShortLine], offers: Sequence[Offer], packs: Sequence[int], today: date) -> bool:
    """Hall's condition over every subset of the lines: what serves any of them is at least what they all need."""
    for size in range(1, len(lines) + 1):
        for some in combinations(lines, size):
            had = sum(
                count * offer.pack_quantity
                for count, offer in zip(packs, offers, strict=True)
                if any(able(line, offer, today) for line in some)
            )
            if had < sum(line.quantity for line in some):
                return False
    return True


def price(offer: Offer, packs: int) -> int | None:
    """What so many packs cost; None when they can't be had."""
    if packs == 0:
        return 0
    if offer.available_packs is not None and packs > offer.available_packs:
        return None
    reached = [each.price for each in offer.breaks if packs >= each.min_packs]
    return packs * reached[-1] if reached else None


def cost(
    offers: Sequence[Offer], suppliers: Sequence[Supplier], packs: Sequence[int], rates: dict[str, Fraction]
) -> tuple[Fraction, int] | None:
    """Cost and number of suppliers; None when a pack can't be had or an order is below its minimum."""
    total, used = Fraction(0), 0
    for supplier in suppliers:
        prices = [
            (price(offer, count), count)
            for offer, count in zip(offers, packs, strict=True)
            if offer.supplier == supplier.name
        ]
        goods = 0
        for each, _ in prices:
            if each is None:
                return None
            goods += each
        if not any(count for _, count in prices):
            continue
        if goods < supplier.minimum_order:
            return None
        used += 1
        free = supplier.free_from is not None and goods >= supplier.free_from
        total += (goods + (0 if free else supplier.freight)) * rates[supplier.currency]
    return total, used


def best(
    lines: Sequence[ShortLine],
    offers: Sequence[Offer],
    suppliers: Sequence[Supplier],
    *,
    today: date,
    fewest_tried: int,
    max_suppliers: int | None = None,
    rates: dict[str, Fraction] | None = None,
) -> tuple[Fraction, int] | None:
    """The least (cost, suppliers), every count tried; None when nothing covers.

    Of each offer that serves a line: up to what covers everything alone, and at least up to `fewest_tried`.
    """
    offers = [offer for offer in offers if any(able(line, offer, today) for line in lines)]
    rates = rates or {supplier.currency: Fraction(1) for supplier in suppliers}
    found: tuple[Fraction, int] | None = None
    need = sum(line.quantity for line in lines)
    counts = [range(max(fewest_tried, -(-need // offer.pack_quantity)) + 1) for offer in offers]
    for packs in product(*counts):
        worth = cost(offers, suppliers, packs, rates)
        if worth is None or (max_suppliers is not None and worth[1] > max_suppliers):
            continue
        if (found is None or worth < found) and covered(lines, offers, packs, today):
            found = worth
    return found
