"""What actions did to the shelf: which rows they moved and by how much, in one statement."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any, Final, NamedTuple

from sqlalchemy import SQLColumnExpression, func, select
from sqlmodel import Session, col

from models.shelf import rows_by_id
from models.stock_rows import StockRow
from models.tables import Action, KitLine, Movement
from models.watching.heard import Booked
from models.words import Moved

MOST_ACTIONS: Final = 500
"""Actions that are looked at one by one; after more, a list is read anew."""


class Move(NamedTuple):
    """What a stock row's movements of these actions come to.

    `kind`, `what` (the action's) and `who` are empty where they are not all of one kind, or not all by one person.
    """

    stock_id: int
    on_hand: int
    promised: int
    kind: Moved | None
    what: str
    who: str

    @property
    def free(self) -> int:
        """By how much what is free has changed."""
        return self.on_hand - self.promised


def moved(session: Session, action_ids: Collection[int]) -> dict[int, Move]:
    """The stock rows that these actions moved, by their ids."""
    sums = (col(Movement.on_hand_change), col(Movement.promised_change))
    kinds = (func.min(col(Movement.kind)), func.max(col(Movement.kind)), func.max(col(Movement.reverses_id)))
    asked: tuple[SQLColumnExpression[Any], ...] = (
        *(col(Movement.stock_id), *map(func.sum, sums)),
        *(*kinds, func.min(col(Action.what)), func.max(col(Action.what))),
        *(func.min(col(Action.who)), func.max(col(Action.who))),
    )
    rows = session.connection().execute(
        select(*asked)
        .select_from(Movement)
        .join(Action, col(Action.id) == col(Movement.action_id))
        .where(col(Movement.action_id).in_(sorted(action_ids)))
        .group_by(col(Movement.stock_id))
    )
    return {
        stock_id: Move(
            stock_id,
            int(on_hand),
            int(promised),
            Moved(least) if least == most and not reverses else None,
            what if what == last_what else "",
            first if first == last else "",
        )
        for stock_id, on_hand, promised, least, most, reverses, what, last_what, first, last in rows
    }


def stock_of_line(session: Session, line_id: int) -> int:
    """The stock row that a kit's line is promised from, or was picked from; 0 where there is no such line."""
    asked = select(col(KitLine.stock_id)).where(col(KitLine.id) == line_id)
    return session.connection().execute(asked).scalar() or 0


NAMING: Final = ("items.", "bins.", "lots.", "assortments.", "undo")
"""Actions that may change more of a list of stock than its quantities: what rows it has, their names, their order."""


class StockNews(NamedTuple):
    """What actions did to a list of stock: the rows they moved as they stand now, and by how much.

    `whole`: there may be rows more, or fewer, or named otherwise; the list has to be read anew.
    """

    rows: dict[int, StockRow]
    moves: dict[int, Move]
    whole: bool


def stock_news(session: Session, booked: Sequence[Booked]) -> StockNews:
    """What these actions did, in two statements however long the list is."""
    if len(booked) > MOST_ACTIONS:
        return StockNews({}, {}, True)
    moves = moved(session, {one.action_id for one in booked})
    rows = rows_by_id(session, moves)
    # What was empty may be new in the list; what is empty now may be in it no more.
    turned = any(not row.on_hand or row.on_hand == moves[stock_id].on_hand for stock_id, row in rows.items())
    return StockNews(rows, moves, turned or any(one.what.startswith(NAMING) for one in booked))
