"""A machine, a position or a supplier added by mistake: withdrawn while nothing hangs on it, never removed.

Its row stays, so that its number can't come to stand for another one on a screen that still shows it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, cast

from sqlmodel import Session, col, select

from models.errors import CannotUndoError
from models.fits.fit_records import stands as fit_stands
from models.kitting import job_opening
from models.tables import (
    Action,
    FitRecord,
    Job,
    Machine,
    Need,
    Position,
    Supplier,
    SupplierList,
)
from models.undoing.declaring import Reversal

Added = Machine | Position | Supplier


class Hanging(NamedTuple):
    """What hangs on an added row, and what to do about it."""

    what: str
    to_do: str


Look = Callable[[Session, Added], Hanging | None]
"""Finds what hangs on an added row; None where nothing does."""


def on_machine(session: Session, machine: Added) -> Hanging | None:
    """What hangs on a machine."""
    place = select(Position.id).where(Position.machine_id == machine.id, col(Position.withdrawn_at).is_(None))
    if session.exec(place).first() is not None:
        return Hanging("it has positions", "Take those back first, or leave it unused.")
    opened = [row or 0 for row in session.exec(select(Job.id).where(Job.machine_id == machine.id)).all()]
    if set(opened) - job_opening.taken_back(session, opened):
        return Hanging("it has had jobs", "Leave it unused.")
    if _said_since(session, machine, "machines.set_built"):
        return Hanging("somebody said since where it was built", "Take that back first, or leave it unused.")
    return None


def on_position(session: Session, position: Added) -> Hanging | None:
    """What hangs on a position."""
    instead = "Take that back first, or leave it unused."
    if session.exec(select(FitRecord.id).where(FitRecord.position_id == position.id, fit_stands())).first():
        return Hanging("a fit is on record there", instead)
    if isinstance(position, Position) and position.housing is not None:
        return Hanging("its housing was measured", instead)
    if _said_since(session, position, "machines.set_critical"):
        return Hanging("somebody said since whether it is critical", instead)
    if _said_since(session, position, "machines.set_meets"):
        return Hanging("somebody said since which fluid a ring there meets", instead)
    asked = select(Need.id).where(Need.position_id == position.id, col(Need.withdrawn_at).is_(None))
    return Hanging("a job's need is there", "Strike the need first.") if session.exec(asked).first() else None


def on_supplier(session: Session, supplier: Added) -> Hanging | None:
    """What hangs on a supplier."""
    sent = select(SupplierList.id).where(SupplierList.supplier_id == supplier.id)
    return Hanging("a list of theirs was loaded", "Leave it.") if session.exec(sent).first() else None


def _said_since(session: Session, row: Added, what: str) -> bool:
    """Whether an action of that name, on this row since it was added, still stands."""
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    said = select(Action.id).where(Action.what == what, Action.subject_id == row.id)
    return session.exec(said.where(col(Action.id) > row.action_id, col(Action.id).not_in(undone))).first() is not None


def is_there(session: Session, done: Action, table: type[Added]) -> bool:
    """Whether what the action added is there and was not withdrawn."""
    return _added(session, done, table, held=False) is not None


def is_bare(session: Session, done: Action, table: type[Added], hanging: Look) -> bool:
    """Whether nothing hangs on what the action added."""
    row = _added(session, done, table, held=False)
    return row is not None and hanging(session, row) is None


def withdraw(session: Session, reversal: Reversal, table: type[Added], hanging: Look) -> None:
    """Withdraw what the action added. Raises `CannotUndoError` where something hangs on it."""
    row = _added(session, reversal.done, table, held=True)
    if row is None:
        raise CannotUndoError(f"Nothing is left of {reversal.called}.", "Refresh the list.")
    if found := hanging(session, row):
        raise CannotUndoError(f"“{row.name}” stays: {found.what}.", found.to_do)
    row.withdrawn_at = reversal.act.at
    session.add(row)
    session.flush()


def _added(session: Session, done: Action, table: type[Added], *, held: bool) -> Added | None:
    query = select(table).where(col(table.action_id) == done.id, col(table.withdrawn_at).is_(None))
    return cast(Added | None, session.exec(query.with_for_update() if held else query).first())
