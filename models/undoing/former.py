"""Saying again what columns said before an action wrote over them, as `models.former_rows` kept it."""

from __future__ import annotations

import json
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models.errors import CannotUndoError
from models.rows import hold
from models.tables import Action, FormerRow, Item, Machine, Position, Table


class Over(NamedTuple):
    """Which columns an action writes over, and whose: that row is the action's subject, held by all who write."""

    table: type[Table]
    columns: tuple[str, ...]
    called: str


_REORDER: Final = Over(Item, ("reorder_at", "reorder_up_to", "reorder_lead_days"), "item")
WRITTEN_OVER: Final = {
    "reorder.set_rule": _REORDER,
    "reorder.drop_rule": _REORDER,
    "machines.set_built": Over(Machine, ("built",), "machine"),
    "machines.set_housing": Over(Position, ("housing",), "position"),
    "items.set_element": Over(Item, ("element",), "item"),
    "items.set_container": Over(Item, ("container",), "item"),
}
"""The actions that write over what columns of their subject say."""

DROPS: Final = ("reorder.drop_rule",)
"""Those that leave nothing there."""


def stands(session: Session, done: Action) -> bool:
    """Whether the action's word is the last one on its subject. False where an earlier program kept nothing."""
    over = WRITTEN_OVER[done.what]
    names = [what for what, one in WRITTEN_OVER.items() if one == over]
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None), Action.undoes_id != done.id)
    said = session.exec(
        select(Action.id, Action.what, FormerRow.said)
        .join(FormerRow, col(FormerRow.action_id) == col(Action.id))
        .where(col(Action.what).in_(names), Action.subject_id == done.subject_id, col(Action.id).not_in(undone))
        .order_by(col(Action.id).desc())
    )
    # Who dropped what was not there said nothing.
    last = next((action_id for action_id, what, before in said if what not in DROPS or _anything(before)), None)
    return last == done.id


def put_back(session: Session, done: Action, what: str) -> None:
    """Say again what was said before. Raises `CannotUndoError` where somebody said something else since."""
    table, names, called = WRITTEN_OVER[done.what]
    row = hold(session, table, done.subject_id or 0, called)
    if not stands(session, done):
        raise CannotUndoError(f"That has changed since {what}.", "Look at it and say it anew.")
    before = json.loads(session.get_one(FormerRow, done.id).said)
    columns = table.__table__.columns  # type: ignore[attr-defined]
    for name in names:
        words = getattr(columns[name].type, "enum_class", None)
        one = before[name]
        setattr(row, name, words(one) if words is not None and one is not None else one)
    session.add(row)
    session.flush()


def _anything(said: str) -> bool:
    return any(one is not None for one in json.loads(said).values())
