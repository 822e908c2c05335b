"""The only place that moves stock: one movement and its effect on the sums, in the same transaction."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy import insert, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import CursorResult
from sqlmodel import Session, col, select

from models.errors import NotEnoughError, NotFoundError
from models.tables import Bin, Item, Movement, Stock
from models.volume import in_words
from models.words import Moved


class Change(NamedTuple):
    """What one movement does to both sums."""

    on_hand: int = 0
    promised: int = 0


class Entries:
    """The movements of one action, numbered as they are written."""

    def __init__(self, session: Session, action_id: int) -> None:
        self._session = session
        self._action_id = action_id
        self._written = 0

    def write(
        self,
        stock_id: int,
        kind: Moved,
        change: Change,
        *,
        reason: str = "",
        line_id: int | None = None,
        reverses: int | None = None,
    ) -> None:
        """Move stock, or raise `NotEnoughError` when less than nothing would be free or promised.

        The condition stands in the UPDATE itself, so no other program can slip between looking and taking.
        """
        on_hand = col(Stock.on_hand) + change.on_hand
        promised = col(Stock.promised) + change.promised
        moved: CursorResult[object] = self._session.exec(
            update(Stock)
            .where(col(Stock.id) == stock_id, promised >= 0, on_hand >= promised)
            .values(on_hand=on_hand, promised=promised)
            .execution_options(synchronize_session=False)
        )
        if moved.rowcount != 1:
            raise _refusal(self._session, stock_id, change)
        self._session.exec(
            insert(Movement).values(
                action_id=self._action_id,
                position_in_action=self._written,
                stock_id=stock_id,
                kind=kind,
                on_hand_change=change.on_hand,
                promised_change=change.promised,
                kit_line_id=line_id,
                reason=reason,
                reverses_id=reverses,
            )
        )
        self._written += 1


def _refusal(session: Session, stock_id: int, change: Change) -> NotEnoughError | NotFoundError:
    found = session.exec(
        select(Stock, Item, Bin)
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .where(col(Stock.id) == stock_id)
        .execution_options(populate_existing=True)
    ).first()
    if found is None:
        return NotFoundError(f"There is no stock {stock_id}.", "Refresh the list.")
    stock, item, place = found
    unit = item.counted_in
    wanted = max(-change.on_hand, change.promised)
    return NotEnoughError(
        f"{item.name} in bin {place.code}: {in_words(stock.on_hand - stock.promised, unit)} free "
        f"({in_words(stock.on_hand, unit)} on hand, {in_words(stock.promised, unit)} promised), "
        f"{in_words(wanted, unit)} wanted.",
        "Release a promise, receive more, or take fewer.",
    )


def stock_at(session: Session, item_id: int, bin_id: int, lot_id: int | None) -> int:
    """The stock row of an item (and lot) in a bin, made if it is the first there."""
    values = {"item_id": item_id, "bin_id": bin_id, "lot_id": lot_id, "on_hand": 0, "promised": 0}
    dialect = session.get_bind().dialect.name
    made = postgresql.insert(Stock) if dialect == "postgresql" else sqlite.insert(Stock)
    session.exec(made.values(**values).on_conflict_do_nothing())
    same_lot = col(Stock.lot_id).is_(None) if lot_id is None else col(Stock.lot_id) == lot_id
    found = session.exec(select(Stock.id).where(Stock.item_id == item_id, Stock.bin_id == bin_id, same_lot)).one()
    assert found is not None
    return found
