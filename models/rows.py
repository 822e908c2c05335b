"""Find a row or say in words that there is none; hold a row until the unit ends."""

from __future__ import annotations

from typing import TypeVar

from sqlmodel import Session, SQLModel

from models.errors import NotFoundError

Row = TypeVar("Row", bound=SQLModel)


def find(session: Session, table: type[Row], row_id: int, called: str) -> Row:
    """The row, or `NotFoundError` naming what was asked for."""
    row = session.get(table, row_id)
    if row is None:
        raise NotFoundError(f"There is no {called} {row_id}.", "It may belong to another workshop; refresh the list.")
    return row


def hold(session: Session, table: type[Row], row_id: int, called: str) -> Row:
    """The row, freshly read, that no other unit can change until this one ends.

    On SQLite a write unit holds the whole database from its first moment; there this only reads.
    """
    session.flush()
    row = session.get(table, row_id, populate_existing=True, with_for_update={"key_share": True})
    if row is None:
        raise NotFoundError(f"There is no {called} {row_id}.", "It may belong to another workshop; refresh the list.")
    return row
