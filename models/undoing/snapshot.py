"""Saying again what columns said before an action wrote over them, as `models.row_snapshots` kept it."""

from __future__ import annotations

import json
from collections.abc import Collection
from datetime import date, datetime
from typing import Any, NamedTuple

from sqlalchemy import Date, DateTime
from sqlalchemy.types import TypeEngine
from sqlmodel import Session, col, select

from models.errors import CannotUndoError
from models.rows import hold
from models.tables import Action, RowSnapshot, Table
from models.undoing.declaring import Reversal


class Over(NamedTuple):
    """Which columns an action writes over, and whose: that row is the action's subject, held by all who write."""

    table: type[Table]
    columns: tuple[str, ...]
    called: str


def is_last(session: Session, done: Action, names: Collection[str], since: int = 0) -> bool:
    """Whether the action's word is the last one on its subject, of the actions of these names after `since`.

    One that changed nothing kept nothing, and has no word.
    """
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None), Action.undoes_id != done.id)
    said = (
        select(Action.id)
        .join(RowSnapshot, col(RowSnapshot.action_id) == col(Action.id))
        .where(
            col(Action.what).in_(names),
            Action.subject_id == done.subject_id,
            col(Action.id).not_in(undone),
            col(Action.id) > since,
        )
    )
    return session.exec(said.order_by(col(Action.id).desc())).first() == done.id


def put_back(session: Session, reversal: Reversal, over: Over, names: Collection[str]) -> None:
    """Say again what was said before. Raises `CannotUndoError` where somebody said something else since."""
    done = reversal.done
    row = hold(session, over.table, done.subject_id or 0, over.called)
    if not is_last(session, done, names):
        raise CannotUndoError(f"That has changed since {reversal.called}.", "Look at it and set it again.")
    before = json.loads(session.get_one(RowSnapshot, done.id).said)
    columns = over.table.__table__.columns  # type: ignore[attr-defined]
    # Some actions write over only some of the columns.
    for name in before.keys() & set(over.columns):
        setattr(row, name, _said(columns[name].type, before[name]))
    session.add(row)
    session.flush()


def _said(kind: TypeEngine[Any], said: Any) -> Any:
    """The value that was kept, as its column has it: a word, a moment or a day is one again."""
    words = getattr(kind, "enum_class", None)
    if said is None or (words is None and not isinstance(said, str)):
        return said
    if words is not None:
        return words(said)
    if isinstance(kind, DateTime) or isinstance(getattr(kind, "impl", None), DateTime):
        return datetime.fromisoformat(said)
    return date.fromisoformat(said) if isinstance(kind, Date) else said
