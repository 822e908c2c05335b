"""Where orders stand: what was done to them and what came, less whatever was undone. Nothing here is stored."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from sqlmodel import Session, col, select

from models.orders.to_come import Line, OnOrder, Share, to_come
from models.orders.words import OrderState, OrderStepWord
from models.tables import Action, Order, OrderLine, OrderReceipt, OrderShare, OrderStep


class OrderProgress(NamedTuple):
    """One order: its state, the step that ordered it, and the packs received by line id."""

    state: OrderState
    ordered: OrderStep | None
    received: dict[int, int]


def undone_ids(session: Session, action_ids: Iterable[int]) -> set[int]:
    """Those of the actions that were undone."""
    ids = set(action_ids)
    found = session.exec(select(Action.undoes_id).where(col(Action.undoes_id).in_(ids))).all()
    return {one for one in found if one is not None}


def progress_of(session: Session, orders: Sequence[Order]) -> dict[int, OrderProgress]:
    """Where each order stands, by its id."""
    if not orders:
        return {}
    ids = [one.id for one in orders]
    lines = session.exec(select(OrderLine).where(col(OrderLine.order_id).in_(ids))).all()
    steps = session.exec(select(OrderStep).where(col(OrderStep.order_id).in_(ids)).order_by(col(OrderStep.id))).all()
    receipts = session.exec(
        select(OrderReceipt).where(col(OrderReceipt.order_line_id).in_([line.id for line in lines]))
    ).all()
    undone = undone_ids(
        session,
        [
            *(one.action_id for one in orders),
            *(one.action_id for one in steps),
            *(one.action_id for one in receipts),
        ],
    )
    packs: defaultdict[int, int] = defaultdict(int)
    for receipt in receipts:
        if receipt.action_id not in undone:
            packs[receipt.order_line_id] += receipt.packs
    found = {}
    for order in orders:
        own = [line for line in lines if line.order_id == order.id]
        done = [step for step in steps if step.order_id == order.id and step.action_id not in undone]
        ordered = next((step for step in reversed(done) if step.step is OrderStepWord.ORDERED), None)
        called_off = any(step.step is OrderStepWord.CALLED_OFF for step in done)
        received = {line.id or 0: packs[line.id or 0] for line in own}
        if called_off or order.action_id in undone:
            state = OrderState.CALLED_OFF
        elif all(received[line.id or 0] >= line.packs for line in own):
            state = OrderState.RECEIVED
        elif any(received.values()):
            state = OrderState.PART_RECEIVED
        else:
            state = OrderState.ORDERED if ordered is not None else OrderState.PLANNED
        found[order.id or 0] = OrderProgress(state, ordered, received)
    return found


OPEN = frozenset({OrderState.PLANNED, OrderState.ORDERED, OrderState.PART_RECEIVED})
"""States in which something may still come."""


def deeds_left(session: Session, since: int) -> frozenset[str]:
    """What is still to be done, by the names of the actions, with the orders planned after an action of that number."""
    stand = progress_of(session, session.exec(select(Order).where(col(Order.action_id) > since)).all())
    states = {one.state for one in stand.values()} & OPEN
    return frozenset({"orders.receive", *({"orders.order"} if OrderState.PLANNED in states else ())} if states else ())


def on_order(session: Session) -> OnOrder:
    """What open orders will still bring. What has come of a line served its shares in their order."""
    stand = progress_of(session, session.exec(select(Order)).all())
    open_ids = [order_id for order_id, one in stand.items() if one.state in OPEN]
    if not open_ids:
        return OnOrder({}, {})
    lines = session.exec(select(OrderLine).where(col(OrderLine.order_id).in_(open_ids))).all()
    shares = session.exec(
        select(OrderShare)
        .where(col(OrderShare.order_line_id).in_([line.id for line in lines]))
        .order_by(col(OrderShare.order_line_id), col(OrderShare.position))
    ).all()
    return to_come(
        (
            Line(one.id, one.item_id, one.packs, stand[one.order_id].received[one.id], one.pack_quantity)
            for one in lines
            if one.id is not None
        ),
        (Share(one.order_line_id, one.need_id, one.reorder_item_id, one.quantity) for one in shares),
    )
