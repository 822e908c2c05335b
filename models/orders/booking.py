"""Accept a plan, send it, call it off: each one action, written once under its key."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError, WorkshopError
from models.inventory import items
from models.orders.listing import OrderView, get, views
from models.orders.offered import steps_of
from models.orders.planning import PlannedLine, PlannedOrder, Proposal
from models.orders.progress import OPEN, OrderProgress, progress_of
from models.orders.shorts import short_lines
from models.orders.words import OrderState, OrderStepWord
from models.rows import hold, in_use
from models.supplier_lists.words import ReadingState
from models.tables import Item, Job, ListRow, Order, OrderLine, OrderShare, OrderStep, RowItem
from models.tables import Supplier as SupplierTable
from models.text import NAME_LENGTH, NOTE_LENGTH, clean, fold
from models.words import Kind, Unit


class PlanStaleError(WorkshopError):
    """What the plan was made from has changed since."""

    title = "The plan is out of date"


class NotLookedAtError(InvalidInputError):
    """The plan buys rows whose text was only read by the program."""

    title = "Look at these rows first"


class OrderMovedError(WorkshopError):
    """The order is no longer in the state the action needs."""

    title = "That order has moved on"


def accept(session: Session, act: Act, proposal: Proposal, *, looked_at: bool = False) -> tuple[OrderView, ...]:
    """Keep a plan as one planned order a supplier. `looked_at`: a person looked at every row that has a doubt.

    Raises `PlanStaleError` where a kit, a list or another order has changed since, `NotLookedAtError`,
    `InvalidInputError` for a plan with nothing in it.
    """
    if not proposal.orders:
        raise InvalidInputError("There is nothing to order in this plan.", "Plan again when something is short.")
    doubts = proposal.doubts
    if doubts and not looked_at:
        raise NotLookedAtError(
            f"{len(doubts)} row{'s' * (len(doubts) > 1)} of this plan were only read from the list's text, first "
            f"{doubts[0].offer.row.number} ({doubts[0].doubt}).",
            "Look at what each one is, and say that it is right.",
        )
    made = claim(session, act, "orders.plan", ", ".join(order.supplier for order in proposal.orders)[:NOTE_LENGTH])
    if made.first:
        _hold_jobs(session, proposal)
        _refuse_stale(session, act, proposal)
        for order in proposal.orders:
            _write(session, act, made.action_id, order)
    return views(session, session.exec(select(Order).where(Order.action_id == made.action_id)).all())


def place(
    session: Session, act: Act, order_ids: Sequence[int], *, expected_on: date | None = None, note: str = ""
) -> tuple[OrderView, ...]:
    """Mark planned orders as sent. `expected_on`: the day the supplier gave, else the lines' lead times say it."""
    if not order_ids:
        raise InvalidInputError("No order was named.", "Choose what was ordered.")
    if expected_on is not None and expected_on < act.at.date():
        raise InvalidInputError(f"{expected_on} has passed.", "Type the day it is expected, or none.")
    said = clean(note, "note", limit=NOTE_LENGTH, empty=True)
    made = claim(session, act, "orders.order", f"{len(order_ids)} orders")
    if made.first:
        for order in _held(session, order_ids, {OrderState.PLANNED}, "ordered"):
            _step(session, made.action_id, order, OrderStepWord.ORDERED, expected_on, said)
    return _of_step(session, made.action_id)


def call_off(session: Session, act: Act, order_id: int, note: str = "") -> OrderView:
    """Expect nothing more of an order: what has come stays, what has not is short again."""
    said = clean(note, "reason", limit=NOTE_LENGTH, empty=True)
    made = claim(session, act, "orders.call_off", subject_id=order_id)
    if made.first:
        (order,) = _held(session, [order_id], OPEN, "cancelled")
        _step(session, made.action_id, order, OrderStepWord.CALLED_OFF, None, said)
    return get(session, order_id)


def hold_in(session: Session, order_id: int, states: Iterable[OrderState], word: str) -> OrderProgress:
    """Hold the order until the unit ends, and say how it stands; `OrderMovedError` unless in one of the states."""
    return _standing(session, [hold(session, Order, order_id, "order")], states, word)[order_id]


def _held(session: Session, order_ids: Sequence[int], states: Iterable[OrderState], word: str) -> list[Order]:
    orders = [hold(session, Order, order_id, "order") for order_id in sorted(set(order_ids))]
    _standing(session, orders, states, word)
    return orders


def _standing(
    session: Session, orders: Sequence[Order], states: Iterable[OrderState], word: str
) -> dict[int, OrderProgress]:
    allowed = set(states)
    found = dict(progress_of(session, orders))
    for order_id, standing in found.items():
        if standing.state not in allowed:
            raise OrderMovedError(
                f"Order {order_id} is {standing.state} and can't be {word}.", "Refresh the list of orders."
            )
    return found


def _step(
    session: Session, action_id: int, order: Order, word: OrderStepWord, expected_on: date | None, note: str
) -> None:
    session.add(OrderStep(action_id=action_id, order_id=order.id or 0, step=word, expected_on=expected_on, note=note))
    session.flush()


def _of_step(session: Session, action_id: int) -> tuple[OrderView, ...]:
    ids = session.exec(select(OrderStep.order_id).where(OrderStep.action_id == action_id)).all()
    return views(session, session.exec(select(Order).where(col(Order.id).in_(ids)).order_by(col(Order.id))).all())


def _hold_jobs(session: Session, proposal: Proposal) -> None:
    """Two plans for one job are accepted one after the other, whoever makes them."""
    job_ids = {short.job_id for short in proposal.gathered.shorts if short.job_id is not None}
    for job_id in sorted(job_ids):
        hold(session, Job, job_id, "job")
    supplier_ids = {order.supplier_id for order in proposal.orders}
    for supplier_id in sorted(supplier_ids):
        hold(session, SupplierTable, supplier_id, "supplier")


