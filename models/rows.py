"""Find a row or say in words that there is none or that it was taken back; hold a row until the unit ends."""

from __future__ import annotations

from datetime import datetime
from typing import Protocol, TypeVar

from sqlmodel import Session, SQLModel, col, select

from models.errors import NotFoundError

Row = TypeVar("Row", bound=SQLModel)
Found = TypeVar("Found")


class _Withdrawable(Protocol):
    action_id: int
    name: str
    withdrawn_at: datetime | None


Standing = TypeVar("Standing", bound=_Withdrawable)


def find(session: Session, table: type[Row], row_id: int, called: str) -> Row:
    """The row, or `NotFoundError` naming what was asked for."""
    return _there(session.get(table, row_id), row_id, called)


def hold(session: Session, table: type[Row], row_id: int, called: str) -> Row:
    """The row, freshly read, that no other unit can change until this one ends.

    On SQLite a write unit holds the whole database from its first moment; there this only reads.
    """
    session.flush()
    lock = {"key_share": True}
    return _there(session.get(table, row_id, populate_existing=True, with_for_update=lock), row_id, called)


def standing(session: Session, table: type[Standing], row_id: int, called: str, *, change: bool = False) -> Standing:
    """The row, held so that nobody takes it back until the unit ends, nor with `change` changes what belongs to it.

    Raises `NotFoundError` where there is none or it was taken back.
    """
    session.flush()
    lock = {"read": not change, "key_share": True}
    return _not_withdrawn(session.get(table, row_id, populate_existing=True, with_for_update=lock), row_id, called)


def shown(session: Session, table: type[Standing], row_id: int, called: str) -> Standing:
    """The row, only to be read. Raises `NotFoundError` where there is none or it was taken back."""
    return _not_withdrawn(session.get(table, row_id), row_id, called)


def made_by(session: Session, table: type[Standing], action_id: int, called: str) -> Standing:
    """The row an action added. Raises `NotFoundError` where it was taken back since."""
    row = session.exec(
        select(table).where(col(table.action_id) == action_id, col(table.withdrawn_at).is_(None))
    ).first()
    if row is None:
        raise NotFoundError(f"Adding the {called} was taken back.", "Add it again.")
    return row


def _not_withdrawn(found: Standing | None, row_id: int, called: str) -> Standing:
    row = _there(found, row_id, called)
    if row.withdrawn_at is not None:
        raise NotFoundError(f"Adding the {called} “{row.name}” was taken back.", "Add it again.")
    return row


def _there(row: Found | None, row_id: int, called: str) -> Found:
    if row is None:
        raise NotFoundError(f"There is no {called} {row_id}.", "It may belong to another workshop; refresh the list.")
    return row
