"""The only place that moves stock: one movement and its effect on the sums, in the same transaction."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sqlalchemy import bindparam, insert, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import CursorResult
from sqlmodel import Session, col, select

from models.errors import NotEnoughError, NotFoundError
from models.tables import Bin, Item, Movement, Stock, Table
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

    @property
    def action_id(self) -> int:
        """The action they are of."""
        return self._action_id

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

    def write_receipts(self, received: Sequence[tuple[int, int]], reason: str = "") -> None:
        """A whole delivery at once: (stock id, quantity) pairs. Taking in can't run short, so nothing is asked."""
        self._write_at_once(Moved.RECEIVED, received, reason)

    def write_counts(self, changes: Sequence[tuple[int, int]], reason: str = "") -> None:
        """Many counts at once: (stock id, counted less on record) pairs, of rows the unit holds and has looked at."""
        self._write_at_once(Moved.COUNTED, changes, reason)

    def _write_at_once(self, kind: Moved, changes: Sequence[tuple[int, int]], reason: str) -> None:
        if not changes:
            return
        rows = sorted(changes)
        stock = Table.metadata.tables["stock"]
        connection = self._session.connection()
        connection.execute(
            stock.update()
            .where(stock.c.id == bindparam("row"))
            .values(on_hand=stock.c.on_hand + bindparam("quantity")),
            [{"row": stock_id, "quantity": quantity} for stock_id, quantity in rows],
        )
        connection.execute(
            insert(Movement),
            [
                {
                    "action_id": self._action_id,
                    "position_in_action": self._written + at,
                    "stock_id": stock_id,
                    "kind": kind,
                    "on_hand_change": quantity,
                    "promised_change": 0,
                    "reason": reason,
                }
                for at, (stock_id, quantity) in enumerate(rows)
            ],
        )
        self._written += len(rows)


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


Place = tuple[int, int, int | None]
"""An item, a bin and, where it has one, a lot: by their ids."""


def stock_at(session: Session, places: Sequence[Place]) -> dict[Place, int]:
    """The stock rows at the places, made where something is the first there."""
    rows = [
        {"item_id": item_id, "bin_id": bin_id, "lot_id": lot_id, "on_hand": 0, "promised": 0}
        for item_id, bin_id, lot_id in dict.fromkeys(places)
    ]
    dialect = session.get_bind().dialect.name
    made = postgresql.insert(Stock) if dialect == "postgresql" else sqlite.insert(Stock)
    session.connection().execute(made.on_conflict_do_nothing(), rows)
    found = session.exec(
        select(Stock.item_id, Stock.bin_id, Stock.lot_id, Stock.id).where(
            col(Stock.item_id).in_({item_id for item_id, _, _ in places})
        )
    ).all()
    ids = {(item_id, bin_id, lot_id): stock_id or 0 for item_id, bin_id, lot_id, stock_id in found}
    return {place: ids[place] for place in places}
