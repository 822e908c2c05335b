"""Orders as a screen shows them: frozen, with what is still to come and for whom."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from sqlmodel import Session, col, select

from models.orders.progress import OPEN, OrderProgress, progress_of
from models.orders.words import OrderState
from models.qualify.age import has_shelf_life
from models.rows import find
from models.tables import Action, Bin, Item, Job, Need, Order, OrderLine, OrderShare, Stock, Supplier
from models.words import Kind, Unit


class ShareView(NamedTuple):
    """What a part of a line is for: a need of a job, or the shelf (`need_id` and `job_id` None).

    `due_on`: the job's, None where it has none or is closed.
    """

    need_id: int | None
    job_id: int | None
    job_title: str
    title: str
    quantity: int
    caution: str
    due_on: date | None = None


class OrderLineView(NamedTuple):
    """One line. Quantities in `counted_in`; `price_minor` for `price_per` packs. `bins`: where the item lies now.

    `ages`: whether its rubber has a shelf life, so that a bag's cure day is worth asking for.
    """

    line_id: int
    number: str
    name: str
    item_id: int
    item_name: str
    packs: int
    received_packs: int
    pack_quantity: int
    counted_in: Unit
    price_minor: int
    price_per: int
    cost_minor: int
    lead_days: int | None
    expected_on: date | None
    bins: tuple[str, ...]
    shares: tuple[ShareView, ...]
    ages: bool = False

    @property
    def waits(self) -> int:
        """Packs still to come."""
        return max(0, self.packs - self.received_packs)


class OrderView(NamedTuple):
    """One order. `expected_on`: the day the last of it should be here, once it is ordered and anybody knows.

    `freight_minor` None: nobody said it.
    """

    order_id: int
    supplier_id: int
    supplier: str
    currency: str
    state: OrderState
    goods_minor: int
    freight_minor: int | None
    planned_at: datetime
    planned_by: str
    ordered_at: datetime | None
    expected_on: date | None
    lines: tuple[OrderLineView, ...]

    @property
    def total_minor(self) -> int:
        """Goods and freight, as far as that is known."""
        return self.goods_minor + (self.freight_minor or 0)


def listed(session: Session, *, open_only: bool = True, limit: int = 200) -> tuple[OrderView, ...]:
    """Orders, newest first; only those of which something may still come unless `open_only` is False."""
    orders = session.exec(select(Order).order_by(col(Order.id).desc())).all()
    if open_only:
        stand = progress_of(session, orders)
        orders = [one for one in orders if stand[one.id or 0].state in OPEN]
    return views(session, orders[:limit])


def get(session: Session, order_id: int) -> OrderView:
    """One order. Raises `NotFoundError`."""
    return views(session, [find(session, Order, order_id, "order")])[0]


def views(session: Session, orders: Sequence[Order]) -> tuple[OrderView, ...]:
    """These orders, in the order given."""
    stand = progress_of(session, orders)
    suppliers = {one.id: one for one in session.exec(select(Supplier)).all()}
    steps = {one.ordered.action_id for one in stand.values() if one.ordered is not None}
    ids = {*steps, *(one.action_id for one in orders)}
    actions = {one.id: one for one in session.exec(select(Action).where(col(Action.id).in_(ids))).all()}
    lines = _lines(session, [one.id for one in orders if one.id is not None], stand, actions)
    found = []
    for order in orders:
        assert order.id is not None
        own = stand[order.id]
        supplier, planned = suppliers[order.supplier_id], actions[order.action_id]
        ordered_at = actions[own.ordered.action_id].at if own.ordered is not None else None
        waiting = [line.expected_on for line in lines[order.id] if line.waits]
        known = [day for day in waiting if day is not None]
        found.append(
            OrderView(
                order.id,
                order.supplier_id,
                supplier.name,
                order.currency,
                own.state,
                order.goods_minor,
                order.freight_minor,
                planned.at,
                planned.who,
                ordered_at,
                max(known) if known and len(known) == len(waiting) else None,
                tuple(lines[order.id]),
            )
        )
    return tuple(found)


def _lines(
    session: Session, order_ids: list[int], stand: dict[int, OrderProgress], actions: dict[int | None, Action]
) -> defaultdict[int, list[OrderLineView]]:
    rows = session.exec(
        select(OrderLine, Item)
        .join(Item, col(Item.id) == col(OrderLine.item_id))
        .where(col(OrderLine.order_id).in_(order_ids))
        .order_by(col(OrderLine.order_id), col(OrderLine.position))
    ).all()
    shares = _shares(session, [line.id or 0 for line, _ in rows])
    bins = _bins(session, {line.item_id for line, _ in rows})
    found: defaultdict[int, list[OrderLineView]] = defaultdict(list)
    for line, item in rows:
        assert line.id is not None
        own = stand[line.order_id]
        expected = None
        if own.ordered is not None:
            expected = own.ordered.expected_on
            if expected is None and line.lead_days is not None:
                expected = actions[own.ordered.action_id].at.date() + timedelta(days=line.lead_days)
        found[line.order_id].append(
            OrderLineView(
                line.id,
                line.number,
                line.name,
                line.item_id,
                item.name,
                line.packs,
                own.received[line.id],
                line.pack_quantity,
                line.counted_in,
                line.price_minor,
                line.price_per,
                line.cost_minor,
                line.lead_days,
                expected,
                tuple(bins[line.item_id]),
                tuple(shares[line.id]),
                item.kind is Kind.RING and has_shelf_life(item.rubber),
            )
        )
    return found


def _shares(session: Session, line_ids: list[int]) -> defaultdict[int, list[ShareView]]:
    rows = session.exec(
        select(OrderShare, Need, Job, Item)
        .outerjoin(Need, col(Need.id) == col(OrderShare.need_id))
        .outerjoin(Job, col(Job.id) == col(Need.job_id))
        .outerjoin(Item, col(Item.id) == col(OrderShare.reorder_item_id))
        .where(col(OrderShare.order_line_id).in_(line_ids))
        .order_by(col(OrderShare.order_line_id), col(OrderShare.position))
    ).all()
    found: defaultdict[int, list[ShareView]] = defaultdict(list)
    for share, need, job, item in rows:
        for_need = share.need_id is not None
        found[share.order_line_id].append(
            ShareView(
                share.need_id,
                job.id if for_need else None,
                job.title if for_need else "",
                need.title if for_need else item.name,
                share.quantity,
                share.caution,
                job.due_on if for_need and job.closed_at is None else None,
            )
        )
    return found


def _bins(session: Session, item_ids: set[int]) -> defaultdict[int, list[str]]:
    """The bins each item lies in or has lain in, the fullest first."""
    rows = session.exec(
        select(Stock.item_id, Bin.code)
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .where(col(Stock.item_id).in_(item_ids))
        .order_by(col(Stock.on_hand).desc(), col(Stock.id).desc())
    ).all()
    found: defaultdict[int, list[str]] = defaultdict(list)
    for item_id, code in rows:
        if code not in found[item_id]:
            found[item_id].append(code)
    return found


def arrivals(session: Session, need_ids: Sequence[int], now: datetime) -> dict[int, timedelta]:
    """How long what is on order for these needs takes yet, as `finish.earliest_finish` asks it; what is late: none.

    A need of which some line has no known day is left out.
    """
    wanted = set(need_ids)
    orders = session.exec(
        select(Order)
        .join(OrderLine, col(OrderLine.order_id) == col(Order.id))
        .join(OrderShare, col(OrderShare.order_line_id) == col(OrderLine.id))
        .where(col(OrderShare.need_id).in_(wanted))
        .distinct()
    ).all()
    of_line = defaultdict(set)
    for line_id, need_id in session.exec(
        select(OrderShare.order_line_id, OrderShare.need_id).where(col(OrderShare.need_id).in_(wanted))
    ).all():
        of_line[line_id].add(need_id)
    found: dict[int, timedelta] = {}
    unknown: set[int] = set()
    for order in views(session, orders):
        if order.state not in OPEN:
            continue
        for line in (one for one in order.lines if one.waits):
            for need_id in of_line.get(line.line_id, ()):
                if need_id is None or line.expected_on is None:
                    unknown.add(need_id or 0)
                    continue
                there = datetime.combine(line.expected_on, now.timetz())
                found[need_id] = max(found.get(need_id, timedelta()), there - now)
    return {need_id: wait for need_id, wait in found.items() if need_id not in unknown}
