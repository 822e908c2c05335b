"""Find a row or say in words that there is none or that it was taken back; hold a row until the unit ends."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Final, Protocol, TypeVar

from sqlalchemy import ColumnElement, and_
from sqlmodel import Session, SQLModel, col, select

from models.errors import NotFoundError

Row = TypeVar("Row", bound=SQLModel)
Found = TypeVar("Found")


ROWS_AT_ONCE: Final = 5_000
"""Rows named in one statement: SQLite takes 32,766 values."""


class _Withdrawable(Protocol):
    action_id: int
    name: str
    withdrawn_at: datetime | None


class _Retirable(Protocol):
    withdrawn_at: datetime | None
    retired_at: datetime | None


Live = TypeVar("Live", bound=_Withdrawable)


def in_use(table: type[_Retirable]) -> ColumnElement[bool]:
    """That a row is offered: neither was its adding taken back nor was it retired."""
    return and_(col(table.withdrawn_at).is_(None), col(table.retired_at).is_(None))


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


def hold_all(session: Session, table: type[Row], row_ids: Collection[int], called: str) -> dict[int, Row]:
    """`hold` for many rows, by their ids, in the order of those ids; in a few statements however many they are."""
    session.flush()
    found = _by_id(session, table, row_ids, held=True)
    for row_id in sorted(set(row_ids)):
        _there(found.get(row_id), row_id, called)
    return found


def rows_of(session: Session, table: type[Row], row_ids: Iterable[int]) -> dict[int, Row]:
    """Those of many rows that there are, by their ids, in a few statements however many they are."""
    return _by_id(session, table, row_ids, held=False)


def _by_id(session: Session, table: type[Row], row_ids: Iterable[int], *, held: bool) -> dict[int, Row]:
    key = col(table.id)  # type: ignore[attr-defined]
    ids = sorted(set(row_ids))
    found: dict[int, Row] = {}
    for at in range(0, len(ids), ROWS_AT_ONCE):
        query = select(table).where(key.in_(ids[at : at + ROWS_AT_ONCE])).order_by(key)
        if held:
            query = query.with_for_update(key_share=True).execution_options(populate_existing=True)
        for row in session.exec(query):
            found[row.id] = row  # type: ignore[attr-defined]
    return found


def live_row(session: Session, table: type[Live], row_id: int, called: str, *, change: bool = False) -> Live:
    """The row, held so that nobody takes it back until the unit ends, nor with `change` changes what belongs to it.

    Raises `NotFoundError` where there is none or it was taken back.
    """
    session.flush()
    lock = {"read": not change, "key_share": True}
    return _not_withdrawn(session.get(table, row_id, populate_existing=True, with_for_update=lock), row_id, called)


def shown(session: Session, table: type[Live], row_id: int, called: str) -> Live:
    """The row, only to be read. Raises `NotFoundError` where there is none or it was taken back."""
    return _not_withdrawn(session.get(table, row_id), row_id, called)


def made_by(session: Session, table: type[Live], action_id: int, called: str) -> Live:
    """The row an action added. Raises `NotFoundError` where it was taken back since."""
    row = session.exec(
        select(table).where(col(table.action_id) == action_id, col(table.withdrawn_at).is_(None))
    ).first()
    if row is None:
        raise NotFoundError(f"Adding the {called} was taken back.", "Add it again.")
    return row


def _not_withdrawn(found: Live | None, row_id: int, called: str) -> Live:
    row = _there(found, row_id, called)
    if row.withdrawn_at is not None:
        raise NotFoundError(f"Adding the {called} “{row.name}” was taken back.", "Add it again.")
    return row


def _there(row: Found | None, row_id: int, called: str) -> Found:
    if row is None:
        raise NotFoundError(f"There is no {called} {row_id}.", "It may belong to another workshop; refresh the list.")
    return row
