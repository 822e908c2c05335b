"""What came of an order goes onto the shelf and into the kits that wait for it: one action, undone as one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from sqlalchemy import insert
from sqlmodel import Session, col, select

from models import jobs, kits
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.inventory import bins
from models.inventory.ledger import Entries, Place, stock_at
from models.inventory.lots import code_of, lots_for
from models.orders.booking import hold_in
from models.orders.listing import OrderView, get
from models.orders.words import OrderState
from models.rows import hold
from models.tables import Item, Job, Need, OrderLine, OrderReceipt, OrderShare, Stock
from models.words import KitState


class Came(NamedTuple):
    """Packs of one line that came, and the bin they go to. The lot and its days are as `models.shelf.Delivery`'s."""

    line_id: int
    packs: int
    bin_code: str
    lot_code: str = ""
    expires_on: date | None = None
    cured_on: date | None = None


class KitNow(NamedTuple):
    """A kit that waited for the delivery, and where it stands now."""

    job_id: int
    title: str
    state: KitState


class Received(NamedTuple):
    """The order after the delivery, and the kits it was for."""

    order: OrderView
    kits: tuple[KitNow, ...]


class _Delivered(NamedTuple):
    item_id: int
    expires_on: date | None
    cured_on: date | None


def receive(session: Session, act: Act, order_id: int, came: Sequence[Came]) -> Received:
    """Take a delivery in, whole or in part; a bin that is new is made. Kits it was for are looked for again.

    Raises `NotFoundError`, `OrderMovedError` for an order that was not sent, `InvalidInputError` for more packs than
    are still to come.
    """
    if not came:
        raise InvalidInputError("Nothing came.", "Name at least one line.")
    for one in came:
        if one.cured_on is not None and one.cured_on > act.at.date():
            raise InvalidInputError(f"A cure on {one.cured_on} lies ahead.", "Type the day on the bag.")
    bin_ids = bins.all_named_or_new(session, act, [one.bin_code for one in came])
    made = claim(session, act, "orders.receive", subject_id=order_id)
    if made.first:
        _take_in(session, act, made.action_id, order_id, came, bin_ids)
    job_ids = _jobs_for(session, [one.line_id for one in came])
    stand = [jobs.get(session, job_id) for job_id in job_ids]
    return Received(get(session, order_id), tuple(KitNow(one.job_id, one.title, one.state) for one in stand))


def _take_in(
    session: Session, act: Act, action_id: int, order_id: int, came: Sequence[Came], bin_ids: dict[str, int]
) -> None:
    standing = hold_in(session, order_id, {OrderState.ORDERED, OrderState.PART_RECEIVED}, "received")
    lines = {one.id: one for one in session.exec(select(OrderLine).where(OrderLine.order_id == order_id)).all()}
    received = dict(standing.received)
    for one in came:
        line = lines.get(one.line_id)
        if line is None:
            raise InvalidInputError(f"Order {order_id} has no line {one.line_id}.", "Refresh the order.")
        waits = line.packs - received[one.line_id]
        if not 1 <= one.packs <= waits:
            raise InvalidInputError(
                f"{one.packs} packs of {line.number} can't have come: {waits} are still to come.",
                f"Type 1 to {waits}; book what is more on the shelf." if waits else "It has all come already.",
            )
        received[one.line_id] += one.packs
    job_ids = _jobs_for(session, [one.line_id for one in came])
    # In one order for all programs: orders, then jobs, then lots, then stock.
    for job_id in job_ids:
        hold(session, Job, job_id, "job")
    coded = [
        (
            _Delivered(lines[one.line_id].item_id, one.expires_on, one.cured_on),
            code_of(one.lot_code, one.expires_on, one.cured_on),
        )
        for one in came
    ]
    places: list[Place] = [
        (lines[one.line_id].item_id, bin_ids[one.bin_code], lot_id)
        for one, lot_id in zip(came, lots_for(session, action_id, coded), strict=True)
    ]
    stock_ids = stock_at(session, places)
    _hold_stock(session, job_ids, stock_ids.values())
    entries = Entries(session, action_id)
    quantities = [one.packs * lines[one.line_id].pack_quantity for one in came]
    entries.write_receipts(
        [(stock_ids[place], quantity) for place, quantity in zip(places, quantities, strict=True)],
        f"order {order_id}",
    )
    session.flush()
    session.connection().execute(
        insert(OrderReceipt),
        [
            {"action_id": action_id, "order_line_id": one.line_id, "packs": one.packs, "quantity": quantity,
             "stock_id": stock_ids[place]}
            for one, place, quantity in zip(came, places, quantities, strict=True)
        ],
    )  # fmt: skip
    for job_id in job_ids:
        kits.look_for(session, act, entries, job_id)


def _hold_stock(session: Session, job_ids: Sequence[int], stock_ids: Iterable[int]) -> None:
    """Hold, in the order of their ids, the rows that the delivery and the kits' looking may both touch."""
    kinds = select(Need.kind).where(col(Need.job_id).in_(job_ids), col(Need.withdrawn_at).is_(None))
    near = select(Stock.id).join(Item, col(Item.id) == col(Stock.item_id)).where(col(Item.kind).in_(kinds))
    ids = sorted({*(one for one in session.exec(near).all() if one is not None), *stock_ids})
    session.exec(select(Stock.id).where(col(Stock.id).in_(ids)).order_by(col(Stock.id)).with_for_update()).all()


def _jobs_for(session: Session, line_ids: Sequence[int]) -> list[int]:
    """The open jobs these lines were ordered for."""
    return sorted(
        one
        for one in session.exec(
            select(Job.id)
            .join(Need, col(Need.job_id) == col(Job.id))
            .join(OrderShare, col(OrderShare.need_id) == col(Need.id))
            .where(col(OrderShare.order_line_id).in_(line_ids), col(Job.closed_at).is_(None))
            .distinct()
        ).all()
        if one is not None
    )
