"""What an action writes over is kept with it, so that undo can say it again: see `models.undoing.snapshot`."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from enum import Enum
from typing import Any

from sqlmodel import Session

from models.tables import RowSnapshot, Table


def write_over(session: Session, action_id: int, row: Table, **said: Any) -> None:
    """Write those columns of a row that is held, and keep with the action what they said before."""
    write_over_beside(session, action_id, row, {}, said)


def write_over_beside(
    session: Session, action_id: int, row: Table, beside: Mapping[str, object], said: Mapping[str, Any]
) -> None:
    """The same, and keep what else the action's own module wants to find with it (`beside`)."""
    before = {name: _plain(getattr(row, name)) for name in said}
    keep_word(session, action_id, json.dumps({**before, **beside}))
    for name, one in said.items():
        setattr(row, name, one)
    session.add(row)
    session.flush()


def keep_word(session: Session, action_id: int, word: str) -> None:
    """Keep one word for a state that the action's own module knows how to put back."""
    session.add(RowSnapshot(action_id=action_id, said=word))


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    return value.value if isinstance(value, Enum) else value