def _refuse_stale(session: Session, act: Act, proposal: Proposal) -> None:
    # For all the jobs that were asked for, not only those that lack something: others count on the same free stock.
    asked = proposal.gathered
    now = {
        one.short.line: one.short.quantity
        for one in short_lines(session, asked.job_ids, act.at.date(), by_date=asked.by_date)
    }
    for order in proposal.orders:
        for line in order.lines:
            for share in line.shares:
                if now.get(share.short.line) != share.short.quantity:
                    raise PlanStaleError(f"“{share.short.title}” is short by another amount by now.", "Plan again.")
            row = hold(session, ListRow, line.offer.row.row_id, "row of a supplier's list")
            listed = line.offer.row
            as_planned = (listed.price_minor, listed.price_per, listed.breaks, listed.pack_quantity, listed.currency)
            if row.withdrawn_list_id is not None or as_planned != (
                *(row.price_minor, row.price_per, row.breaks, row.pack_quantity, row.currency),
            ):
                raise PlanStaleError(f"{order.supplier} lists {row.number} otherwise by now.", "Plan again.")
            assert steps_of(listed)


def _write(session: Session, act: Act, action_id: int, planned: PlannedOrder) -> None:
    order = Order(
        action_id=action_id,
        supplier_id=planned.supplier_id,
        currency=planned.currency,
        goods_minor=planned.goods_minor,
        freight_minor=planned.freight_minor,
    )
    session.add(order)
    session.flush()
    assert order.id is not None
    for position, line in enumerate(planned.lines):
        item_id = _item_for(session, act, action_id, line)
        listed = line.offer.row
        row = OrderLine(
            order_id=order.id,
            position=position,
            row_id=listed.row_id,
            item_id=item_id,
            number=listed.number,
            name=listed.name,
            packs=line.packs,
            pack_quantity=line.offer.pack_quantity,
            counted_in=line.offer.what.counted_in or Unit.EACH,
            price_minor=line.price_minor,
            price_per=line.price_per,
            cost_minor=line.cost_minor,
            lead_days=line.offer.lead_days,
        )
        session.add(row)
        session.flush()
        session.add_all(
            [
                OrderShare(
                    order_line_id=row.id or 0,
                    position=at,
                    need_id=share.short.need_id,
                    reorder_item_id=share.short.item_id,
                    quantity=share.quantity,
                    caution=share.caution[:NOTE_LENGTH],
                )
                for at, share in enumerate(line.shares)
            ]
        )
        session.flush()


def _item_for(session: Session, act: Act, action_id: int, line: PlannedLine) -> int:
    """The item a row is: as said before, the one it is reordered for, a like one, or a new one; then remembered."""
    offer, listed = line.offer, line.offer.row
    if offer.item_id is not None:
        return offer.item_id
    known = session.get(RowItem, listed.row_id)
    if known is not None:
        return known.item_id
    wanted = offer.what
    found = next((share.short.item_id for share in line.shares if share.short.item_id is not None), None)
    item_id = found if found is not None else _like(session, wanted)
    if item_id is None:
        item_id = _new(session, act, line)
    session.add(RowItem(row_id=listed.row_id, item_id=item_id, action_id=action_id))
    row = session.get_one(ListRow, listed.row_id)
    if row.reading_state is ReadingState.READ:
        row.reading_state = ReadingState.CONFIRMED
    session.flush()
    return item_id


def _like(session: Session, wanted: items.NewItem) -> int | None:
    """An item that is the same thing whoever sells it: a ring of that size and rubber, a bolt, rags."""
    query = select(Item.id).where(in_use(Item), Item.kind == wanted.kind).order_by(col(Item.id))
    if wanted.kind is Kind.RING:
        query = query.where(
            Item.size_key == wanted.size_key,
            Item.rubber == wanted.rubber,
            col(Item.hardness_shore_a).is_(None)
            if wanted.hardness_shore_a is None
            else Item.hardness_shore_a == wanted.hardness_shore_a,
        )
    elif wanted.kind in {Kind.FASTENER, Kind.CONSUMABLE}:
        query = query.where(Item.class_folded == fold(wanted.spec_class), Item.grade_folded == fold(wanted.spec_grade))
    else:
        query = query.where(Item.name == clean(wanted.name[:NAME_LENGTH], "name"))
    return session.exec(query).first()


def _new(session: Session, act: Act, line: PlannedLine) -> int:
    wanted, listed = line.offer.what, line.offer.row
    name = wanted.name[:NAME_LENGTH]
    if wanted.kind is Kind.RING:
        hard = f" {wanted.hardness_shore_a}" if wanted.hardness_shore_a else ""
        name = f"O-ring {(wanted.size_key or '').upper().replace(':', ' ')} {wanted.rubber}{hard}".strip()
    same = select(Item.id).where(Item.name == clean(name, "name"), col(Item.withdrawn_at).is_(None))
    if session.exec(same).first() is not None:
        ending = f" ({listed.number}, {line.offer.supplier})"
        name = f"{name[: NAME_LENGTH - len(ending)]}{ending}"[:NAME_LENGTH]
    container = line.offer.pack_quantity if wanted.kind is Kind.FLUID else None
    figures = wanted.figures._replace(container=container)
    new = wanted._replace(name=name, cure_minutes=None, figures=figures)
    # An action of its own, under a key that follows from this one's: a second try finds it.
    own = Act(act.who, f"{act.key[:150]}/row-{listed.row_id}", act.at)
    return items.add_many(session, own, [new])[0].item_id
