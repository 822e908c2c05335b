"""What an action writes over is kept with it, so that undo can say it again: see `models.undoing.snapshot`."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from enum import Enum
from types import MappingProxyType
from typing import Any, Final

from sqlmodel import Session

from models.tables import RowSnapshot, Table

NOTHING: Final[Mapping[str, object]] = MappingProxyType({})


def write_over(
    session: Session, action_id: int, row: Table, *, beside: Mapping[str, object] = NOTHING, **said: Any
) -> None:
    """Write those columns of a row that is held, and keep with the action what they said before.

    `beside`: what else the action's own module wants to find with it.
    """
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
