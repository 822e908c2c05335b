"""What an action writes over is kept with it, so that undo can say it again: see `models.undoing.former`."""

from __future__ import annotations

import json
from enum import Enum

from sqlmodel import Session

from models.tables import FormerRow, Table


def keep(session: Session, action_id: int, row: Table | None) -> None:
    """Keep what the row says now, before the action writes over it; None where there is none yet."""
    session.add(FormerRow(action_id=action_id, said="" if row is None else _text(row)))


def keep_word(session: Session, action_id: int, word: str) -> None:
    """Keep one word for a state that the action's own module knows how to put back."""
    session.add(FormerRow(action_id=action_id, said=word))


def _text(row: Table) -> str:
    columns = row.__table__.columns  # type: ignore[attr-defined]
    said = {one.name: getattr(row, one.name) for one in columns if not one.primary_key}
    return json.dumps({name: one.value if isinstance(one, Enum) else one for name, one in said.items()})
