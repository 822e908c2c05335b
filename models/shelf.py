"""The shelf: receive, count, use, scrap, and what lies where. Sums over movements, never edited fields."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, and_, exists, func, or_
from sqlmodel import Session, col, select
from sqlmodel.sql.expression import Select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError, NotEnoughError, NotFoundError, WorkshopError
from models.inventory.ledger import Change, Entries, Place, stock_at
from models.inventory.lots import code_of, lots_for
from models.rows import ROWS_AT_ONCE, in_use
from models.stock_rows import StockPage, StockRow
from models.tables import Action, Bin, Item, Lot, Movement, Picture, Stock
from models.text import NOTE_LENGTH, clean, search_words
from models.volume import in_words
from models.words import Kind, Moved, Unit

SelectOfStock = Select[Stock, Item, Bin, Lot, bool]

MOST = 10**12
"""The largest quantity of one move: a million litres, or a million million pieces."""


class StockMovedError(WorkshopError):
    """What a count is compared with is on record no more; `row` is how it stands now."""

    title = "The stock has moved"

    def __init__(self, row: StockRow) -> None:
        super().__init__(
            f"{row.item_name} in bin {row.bin_code}: moved meanwhile, now {in_words(row.on_hand, row.counted_in)} "
            "on record.",
            "Count it again.",
        )
        self.row = row


class Delivery(NamedTuple):
    """One line of a delivery. A day of expiry, or of cure, without a lot code becomes the code.

    `cured_on`: the day rubber was cured; where no day of expiry is given it follows from there by ISO 2230.
    """

    item_id: int
    bin_id: int
    quantity: int
    lot_code: str = ""
    expires_on: date | None = None
    cured_on: date | None = None


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
    cured_on: date | None = None,
    reason: str = "",
) -> StockRow:
    """Put one item into a bin; see `receive_many`."""
    delivery = Delivery(item_id, bin_id, quantity, lot_code, expires_on, cured_on)
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
    for one in deliveries:
        if one.cured_on is not None and one.cured_on > act.at.date():
            raise InvalidInputError(f"A cure on {one.cured_on} lies ahead.", "Type the day on the bag.")
    coded = [(one, code_of(one.lot_code, one.expires_on, one.cured_on)) for one in deliveries]
    made = claim(session, act, "shelf.receive")
    if made.first:
        places: list[Place] = [
            (one.item_id, one.bin_id, lot_id)
            for one, lot_id in zip(deliveries, lots_for(session, made.action_id, coded), strict=True)
        ]
        stock_ids = stock_at(session, places)
        Entries(session, made.action_id).write_receipts(
            [(stock_ids[place], one.quantity) for place, one in zip(places, deliveries, strict=True)], said
        )
    moved = select(Movement.stock_id).where(Movement.action_id == made.action_id)
    rows = session.exec(_stock_query().where(col(Stock.id).in_(moved)).order_by(col(Stock.id))).all()
    return _as_rows(session, rows)


def count(session: Session, act: Act, *, stock_id: int, counted: int, reason: str = "") -> StockRow:
    """Set right what a bin holds: the movement is the difference to what was thought, zero included.

    Raises `NotEnoughError` when fewer are there than are promised: release a promise first.
    """
    _amount(counted, least=0)
    made = claim(session, act, "shelf.count")
    if made.first:
        _count(session, made.action_id, {stock_id: counted}, {}, _reason(reason))
    return stock_row(session, _stock_moved(session, made.action_id))


def count_many(
    session: Session,
    act: Act,
    counts: Mapping[int, int],
    *,
    expected: Mapping[int, int] | None = None,
    reason: str = "",
) -> tuple[StockRow, ...]:
    """Set right what many rows hold, by stock id, in one action, all or none: a box counted per size, a round.

    `expected`: what was on record when it was counted, by stock id. Raises `InvalidInputError`, `NotFoundError`,
    `StockMovedError` where something else is on record by now, `NotEnoughError` where fewer are there than promised.
    """
    said = _reason(reason)
    if not counts:
        raise InvalidInputError("Nothing was counted.", "Count at least one row.")
    for counted in counts.values():
        _amount(counted, least=0)
    made = claim(session, act, "shelf.count", f"{len(counts)} rows")
    if made.first:
        _count(session, made.action_id, counts, expected or {}, said)
    moved = select(Movement.stock_id).where(Movement.action_id == made.action_id)
    rows = session.exec(_stock_query().where(col(Stock.id).in_(moved)).order_by(col(Stock.id))).all()
    return _as_rows(session, rows)


def _count(
    session: Session, action_id: int, counts: Mapping[int, int], expected: Mapping[int, int], reason: str
) -> None:
    rows = rows_by_id(session, counts, hold=True)
    for stock_id, counted in sorted(counts.items()):
        row = rows.get(stock_id)
        if row is None:
            raise _no_stock(stock_id)
        if expected.get(stock_id, row.on_hand) != row.on_hand:
            raise StockMovedError(row)
        if counted < row.promised:
            raise NotEnoughError(
                f"{row.item_name} in bin {row.bin_code}: {in_words(counted, row.counted_in)} counted, "
                f"but {in_words(row.promised, row.counted_in)} are promised to kits.",
                "Release a promise first, then count again.",
            )
    changes = [(stock_id, counted - rows[stock_id].on_hand) for stock_id, counted in counts.items()]
    Entries(session, action_id).write_counts(changes, reason)


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
        _shown(),
        *(
            or_(col(Item.folded).contains(word, autoescape=True), col(Bin.folded).contains(word, autoescape=True))
            for word in search_words(text)
        ),
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
    return StockPage(_as_rows(session, rows), total)


def rows_of(session: Session, *, bin_id: int | None = None, item_id: int | None = None) -> tuple[StockRow, ...]:
    """What lies in one bin, or of one item, by bin then item; empty rows as well."""
    conditions: list[ColumnElement[bool]] = [_shown()]
    if bin_id is not None:
        conditions.append(col(Stock.bin_id) == bin_id)
    if item_id is not None:
        conditions.append(col(Stock.item_id) == item_id)
    rows = session.exec(
        _stock_query().where(*conditions).order_by(col(Bin.folded), col(Item.folded), col(Stock.id))
    ).all()
    return _as_rows(session, rows)


def _shown() -> ColumnElement[bool]:
    """What lies there is shown; a row with nothing in it only while its item and its bin are in use."""
    return or_(and_(in_use(Item), in_use(Bin)), col(Stock.on_hand) > 0)


def stock_row(session: Session, stock_id: int) -> StockRow:
    """One row of the shelf. Raises `NotFoundError`."""
    row = session.exec(_stock_query().where(col(Stock.id) == stock_id)).first()
    if row is None:
        raise _no_stock(stock_id)
    return _as_rows(session, [row])[0]


def rows_by_id(session: Session, stock_ids: Iterable[int], *, hold: bool = False) -> dict[int, StockRow]:
    """Those of the rows that there are, by their ids, in a few statements however many they are.

    `hold`: no other unit can change them until this one ends; in the order of their ids, as all programs do.
    """
    found: dict[int, StockRow] = {}
    ids = sorted(set(stock_ids))
    for at in range(0, len(ids), ROWS_AT_ONCE):
        named = col(Stock.id).in_(ids[at : at + ROWS_AT_ONCE])
        if hold:
            session.exec(select(Stock.id).where(named).order_by(col(Stock.id)).with_for_update(key_share=True)).all()
        rows = _as_rows(session, session.exec(_stock_query().where(named)).all())
        found |= {row.stock_id: row for row in rows}
    return found


def _no_stock(stock_id: int) -> NotFoundError:
    return NotFoundError(f"There is no stock {stock_id}.", "Refresh the list.")


def movements(session: Session, *stock_ids: int, limit: int = 200, offset: int = 0) -> tuple[MovementRow, ...]:
    """The ledger of one stock row, or of several together, newest first."""
    rows = session.exec(
        select(Movement, Action)
        .join(Action, col(Action.id) == col(Movement.action_id))
        .where(col(Movement.stock_id).in_(stock_ids))
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
    found: SelectOfStock = (
        select(Stock, Item, Bin, Lot, _annotated())  # type: ignore[call-overload]  # SQLModel types up to four
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .execution_options(populate_existing=True)
    )
    return found


def _annotated() -> ColumnElement[bool]:
    """Whether there is a picture of the item or of the bin, or a note on the item."""
    stands = col(Picture.withdrawn_by_id).is_(None)
    return or_(
        col(Item.note) != "",
        exists().where(col(Picture.item_id) == col(Item.id), stands),
        exists().where(col(Picture.bin_id) == col(Bin.id), stands),
    )


def _as_rows(session: Session, rows: Sequence[tuple[Stock, Item, Bin, Lot, bool]]) -> tuple[StockRow, ...]:
    return tuple(_as_row(*row) for row in rows)


def _as_row(stock: Stock, item: Item, place: Bin, lot: Lot, annotated: bool) -> StockRow:
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
        item.container if item.counted_in is Unit.MICROLITRE else None,
        bool(annotated),
    )


def _stock_moved(session: Session, action_id: int) -> int:
    return session.exec(select(Movement.stock_id).where(Movement.action_id == action_id)).one()


def _all_there(session: Session, table: type[Item] | type[Bin], called: str, ids: set[int]) -> None:
    found = set(session.exec(select(table.id).where(col(table.id).in_(ids))).all())
    for missing in sorted(ids - found):
        raise NotFoundError(f"There is no {called} {missing}.", "Refresh the list.")


def _amount(quantity: int, *, least: int) -> None:
    if not least <= quantity <= MOST:
        raise InvalidInputError(f"A quantity of {quantity} can't be booked.", f"Type a whole number from {least} up.")


def _reason(reason: str) -> str:
    return clean(reason, "reason", limit=NOTE_LENGTH, empty=True)
