"""What actions did to the shelf: which rows they moved and by how much, in one statement."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any, Final, NamedTuple

from sqlalchemy import SQLColumnExpression, func, select
from sqlmodel import Session, col

from models.tables import Action, Movement
from models.words import Moved

MOST_ACTIONS: Final = 500
"""Actions that are looked at one by one; after more, a list is read anew."""


class Move(NamedTuple):
    """What a stock row's movements of these actions come to.

    `kind` and `who` are empty where they are not all of one kind, or not all by one person.
    """

    stock_id: int
    on_hand: int
    promised: int
    kind: Moved | None
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
        *(*kinds, func.min(col(Action.who)), func.max(col(Action.who))),
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
            first if first == last else "",
        )
        for stock_id, on_hand, promised, least, most, reverses, first, last in rows
    }
