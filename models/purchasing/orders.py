"""Packs bought, as orders by supplier: exact cost, freight, which line gets what, what is spare or would expire."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from models.purchasing.demand import PlanProblem
from models.purchasing.offers import Offer, Supplier
from models.purchasing.pack_shares import Shared


@dataclass(frozen=True, slots=True)
class ForLine:
    """How much of a purchase goes to which short line, and what to mind when it stands in for the real thing."""

    line: str
    quantity: int
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Purchase:
    """So many packs of one offer. `price` a pack and `cost` in minor units of the supplier's currency.

    `quantity` and `spare` (bought but asked for by no line) in base units.
    """

    offer: Offer
    packs: int
    quantity: int
    price: int
    cost: int
    arrives: date | None
    for_lines: tuple[ForLine, ...]
    spare: int


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """One order. `goods`, `freight` and `total` in minor units of the supplier's currency."""

    supplier: Supplier
    purchases: tuple[Purchase, ...]
    goods: int
    freight: int
    total: int


@dataclass(frozen=True, slots=True)
class WouldExpire:
    """How much of a purchase will not be used when it expires; `usage_known` False: nobody said what the shop uses."""

    supplier: str
    sku: str
    quantity: int
    expires: date
    usage_known: bool


def goods_by_supplier(problem: PlanProblem, bought: Mapping[int, int]) -> dict[str, int]:
    """The value of the goods by supplier, in minor units of each one's currency."""
    goods: dict[str, int] = {}
    for place, packs in bought.items():
        offer = problem.offers[place]
        goods[offer.supplier] = goods.get(offer.supplier, 0) + offer.cost_of(packs)
    return goods


def cost_of(problem: PlanProblem, bought: Mapping[int, int]) -> Fraction:
    """What it all costs with freight, exact, in minor units of the plan's currency."""
    goods = goods_by_supplier(problem, bought)
    return sum(
        (
            (goods[supplier.name] + supplier.freight_for(goods[supplier.name])) * problem.rate(supplier)
            for supplier in problem.suppliers
            if supplier.name in goods
        ),
        Fraction(0),
    )


def falls_short(problem: PlanProblem, bought: Mapping[int, int]) -> frozenset[str]:
    """The suppliers whose order is below the minimum, or below what would save its freight."""
    goods = goods_by_supplier(problem, bought)
    return frozenset(
        supplier.name
        for supplier in problem.suppliers
        if supplier.name in goods
        and (
            goods[supplier.name] < supplier.minimum_order
            or (supplier.free_from is not None and supplier.freight_for(goods[supplier.name]) > 0)
        )
    )


def orders_from(problem: PlanProblem, bought: Mapping[int, int], shared: Shared) -> tuple[SupplierOrder, ...]:
    """One order a supplier, in name order. Raises ArithmeticError when the packs don't cover the lines."""
    if shared.missing:
        short = problem.lines[min(shared.missing)]
        raise ArithmeticError(f"The packs leave {short.called} short by {shared.missing[min(shared.missing)]}.")
    goods = goods_by_supplier(problem, bought)
    given: dict[int, list[tuple[int, int]]] = {}
    for (place, line), quantity in sorted(shared.by_line.items()):
        given.setdefault(place, []).append((line, quantity))
    orders = []
    for supplier in problem.suppliers:
        if supplier.name not in goods:
            continue
        purchases = tuple(
            _purchase(problem, place, bought[place], given.get(place, []))
            for place in sorted(bought)
            if problem.offers[place].supplier == supplier.name
        )
        value = goods[supplier.name]
        freight = supplier.freight_for(value)
        orders.append(SupplierOrder(supplier, purchases, value, freight, value + freight))
    return tuple(orders)


def _purchase(problem: PlanProblem, place: int, packs: int, given: list[tuple[int, int]]) -> Purchase:
    offer = problem.offers[place]
    for_lines = tuple(
        ForLine(problem.lines[line].line, quantity, offer.caution_for(problem.lines[line].key))
        for line, quantity in given
    )
    quantity = packs * offer.pack_quantity
    spare = quantity - sum(each.quantity for each in for_lines)
    price = offer.price_for(packs)
    return Purchase(offer, packs, quantity, price, offer.cost_of(packs), offer.arrives(problem.today), for_lines, spare)


def would_expire(problem: PlanProblem, shared: Shared) -> tuple[WouldExpire, ...]:
    """Everything bought that would not be used in time, in name order."""
    said = []
    for place, quantity in sorted(shared.expiring.items()):
        offer = problem.offers[place]
        expires = offer.expires(problem.today)
        if expires is not None:
            said.append(WouldExpire(offer.supplier, offer.sku, quantity, expires, place not in shared.unknown))
    return tuple(said)
