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
from models.tables import (
    Action,
    FitRecord,
    Job,
    Machine,
    Need,
    Position,
    PositionHousing,
    Supplier,
    SupplierList,
)

Added = Machine | Position | Supplier


class Kind(NamedTuple):
    """The table of what an action adds, and what hangs on such a row, in words; "" where nothing does."""

    table: type[Added]
    hanging: Callable[[Session, int], str]


def _on_machine(session: Session, machine_id: int) -> str:
    place = select(Position.id).where(Position.machine_id == machine_id, col(Position.withdrawn_at).is_(None))
    if session.exec(place).first() is not None:
        return "it has positions"
    return "it has had jobs" if session.exec(select(Job.id).where(Job.machine_id == machine_id)).first() else ""


def _on_position(session: Session, position_id: int) -> str:
    if session.exec(select(FitRecord.id).where(FitRecord.position_id == position_id, fit_stands())).first():
        return "a fit is on record there"
    if session.get(PositionHousing, position_id) is not None:
        return "its housing was measured"
    asked = select(Need.id).where(Need.position_id == position_id, col(Need.withdrawn_at).is_(None))
    return "a job's need is there" if session.exec(asked).first() else ""


def _on_supplier(session: Session, supplier_id: int) -> str:
    sent = select(SupplierList.id).where(SupplierList.supplier_id == supplier_id)
    return "a list of theirs was loaded" if session.exec(sent).first() else ""


ADDITIONS: Final = {
    "machines.add": Kind(Machine, _on_machine),
    "machines.add_position": Kind(Position, _on_position),
    "suppliers.add": Kind(Supplier, _on_supplier),
}


def stands(session: Session, done: Action) -> bool:
    """Whether what the action added is there and was not withdrawn."""
    return _added(session, done, held=False) is not None


def is_bare(session: Session, done: Action) -> bool:
    """Whether nothing hangs on what the action added."""
    row = _added(session, done, held=False)
    return row is not None and not ADDITIONS[done.what].hanging(session, row.id or 0)


def withdraw(session: Session, act: Act, done: Action, what: str) -> None:
    """Withdraw what the action added. Raises `CannotUndoError` where something hangs on it."""
    row = _added(session, done, held=True)
    if row is None:
        raise CannotUndoError(f"Nothing is left of {what}.", "Refresh the list.")
    if hanging := ADDITIONS[done.what].hanging(session, row.id or 0):
        raise CannotUndoError(f"“{row.name}” stays: {hanging}.", "Take that back first.")
    row.withdrawn_at = act.at
    session.add(row)
    session.flush()


def _added(session: Session, done: Action, *, held: bool) -> Added | None:
    table = ADDITIONS[done.what].table
    query = select(table).where(col(table.action_id) == done.id, col(table.withdrawn_at).is_(None))
    return cast(Added | None, session.exec(query.with_for_update() if held else query).first())
