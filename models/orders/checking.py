"""Orders are as they must be: what came is what the ledger took in, no more than was ordered, each step in its turn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from sqlmodel import Session, col, select

from models.orders.progress import undone_ids
from models.orders.words import OrderStepWord
from models.storage.finding import Finding
from models.tables import Action, Movement, Order, OrderLine, OrderReceipt, OrderShare, OrderStep, Stock
from models.words import Moved


def findings(session: Session) -> list[Finding]:
    """Every order, its lines, shares, steps and receipts; see `models.storage.check`."""
    orders = session.exec(select(Order).order_by(col(Order.id))).all()
    lines = session.exec(select(OrderLine).order_by(col(OrderLine.id))).all()
    steps = session.exec(select(OrderStep).order_by(col(OrderStep.id))).all()
    receipts = session.exec(select(OrderReceipt).order_by(col(OrderReceipt.id))).all()
    undone = undone_ids(
        session,
        [*(one.action_id for one in orders), *(one.action_id for one in steps), *(one.action_id for one in receipts)],
    )
    return [
        *_sums(session, orders, lines),
        *_receipts(session, lines, receipts),
        *_more_than_ordered(lines, [one for one in receipts if one.action_id not in undone]),
        *_turns(orders, lines, steps, receipts, undone),
    ]


def _named(line: OrderLine) -> str:
    return f"order {line.order_id}, line {line.position + 1} ({line.number})"


def _sums(session: Session, orders: Sequence[Order], lines: Sequence[OrderLine]) -> list[Finding]:
    """The goods of an order are the sum of its lines; what needs were given of a line is no more than it brings."""
    goods: defaultdict[int, int] = defaultdict(int)
    for line in lines:
        goods[line.order_id] += line.cost_minor
    found = [
        Finding(f"order {order.id}", f"its goods are {order.goods_minor}, its lines add up to {goods[order.id or 0]}")
        for order in orders
        if order.goods_minor != goods[order.id or 0]
    ]
    shared: defaultdict[int, int] = defaultdict(int)
    for line_id, quantity in session.exec(select(OrderShare.order_line_id, OrderShare.quantity)).all():
        shared[line_id] += quantity
    return found + [
        Finding(_named(line), f"brings {line.packs * line.pack_quantity}, {shared[line.id or 0]} of it are shared out")
        for line in lines
        if shared[line.id or 0] > line.packs * line.pack_quantity
    ]


def _receipts(session: Session, lines: Sequence[OrderLine], receipts: Sequence[OrderReceipt]) -> list[Finding]:
    """A receipt is whole packs of its line's item, and its action's movements put exactly that on the shelf."""
    by_id = {line.id: line for line in lines}
    item_of = dict(session.exec(select(Stock.id, Stock.item_id)).all())
    found = []
    booked: defaultdict[tuple[int, int], int] = defaultdict(int)
    for one in receipts:
        booked[one.action_id, one.stock_id] += one.quantity
        line = by_id.get(one.order_line_id)
        if line is None:
            continue  # a reference that leads nowhere is found elsewhere
        if one.quantity != one.packs * line.pack_quantity:
            found.append(
                Finding(_named(line), f"{one.packs} packs of {line.pack_quantity} came, booked as {one.quantity}")
            )
        if item_of.get(one.stock_id, line.item_id) != line.item_id:
            found.append(Finding(_named(line), f"came to stock {one.stock_id}, which is another item"))
    moved: defaultdict[tuple[int, int], int] = defaultdict(int)
    for action_id, stock_id, change in session.exec(
        select(Movement.action_id, Movement.stock_id, Movement.on_hand_change)
        .join(Action, col(Action.id) == col(Movement.action_id))
        .where(Action.what == "orders.receive", Movement.kind == Moved.RECEIVED)
    ).all():
        moved[action_id, stock_id] += change
    order_of = {one.action_id: by_id[one.order_line_id].order_id for one in receipts if one.order_line_id in by_id}
    return found + [
        Finding(
            f"order {order_of[place[0]]}" if place[0] in order_of else f"receipt of action {place[0]}",
            f"{booked[place]} came to stock {place[1]}, the movements took in {moved[place]}",
        )
        for place in sorted({*booked, *moved})
        if booked[place] != moved[place]
    ]


def _more_than_ordered(lines: Sequence[OrderLine], standing: Sequence[OrderReceipt]) -> list[Finding]:
    """No more packs have come of a line than were ordered: what is more is booked on the shelf."""
    came: defaultdict[int, int] = defaultdict(int)
    for one in standing:
        came[one.order_line_id] += one.packs
    return [
        Finding(_named(line), f"{line.packs} packs were ordered, {came[line.id or 0]} have come")
        for line in lines
        if came[line.id or 0] > line.packs
    ]


def _turns(
    orders: Sequence[Order],
    lines: Sequence[OrderLine],
    steps: Sequence[OrderStep],
    receipts: Sequence[OrderReceipt],
    undone: set[int],
) -> list[Finding]:
    """Of what still counts: ordered and called off once at most; nothing came before the one or after the other."""
    done: dict[tuple[int, OrderStepWord], list[int]] = defaultdict(list)
    for step in steps:
        if step.action_id not in undone:
            done[step.order_id, step.step].append(step.action_id)
    order_of = {line.id: line.order_id for line in lines}
    came: defaultdict[int, list[int]] = defaultdict(list)
    for one in receipts:
        if one.action_id not in undone and one.order_line_id in order_of:
            came[order_of[one.order_line_id]].append(one.action_id)
    found = []
    for order in orders:
        order_id = order.id or 0
        ordered = done.get((order_id, OrderStepWord.ORDERED), [])
        called_off = done.get((order_id, OrderStepWord.CALLED_OFF), [])
        first, last = min(came[order_id], default=0), max(came[order_id], default=0)
        wrong = [
            (order_id not in order_of.values(), "has no lines"),
            (len(ordered) > 1, f"was ordered {len(ordered)} times"),
            (len(called_off) > 1, f"was called off {len(called_off)} times"),
            (bool(first) and (not ordered or first < ordered[0]), "something came before it was ordered"),
            (bool(last and called_off) and last > called_off[0], "something came after it was called off"),
            (order.action_id in undone and bool(ordered or first), "its plan was undone, but it was ordered or came"),
        ]
        found += [Finding(f"order {order_id}", what) for is_wrong, what in wrong if is_wrong]
    return found
