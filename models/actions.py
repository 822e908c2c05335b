"""Claim an action key before writing, so that what was done once is never done twice."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Text, cast, func
from sqlalchemy.dialects import postgresql, sqlite
from sqlmodel import Session, col, select

from models.acts import CHANNEL, Act
from models.errors import KeyReusedError
from models.tables import Action
from models.text import NOTE_LENGTH, clean


class Claim(NamedTuple):
    """The action's row, and whether this call is the first to write under its key."""

    action_id: int
    first: bool


def claim(
    session: Session, act: Act, what: str, about: str = "", *, subject_id: int | None = None, undoes: int | None = None
) -> Claim:
    """Write the action, or find it written before. Raises `KeyReusedError` when the key was another action's.

    On PostgreSQL a second program with the same key waits here until the first has ended; and whoever listens is told
    of the action once it is committed, in the same statement.
    """
    values = {
        "key": clean(act.key, "action key"),
        "who": clean(act.who, "name of who does this"),
        "at": act.at,
        "what": what,
        "about": clean(about, "note", limit=NOTE_LENGTH, empty=True),
        "subject_id": subject_id,
        "undoes_id": undoes,
    }
    dialect = session.get_bind().dialect.name
    insert = postgresql.insert(Action) if dialect == "postgresql" else sqlite.insert(Action)
    told = (func.pg_notify(CHANNEL, cast(col(Action.id), Text)),) if dialect == "postgresql" else ()
    made = insert.values(**values).on_conflict_do_nothing(index_elements=["key"]).returning(col(Action.id), *told)
    action_id: int | None = session.exec(made).scalar()
    if action_id is not None:
        return Claim(action_id, True)
    found = session.exec(select(Action).where(col(Action.key) == values["key"])).one()
    if (found.what, found.subject_id, found.undoes_id) != (what, subject_id, undoes):
        raise KeyReusedError(
            f"The action key {act.key!r} already stands for “{found.what}” by {found.who}.", "Draw a fresh key."
        )
    assert found.id is not None
    return Claim(found.id, False)


def newest_at(session: Session) -> datetime | None:
    """When the latest action was booked, by the clock of whoever booked it; None where nothing was."""
    return session.exec(select(func.max(Action.at))).one()


def newest_id(session: Session) -> int:
    """The number of the latest action; 0 where nothing was booked."""
    return session.exec(select(func.max(Action.id))).one() or 0


def booked_since(session: Session, action_id: int) -> frozenset[str]:
    """What kinds of action were booked after one of that number, less what was taken back since."""
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    query = select(Action.what).where(col(Action.id) > action_id, col(Action.id).not_in(undone)).distinct()
    return frozenset(session.exec(query))


def is_booked(session: Session, key: str) -> bool:
    """Whether an action of that key was booked."""
    return session.exec(select(Action.id).where(col(Action.key) == key)).first() is not None
