"""A stored order as the planner's record, so that its CSV and its mail text are written in one place."""

from __future__ import annotations

from fractions import Fraction

from models.orders.listing import OrderView
from models.purchasing.money import rounded
from models.purchasing.offers import Break, Offer, Supplier
from models.purchasing.orders import Purchase, SupplierOrder


def as_supplier_order(view: OrderView) -> SupplierOrder:
    """The order with the price of one pack rounded to a minor unit; a line's cost and the sums are as stored."""
    purchases = []
    for line in view.lines:
        each = rounded(Fraction(line.price_minor, line.price_per))
        offer = Offer(
            view.supplier, line.number, line.pack_quantity, (Break(1, each),), (), line.lead_days, name=line.name
        )
        purchases.append(
            Purchase(offer, line.packs, line.packs * line.pack_quantity, each, line.cost_minor, line.expected_on, (), 0)
        )
    supplier = Supplier(view.supplier, view.currency, freight=view.freight_minor or 0)
    return SupplierOrder(supplier, tuple(purchases), view.goods_minor, view.freight_minor or 0, view.total_minor)
