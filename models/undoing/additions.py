"""A machine, a position or a supplier added by mistake: withdrawn while nothing hangs on it, never removed.

Its row stays, so that its number can't come to stand for another one on a screen that still shows it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple, cast

from sqlmodel import Session, col, select

from models.acts import Act
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

Added = Machine | Position | Supplier


class Hanging(NamedTuple):
    """What hangs on an added row, and what to do about it."""

    what: str
    to_do: str


class Addition(NamedTuple):
    """The table of what an action adds, and what hangs on such a row; None where nothing does."""

    table: type[Added]
    hanging: Callable[[Session, Added], Hanging | None]


def _on_machine(session: Session, machine: Added) -> Hanging | None:
    place = select(Position.id).where(Position.machine_id == machine.id, col(Position.withdrawn_at).is_(None))
    if session.exec(place).first() is not None:
        return Hanging("it has positions", "Take those back first, or leave it unused.")
    opened = [row or 0 for row in session.exec(select(Job.id).where(Job.machine_id == machine.id)).all()]
    if set(opened) - job_opening.taken_back(session, opened):
        return Hanging("it has had jobs", "Leave it unused.")
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    built = select(Action.id).where(Action.what == "machines.set_built", Action.subject_id == machine.id)
    if session.exec(built.where(col(Action.id) > machine.action_id, col(Action.id).not_in(undone))).first() is not None:
        return Hanging("somebody said since where it was built", "Take that back first, or leave it unused.")
    return None


def _on_position(session: Session, position: Added) -> Hanging | None:
    instead = "Take that back first, or leave it unused."
    if session.exec(select(FitRecord.id).where(FitRecord.position_id == position.id, fit_stands())).first():
        return Hanging("a fit is on record there", instead)
    if isinstance(position, Position) and position.housing is not None:
        return Hanging("its housing was measured", instead)
    asked = select(Need.id).where(Need.position_id == position.id, col(Need.withdrawn_at).is_(None))
    return Hanging("a job's need is there", "Strike the need first.") if session.exec(asked).first() else None


def _on_supplier(session: Session, supplier: Added) -> Hanging | None:
    sent = select(SupplierList.id).where(SupplierList.supplier_id == supplier.id)
    return Hanging("a list of theirs was loaded", "Leave it.") if session.exec(sent).first() else None


ADDITIONS: Final = {
    "machines.add": Addition(Machine, _on_machine),
    "machines.add_position": Addition(Position, _on_position),
    "suppliers.add": Addition(Supplier, _on_supplier),
}


def stands(session: Session, done: Action) -> bool:
    """Whether what the action added is there and was not withdrawn."""
    return _added(session, done, held=False) is not None


def is_bare(session: Session, done: Action) -> bool:
    """Whether nothing hangs on what the action added."""
    row = _added(session, done, held=False)
    return row is not None and ADDITIONS[done.what].hanging(session, row) is None


def withdraw(session: Session, act: Act, done: Action, what: str) -> None:
    """Withdraw what the action added. Raises `CannotUndoError` where something hangs on it."""
    row = _added(session, done, held=True)
    if row is None:
        raise CannotUndoError(f"Nothing is left of {what}.", "Refresh the list.")
    if hanging := ADDITIONS[done.what].hanging(session, row):
        raise CannotUndoError(f"“{row.name}” stays: {hanging.what}.", hanging.to_do)
    row.withdrawn_at = act.at
    session.add(row)
    session.flush()


def _added(session: Session, done: Action, *, held: bool) -> Added | None:
    table = ADDITIONS[done.what].table
    query = select(table).where(col(table.action_id) == done.id, col(table.withdrawn_at).is_(None))
    return cast(Added | None, session.exec(query.with_for_update() if held else query).first())
