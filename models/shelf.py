"""The shelf: receive, count, use, scrap, and what lies where. Sums over movements, never edited fields."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, func, or_
from sqlmodel import Session, col, select
from sqlmodel.sql.expression import Select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError, NotEnoughError, NotFoundError
from models.ledger import Change, Entries, Place, stock_at
from models.rows import hold
from models.tables import Action, Bin, Item, Lot, Movement, Stock
from models.text import NOTE_LENGTH, clean, search_words
from models.volume import in_words
from models.words import Kind, Moved, Unit

SelectOfStock = Select[Stock, Item, Bin, Lot]

MOST = 10**12
"""The largest quantity of one move: a million litres, or a million million pieces."""


class StockRow(NamedTuple):
    """What lies in one bin of one item and lot. `free` is on hand less promised. Quantities in `counted_in`."""

    stock_id: int
    item_id: int
    item_name: str
    kind: Kind
    size_key: str | None
    rubber: str
    counted_in: Unit
    bin_id: int
    bin_code: str
    lot_code: str
    expires_on: date | None
    on_hand: int
    promised: int
    free: int


class StockPage(NamedTuple):
    """A window of the shelf, and how many rows there are in all."""

    rows: tuple[StockRow, ...]
    total: int


class Delivery(NamedTuple):
    """One line of a delivery. A day of expiry without a lot code becomes the code."""

    item_id: int
    bin_id: int
    quantity: int
    lot_code: str = ""
    expires_on: date | None = None


class MovementRow(NamedTuple):
    """One entry of the ledger with who and when."""

    movement_id: int
    at: datetime
    who: str
    kind: Moved
    on_hand_change: int
    promised_change: int
    reason: str
    reverses: int | None
    action_key: str


def receive(
    session: Session,
    act: Act,
    *,
    item_id: int,
    bin_id: int,
    quantity: int,
    lot_code: str = "",
    expires_on: date | None = None,
    reason: str = "",
) -> StockRow:
    """Put one item into a bin; see `receive_many`."""
    delivery = Delivery(item_id, bin_id, quantity, lot_code, expires_on)
    return receive_many(session, act, [delivery], reason=reason)[0]


def receive_many(
    session: Session, act: Act, deliveries: Sequence[Delivery], *, reason: str = ""
) -> tuple[StockRow, ...]:
    """Put a delivery of many lines into bins in one action, all or none. Answers with the rows it went to.

    Raises `InvalidInputError`, `NotFoundError`.
    """
    if not deliveries:
        raise InvalidInputError("Nothing was delivered.", "Name at least one item.")
    said = _reason(reason)
    for one in deliveries:
        _amount(one.quantity, least=1)
    _all_there(session, Item, "item", {one.item_id for one in deliveries})
    _all_there(session, Bin, "bin", {one.bin_id for one in deliveries})
    codes = [clean(one.lot_code, "lot", empty=True) or str(one.expires_on or "") for one in deliveries]
    made = claim(session, act, "shelf.receive")
    if made.first:
        places: list[Place] = [
            (
                one.item_id,
                one.bin_id,
                _lot(session, made.action_id, one.item_id, code, one.expires_on) if code else None,
            )
            for one, code in zip(deliveries, codes, strict=True)
        ]
        stock_ids = stock_at(session, places)
        Entries(session, made.action_id).write_receipts(
            [(stock_ids[place], one.quantity) for place, one in zip(places, deliveries, strict=True)], said
        )
    moved = select(Movement.stock_id).where(Movement.action_id == made.action_id)
    rows = session.exec(_stock_query().where(col(Stock.id).in_(moved)).order_by(col(Stock.id))).all()
    return tuple(_as_row(*row) for row in rows)


def count(session: Session, act: Act, *, stock_id: int, counted: int, reason: str = "") -> StockRow:
    """Set right what a bin holds: the movement is the difference to what was thought, zero included.

    Raises `NotEnoughError` when fewer are there than are promised: release a promise first.
    """
    _amount(counted, least=0)
    made = claim(session, act, "shelf.count")
    if made.first:
        held = hold(session, Stock, stock_id, "stock")
        if counted < held.promised:
            row = stock_row(session, stock_id)
            raise NotEnoughError(
                f"{row.item_name} in bin {row.bin_code}: {in_words(counted, row.counted_in)} counted, "
                f"but {in_words(held.promised, row.counted_in)} are promised to kits.",
                "Release a promise first, then count again.",
            )
        Entries(session, made.action_id).write(
            stock_id, Moved.COUNTED, Change(on_hand=counted - held.on_hand), reason=_reason(reason)
        )
    return stock_row(session, _stock_moved(session, made.action_id))


def use(session: Session, act: Act, *, stock_id: int, quantity: int, reason: str = "") -> StockRow:
    """Take free stock straight off the shelf, without a kit. Raises `NotEnoughError`."""
    return _take(session, act, "shelf.use", Moved.USED, stock_id, quantity, reason)


def scrap(session: Session, act: Act, *, stock_id: int, quantity: int, reason: str) -> StockRow:
    """Throw free stock away: expired, damaged, lost. The reason is asked for. Raises `NotEnoughError`."""
    clean(reason, "reason", limit=NOTE_LENGTH)
    return _take(session, act, "shelf.scrap", Moved.SCRAPPED, stock_id, quantity, reason)


def _take(session: Session, act: Act, what: str, kind: Moved, stock_id: int, quantity: int, reason: str) -> StockRow:
    _amount(quantity, least=1)
    made = claim(session, act, what)
    if made.first:
        Entries(session, made.action_id).write(stock_id, kind, Change(on_hand=-quantity), reason=_reason(reason))
    return stock_row(session, _stock_moved(session, made.action_id))


def stock_rows(
    session: Session, text: str = "", *, kind: Kind | None = None, limit: int = 200, offset: int = 0
) -> StockPage:
    """The shelf, by bin then item. Every word of `text` must stand in the item's words or the bin's."""
    conditions: list[ColumnElement[bool]] = [
        or_(col(Item.folded).contains(word, autoescape=True), col(Bin.folded).contains(word, autoescape=True))
        for word in search_words(text)
    ]
    if kind is not None:
        conditions.append(col(Item.kind) == kind)
    total = session.exec(
        select(func.count())
        .select_from(Stock)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .where(*conditions)
    ).one()
    rows = session.exec(
        _stock_query()
        .where(*conditions)
        .order_by(col(Bin.folded), col(Item.folded), col(Stock.id))
        .limit(limit)
        .offset(offset)
    ).all()
    return StockPage(tuple(_as_row(*row) for row in rows), total)


def stock_row(session: Session, stock_id: int) -> StockRow:
    """One row of the shelf. Raises `NotFoundError`."""
    row = session.exec(_stock_query().where(col(Stock.id) == stock_id)).first()
    if row is None:
        raise NotFoundError(f"There is no stock {stock_id}.", "Refresh the list.")
    return _as_row(*row)


def movements(session: Session, stock_id: int, *, limit: int = 200, offset: int = 0) -> tuple[MovementRow, ...]:
    """The ledger of one stock row, newest first."""
    rows = session.exec(
        select(Movement, Action)
        .join(Action, col(Action.id) == col(Movement.action_id))
        .where(col(Movement.stock_id) == stock_id)
        .order_by(col(Movement.id).desc())
        .limit(limit)
        .offset(offset)
    ).all()
    return tuple(
        MovementRow(
            moved.id or 0,
            action.at,
            action.who,
            moved.kind,
            moved.on_hand_change,
            moved.promised_change,
            moved.reason,
            moved.reverses_id,
            action.key,
        )
        for moved, action in rows
    )


def _stock_query() -> SelectOfStock:
    # Read afresh: the session would answer with sums from before an UPDATE of this unit.
    return (
        select(Stock, Item, Bin, Lot)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .execution_options(populate_existing=True)
    )


def _as_row(stock: Stock, item: Item, place: Bin, lot: Lot) -> StockRow:
    assert stock.id is not None
    assert item.id is not None
    assert place.id is not None
    in_lot = stock.lot_id is not None
    return StockRow(
        stock.id,
        item.id,
        item.name,
        item.kind,
        item.size_key,
        item.rubber,
        item.counted_in,
        place.id,
        place.code,
        lot.code if in_lot else "",
        lot.expires_on if in_lot else None,
        stock.on_hand,
        stock.promised,
        stock.on_hand - stock.promised,
    )


def _stock_moved(session: Session, action_id: int) -> int:
    return session.exec(select(Movement.stock_id).where(Movement.action_id == action_id)).one()


def _lot(session: Session, action_id: int, item_id: int, code: str, expires_on: date | None) -> int:
    lot = session.exec(select(Lot).where(Lot.item_id == item_id, Lot.code == code)).first()
    if lot is None:
        lot = Lot(action_id=action_id, item_id=item_id, code=code, expires_on=expires_on)
        session.add(lot)
        session.flush()
    elif expires_on is not None and lot.expires_on != expires_on:
        raise InvalidInputError(
            f"Lot {code} expires on {lot.expires_on or 'no stated day'}, not on {expires_on}.",
            "Correct the day, or give the delivery a lot code of its own.",
        )
    assert lot.id is not None
    return lot.id


def _all_there(session: Session, table: type[Item] | type[Bin], called: str, ids: set[int]) -> None:
    found = set(session.exec(select(table.id).where(col(table.id).in_(ids))).all())
    for missing in sorted(ids - found):
        raise NotFoundError(f"There is no {called} {missing}.", "Refresh the list.")


def _amount(quantity: int, *, least: int) -> None:
    if not least <= quantity <= MOST:
        raise InvalidInputError(f"A quantity of {quantity} can't be booked.", f"Type a whole number from {least} up.")


def _reason(reason: str) -> str:
    return clean(reason, "reason", limit=NOTE_LENGTH, empty=True)
