"""Orders below a value that they have to reach, filled up the simple way."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from models.purchasing.demand import PlanProblem
from models.purchasing.orders import goods_by_supplier


def filled_up(
    problem: PlanProblem, bought: Mapping[int, int], free: Collection[str] = frozenset()
) -> dict[int, int] | None:
    """The same packs and, where an order is below the minimum, more of its cheapest offers; None if none are left.

    The orders of the suppliers in `free` are filled up to free freight too.
    """
    filled = dict(bought)
    for supplier in problem.suppliers:
        asked = max(supplier.minimum_order, (supplier.free_from or 0) if supplier.name in free else 0)
        mine = sorted(
            (offer for offer in filled if problem.offers[offer].supplier == supplier.name),
            key=lambda offer: (problem.offers[offer].breaks[-1].price, offer),
        )
        for offer in mine:
            record = problem.offers[offer]
            while (short := asked - goods_by_supplier(problem, filled)[supplier.name]) > 0:
                price = record.price_for(filled[offer])
                if price == 0 or filled[offer] == record.available_packs:
                    break
                more = filled[offer] + max(1, short // price)
                filled[offer] = more if record.available_packs is None else min(more, record.available_packs)
        if mine and goods_by_supplier(problem, filled)[supplier.name] < asked:
            return None
    return filled
