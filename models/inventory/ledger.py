"""The only place that moves stock: one movement and its effect on the sums, in the same transaction."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from operator import sub
from typing import NamedTuple

from sqlalchemy import BigInteger, Integer, bindparam, column, insert, update, values
from sqlalchemy import Table as Listing
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import CursorResult
from sqlmodel import Session, col, select

from models.errors import NotEnoughError, NotFoundError
from models.rows import ROWS_AT_ONCE
from models.tables import Bin, Item, Movement, Stock, Table
from models.volume import in_words
from models.words import Moved


class Change(NamedTuple):
    """What one movement does to both sums."""

    on_hand: int = 0
    promised: int = 0


class _Sums(NamedTuple):
    """Both sums of a row of the shelf, before and after."""

    before: Change
    after: Change


class Move(NamedTuple):
    """One movement to be written: of which row, why, what it does to both sums, for which line, what it reverses."""

    stock_id: int
    kind: Moved
    change: Change
    reason: str = ""
    line_id: int | None = None
    reverses: int | None = None


class Entries:
    """The movements of one action, numbered as they are written."""

    def __init__(self, session: Session, action_id: int) -> None:
        self._session = session
        self._action_id = action_id
        self._written = 0
        self._held: dict[int, Change] = {}

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
        self._held.pop(stock_id, None)
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

    def write_many(self, moves: Sequence[Move]) -> None:
        """Many movements at once, in their order, all or none, with all that `write` promises of each.

        Every row is held first, by its id; each movement is judged by what those before it left, and the rows are
        changed only as they were judged. Raises what `write` raises, for the first that can't be.
        """
        if not moves:
            return
        end = self._judged(moves)
        stock = Table.metadata.tables["stock"]
        ids = sorted(end)
        for at in range(0, len(ids), ROWS_AT_ONCE):
            self._change(stock, {one: end[one] for one in ids[at : at + ROWS_AT_ONCE]})
        self._session.connection().execute(
            insert(Movement),
            [
                {
                    "action_id": self._action_id,
                    "position_in_action": self._written + at,
                    "stock_id": move.stock_id,
                    "kind": move.kind,
                    "on_hand_change": move.change.on_hand,
                    "promised_change": move.change.promised,
                    "kit_line_id": move.line_id,
                    "reason": move.reason,
                    "reverses_id": move.reverses,
                }
                for at, move in enumerate(moves)
            ],
        )
        self._written += len(moves)

    def _judged(self, moves: Sequence[Move]) -> dict[int, _Sums]:
        """Both sums of every row, before and after the moves; the rows are held from here on."""
        before = self.hold({move.stock_id for move in moves})
        after = dict(before)
        for stock_id, _, change, *_ in moves:
            there = after.get(stock_id)
            if there is None:
                raise _refusal(self._session, stock_id, change)
            left = Change(there.on_hand + change.on_hand, there.promised + change.promised)
            if not 0 <= left.promised <= left.on_hand:
                raise _refusal(self._session, stock_id, change, there)
            after[stock_id] = left
        return {stock_id: _Sums(sums, after[stock_id]) for stock_id, sums in before.items()}

    def hold(self, stock_ids: Collection[int]) -> dict[int, Change]:
        """Hold rows of the shelf until the unit ends, by their ids; gives what they hold, those there are.

        What is held once is not read again: nobody else can change it.
        """
        ids = sorted(set(stock_ids) - self._held.keys())
        for at in range(0, len(ids), ROWS_AT_ONCE):
            found = self._session.exec(
                select(Stock.id, Stock.on_hand, Stock.promised)
                .where(col(Stock.id).in_(ids[at : at + ROWS_AT_ONCE]))
                .order_by(col(Stock.id))
                .with_for_update(key_share=True)
            )
            self._held |= {stock_id or 0: Change(on_hand, promised) for stock_id, on_hand, promised in found}
        return {one: self._held[one] for one in stock_ids if one in self._held}

    def _change(self, stock: Listing, sums: dict[int, _Sums]) -> None:
        """Write the sums of rows that stand as they were judged, and see that they are written."""
        moved = (
            values(
                column("stock_id", Integer),
                column("on_hand_before", BigInteger),
                column("promised_before", BigInteger),
                column("on_hand_after", BigInteger),
                column("promised_after", BigInteger),
            )
            .data([(stock_id, *one.before, *one.after) for stock_id, one in sums.items()])
            .cte("moved")
        )
        written = self._session.connection().execute(
            stock.update()
            .where(
                stock.c.id == moved.c.stock_id,
                stock.c.on_hand == moved.c.on_hand_before,
                stock.c.promised == moved.c.promised_before,
            )
            .values(on_hand=moved.c.on_hand_after, promised=moved.c.promised_after)
            .returning(stock.c.id, stock.c.on_hand, stock.c.promised)
        )
        seen = {stock_id: Change(on_hand, promised) for stock_id, on_hand, promised in written}
        for stock_id, one in sums.items():
            if seen.get(stock_id) != one.after:
                raise _refusal(self._session, stock_id, Change(*map(sub, one.after, one.before)))
        self._held |= seen

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
        self._held.clear()
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


def _refusal(
    session: Session, stock_id: int, change: Change, sums: Change | None = None
) -> NotEnoughError | NotFoundError:
    """Why the row can't be changed so. `sums`: what it holds by then, where that isn't written yet."""
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
    on_hand, promised = sums or Change(stock.on_hand, stock.promised)
    wanted = max(-change.on_hand, change.promised)
    return NotEnoughError(
        f"{item.name} in bin {place.code}: {in_words(on_hand - promised, unit)} free "
        f"({in_words(on_hand, unit)} on hand, {in_words(promised, unit)} promised), "
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
