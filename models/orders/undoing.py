"""Undoing a step of an order: what stands in the way, and the questions that open again."""

from __future__ import annotations

from sqlmodel import Session, col, select

from models.errors import CannotUndoError
from models.orders.progress import OrderProgress, progress_of, undone_ids
from models.rows import hold
from models.supplier_lists.words import ReadingState
from models.tables import Action, ListRow, Order, OrderLine, OrderStep, RowItem, Supplier


def hold_orders(session: Session, done: Action) -> list[Order]:
    """The orders that the action made or moved on, held until the unit ends.

    Steps and receipts of an action that was undone no longer count.
    """
    order_ids = set(session.exec(select(Order.id).where(Order.action_id == done.id)).all())
    order_ids |= set(session.exec(select(OrderStep.order_id).where(OrderStep.action_id == done.id)).all())
    return [hold(session, Order, order_id, "order") for order_id in sorted(one for one in order_ids if one)]


def refuse_received(session: Session, done: Action) -> None:
    """Hold the orders. Raises `CannotUndoError` where some of one has come since."""
    for order_id, standing in progress_of(session, hold_orders(session, done)).items():
        _refuse_received(order_id, standing)


def drop_plan(session: Session, done: Action) -> None:
    """Take back what a plan said of suppliers' rows. Raises `CannotUndoError` where an order has gone on since."""
    orders = hold_orders(session, done)
    for order_id, standing in progress_of(session, orders).items():
        _refuse_received(order_id, standing)
        if standing.ordered is not None:
            raise CannotUndoError(f"Order {order_id} was sent since.", "Undo that first, or call it off.")
    _ask_again(session, done, orders)


def _refuse_received(order_id: int, standing: OrderProgress) -> None:
    if any(standing.received.values()):
        raise CannotUndoError(f"Some of order {order_id} has come since.", "Call off the rest instead.")


def _ask_again(session: Session, done: Action, orders: list[Order]) -> None:
    """What the plan's rows are is asked again, unless another plan that stands says it, or a person said it by itself.

    The suppliers are held before their rows, as who accepts a plan does.
    """
    for supplier_id in sorted({order.supplier_id for order in orders}):
        hold(session, Supplier, supplier_id, "supplier")
    ours = select(OrderLine.row_id).where(col(OrderLine.order_id).in_([order.id for order in orders]))
    said = session.exec(select(RowItem).where(col(RowItem.row_id).in_(ours)).order_by(col(RowItem.row_id))).all()
    lines = session.exec(
        select(OrderLine.row_id, Order.action_id)
        .join(Order, col(Order.id) == col(OrderLine.order_id))
        .where(col(OrderLine.row_id).in_([one.row_id for one in said]))
    ).all()
    undone = {done.id, *undone_ids(session, [action_id for _, action_id in lines])}
    still = {row_id for row_id, action_id in lines if action_id not in undone}
    for one in said:
        if one.row_id in still:
            continue
        row = hold(session, ListRow, one.row_id, "row of a supplier's list")
        by_itself = select(Action.id).where(Action.what == "lists.confirmed", Action.subject_id == one.row_id)
        if row.reading_state is ReadingState.CONFIRMED and session.exec(by_itself).first() is None:
            row.reading_state = ReadingState.READ
        session.delete(one)
    session.flush()
