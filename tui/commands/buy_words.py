"""What the `buy` commands share: numbers and days as typed, orders and plans as JSON and as lines."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from tui.commands.output import table
from tui.commands.parsing import UsageError, shown

if TYPE_CHECKING:
    from models.orders.listing import OrderView
    from models.orders.planning import PlannedOrder, Proposal

SCHEMA = "kitwright.buy/1"


def number(text: str, what: str, *, most: int = 10**9 - 1) -> int:
    """A whole number from 1 up, or one sentence."""
    clean = text.strip()
    if not (clean.isascii() and clean.isdigit() and len(clean) <= 9 and 1 <= int(clean) <= most):
        raise UsageError(f"{what}: {shown(text)} is not a whole number from 1 up")
    return int(clean)


def day(text: str | None, what: str) -> date | None:
    """A day as 2026-12-04, or one sentence."""
    if text is None:
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise UsageError(f"{what}: {shown(text)} is not a day; write it like 2026-12-04") from None


def money(minor: Fraction | int, currency: str) -> str:
    """An amount with its currency."""
    from models.purchasing.money import written

    return written(minor, currency)


def packs(count: int, quantity: int, unit: str) -> str:
    """`3`, or `2 × 18.93 L` where a pack holds more than one piece."""
    from models.volume import in_words
    from models.words import Unit

    if unit == "each" and quantity == 1:
        return str(count)
    return f"{count} × {in_words(quantity, Unit(unit))}"


def plan_object(found: Proposal) -> dict[str, Any]:
    """A plan as JSON. Amounts are strings in whole currency units; quantities in pieces or microlitres."""
    currency = found.currency
    return {
        "schema": SCHEMA,
        "short": [
            {
                "line": one.line, "job": one.job_id, "title": one.title, "kind": one.kind.value,
                "counted_in": one.counted_in.value, "quantity": one.quantity, "on_order": one.on_order,
                "needed_by": _iso(one.needed_by), "note": one.note or None,
            }
            for one in found.gathered.shorts
        ],
        "orders": [_planned_object(order) for order in found.orders],
        "cannot": [
            {"line": one.short.line, "why": one.why.value, "reason": one.reason, "tried": one.tried or None}
            for one in found.cannot
        ],
        "currency": currency or None,
        "total": _amount(found.total, currency),
        "proven": found.proven,
        "line_by_line": _amount(found.line_by_line, currency),
        "cheapest_single": _amount(found.single_supplier, currency),
        "cheapest_single_supplier": found.single_name or None,
        "would_expire": [
            {"supplier": one.supplier, "number": one.number, "quantity": one.quantity,
             "expires": one.expires.isoformat(), "usage_known": one.usage_known}
            for one in found.would_expire
        ],
    }  # fmt: skip


def _planned_object(order: PlannedOrder) -> dict[str, Any]:
    from models.words import Unit

    return {
        "supplier": order.supplier,
        "currency": order.currency,
        "goods": _amount(order.goods_minor, order.currency),
        "freight": _amount(order.freight_minor, order.currency),
        "total": _amount(order.total_minor, order.currency),
        "lines": [
            {
                "number": line.offer.row.number, "name": line.offer.row.name, "packs": line.packs,
                "pack_quantity": line.offer.pack_quantity,
                "counted_in": (line.offer.what.counted_in or Unit.EACH).value,
                "cost": _amount(line.cost_minor, order.currency), "arrives": _iso(line.arrives), "spare": line.spare,
                "look_at": line.doubt or None,
                "for": [
                    {"line": share.short.line, "quantity": share.quantity, "caution": share.caution or None}
                    for share in line.shares
                ],
            }
            for line in order.lines
        ],
    }  # fmt: skip


def order_object(order: OrderView) -> dict[str, Any]:
    """A stored order as JSON."""
    return {
        "order": order.order_id,
        "supplier": order.supplier,
        "state": order.state.value,
        "currency": order.currency,
        "goods": _amount(order.goods_minor, order.currency),
        "freight": _amount(order.freight_minor, order.currency),
        "total": _amount(order.total_minor, order.currency),
        "ordered_on": None if order.ordered_at is None else order.ordered_at.date().isoformat(),
        "expected_on": _iso(order.expected_on),
        "lines": [
            {
                "line": line.line_id, "number": line.number, "name": line.name, "item": line.item_name,
                "packs": line.packs, "received": line.received_packs, "pack_quantity": line.pack_quantity,
                "counted_in": line.counted_in.value, "cost": _amount(line.cost_minor, order.currency),
                "expected_on": _iso(line.expected_on),
                "for": [
                    {"job": share.job_id, "title": share.title, "quantity": share.quantity,
                     "caution": share.caution or None}
                    for share in line.shares
                ],
            }
            for line in order.lines
        ],
    }  # fmt: skip


def orders_object(orders: tuple[OrderView, ...]) -> dict[str, Any]:
    """Several orders as JSON."""
    return {"schema": SCHEMA, "orders": [order_object(order) for order in orders]}


def order_lines(order: OrderView) -> list[str]:
    """A stored order as text."""
    when = f", expected {order.expected_on}" if order.expected_on else ""
    total = money(order.total_minor, order.currency)
    cells = [
        (str(line.line_id), packs(line.packs, line.pack_quantity, line.counted_in),
         f"{line.received_packs} of {line.packs}", line.number, line.name, money(line.cost_minor, order.currency))
        for line in order.lines
    ]  # fmt: skip
    head = f"Order {order.order_id}: {order.supplier}, {order.state}, {total}{when}"
    return [head, *(f"  {text}" for text in table(("line", "packs", "came", "number", "name", "cost"), cells, (0, 5)))]


def _iso(one: date | None) -> str | None:
    return None if one is None else one.isoformat()


def _amount(minor: Fraction | int | None, currency: str) -> str | None:
    return None if minor is None or not currency else money(minor, currency).removesuffix(f" {currency}")
