"""The packs of the plainest way to buy: each line by itself, at the offer that covers it for the least money."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from models.purchasing.demand import PlanProblem, places_by_key, why_not
from models.purchasing.offers import Offer


def one_by_one(problem: PlanProblem, among: Collection[int] | None = None) -> dict[int, int] | None:
    """Packs by offer; freight, minimum orders and other lines are not looked at. None when a line can't be bought.

    What an earlier line left over is used first. A limit of suppliers is not kept. `among`: only of these offers.
    """
    bought: dict[int, int] = {}
    over: dict[int, int] = {}
    serving = places_by_key(problem.offers)
    for line in sorted(problem.lines, key=lambda each: (each.needed_by or date.max, each.line)):
        known = (o for o in serving.get(line.key, ()) if among is None or o in among)
        able = [o for o in known if why_not(line, problem.offers[o], problem.today) is None]
        need = line.quantity
        for offer in able:
            taken = min(need, over.get(offer, 0))
            if taken:
                over[offer] -= taken
                need -= taken
        if need == 0:
            continue
        choices = [
            choice for offer in able if (choice := _cover(problem.offers[offer], offer, need, bought.get(offer, 0)))
        ]
        if not choices:
            return None
        _, packs, offer = min(choices)
        bought[offer] = bought.get(offer, 0) + packs
        over[offer] = over.get(offer, 0) + packs * problem.offers[offer].pack_quantity - need
    return bought


def _cover(offer: Offer, place: int, need: int, before: int) -> tuple[int, int, int] | None:
    """Added cost, packs and place of covering a need with one offer alone, at the best of its price breaks."""
    least = max(-(-need // offer.pack_quantity), offer.breaks[0].min_packs - before)
    counts = [least, *(each.min_packs - before for each in offer.breaks if each.min_packs - before > least)]
    had = [n for n in counts if offer.available_packs is None or n + before <= offer.available_packs]
    return min(((offer.cost_of(n + before) - offer.cost_of(before), n, place) for n in had), default=None)
