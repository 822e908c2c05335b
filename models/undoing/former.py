"""Saying again what a row said before an action wrote over it, as `models.former_rows` kept it.

For tables with one row a subject, whose key is the action's subject.
"""

from __future__ import annotations

import json
from typing import Any, Final, NamedTuple

from sqlmodel import Session, col, select

from models.errors import CannotUndoError
from models.rows import hold
from models.tables import (
    Action,
    FormerRow,
    Item,
    ItemContainer,
    ItemElement,
    Machine,
    MachineOrigin,
    Position,
    PositionHousing,
    ReorderRule,
    Table,
)


class Over(NamedTuple):
    """The table an action writes over, and whose row it is: that one is held by all who write."""

    table: type[Table]
    subject: type[Table]
    called: str


WRITTEN_OVER: Final = {
    "reorder.set_rule": Over(ReorderRule, Item, "item"),
    "reorder.drop_rule": Over(ReorderRule, Item, "item"),
    "machines.set_built": Over(MachineOrigin, Machine, "machine"),
    "machines.set_housing": Over(PositionHousing, Position, "position"),
    "items.set_element": Over(ItemElement, Item, "item"),
    "items.set_container": Over(ItemContainer, Item, "item"),
}
"""The actions that write over, or take out, the one row of their subject."""

DROPS: Final = ("reorder.drop_rule",)
"""Those that take it out."""


def stands(session: Session, done: Action) -> bool:
    """Whether the action's word is the last one on its subject. False where an earlier program kept nothing."""
    over = WRITTEN_OVER[done.what]
    names = [what for what, one in WRITTEN_OVER.items() if one.table is over.table]
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None), Action.undoes_id != done.id)
    said = session.exec(
        select(Action.id, Action.what, FormerRow.said)
        .join(FormerRow, col(FormerRow.action_id) == col(Action.id))
        .where(col(Action.what).in_(names), Action.subject_id == done.subject_id, col(Action.id).not_in(undone))
        .order_by(col(Action.id).desc())
    )
    # Who dropped what was not there said nothing.
    last = next((action_id for action_id, what, before in said if before or what not in DROPS), None)
    return last == done.id


def put_back(session: Session, done: Action, what: str) -> None:
    """Say again what was said before. Raises `CannotUndoError` where somebody said something else since."""
    table, subject, called = WRITTEN_OVER[done.what]
    hold(session, subject, done.subject_id or 0, called)
    if not stands(session, done):
        raise CannotUndoError(f"That has changed since {what}.", "Look at it and say it anew.")
    now = session.get(table, done.subject_id, populate_existing=True)
    kept = session.get_one(FormerRow, done.id)
    if kept.said:
        session.add(_said(table, now, kept.said, done.subject_id))
    elif now is not None:
        session.delete(now)
    session.flush()


def _said(table: type[Table], row: Table | None, text: str, subject_id: int | None) -> Table:
    columns = table.__table__.columns  # type: ignore[attr-defined]
    (key,) = (one.name for one in columns if one.primary_key)
    said: dict[str, Any] = json.loads(text)
    for name, one in said.items():
        words = getattr(columns[name].type, "enum_class", None)
        said[name] = words(one) if words is not None and one is not None else one
    if row is None:
        return table(**{key: subject_id}, **said)
    for name, one in said.items():
        setattr(row, name, one)
    return row
