"""What stands in the way of undoing a step of an order: whatever came after it."""

from __future__ import annotations

from sqlmodel import Session, select

from models.errors import CannotUndoError
from models.orders.standing import standings
from models.rows import hold
from models.tables import Action, Order, OrderStep


def refuse(session: Session, done: Action) -> None:
    """Raise `CannotUndoError` where an order has gone on since; hold the orders until the unit ends.

    Nothing else is needed: steps and receipts of an action that was undone no longer count.
    """
    order_ids = set(session.exec(select(Order.id).where(Order.action_id == done.id)).all())
    order_ids |= set(session.exec(select(OrderStep.order_id).where(OrderStep.action_id == done.id)).all())
    orders = [hold(session, Order, order_id, "order") for order_id in sorted(one for one in order_ids if one)]
    for order_id, standing in standings(session, orders).items():
        if done.what in {"orders.plan", "orders.order"} and any(standing.received.values()):
            raise CannotUndoError(f"Some of order {order_id} has come since.", "Call off the rest instead.")
        if done.what == "orders.plan" and standing.ordered is not None:
            raise CannotUndoError(f"Order {order_id} was sent since.", "Undo that first, or call it off.")
