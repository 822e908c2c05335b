"""The last thing somebody did that can be undone: what it was, when, and what it moved."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from sqlmodel import Session, col, select

from models.tables import Action, Bin, Item, Movement, Stock
from models.undoing.undo import last_undoable
from models.undoing.undoable import UNDOABLE
from models.words import Unit

MOST_MOVES = 50


class Moves(NamedTuple):
    """One movement: of what, where, and how the two sums changed."""

    item_name: str
    bin_code: str
    counted_in: Unit
    on_hand_change: int
    promised_change: int


class LastChange(NamedTuple):
    """One action that can still be undone. `about`: a title or a number it was about; `moves`: the first of them.

    `number` is the action's own.
    """

    number: int
    key: str
    what: str
    about: str
    at: datetime
    moves: tuple[Moves, ...]
    all_moves: int


def last_change(session: Session, who: str, before: int | None = None) -> LastChange | None:
    """The latest of `who`, or the latest before that number, that can still be tried to be undone; or None."""
    key = last_undoable(session, who, before)
    if key is None:
        return None
    action = session.exec(select(Action).where(Action.key == key)).one()
    rows = session.exec(
        select(Movement, Item, Bin)
        .join(Stock, col(Stock.id) == col(Movement.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .where(Movement.action_id == action.id)
        .order_by(col(Movement.id))
    ).all()
    moves = tuple(
        Moves(item.name, place.code, item.counted_in, moved.on_hand_change, moved.promised_change)
        for moved, item, place in rows[:MOST_MOVES]
    )
    return LastChange(action.id or 0, key, UNDOABLE[action.what].called, action.about, action.at, moves, len(rows))
