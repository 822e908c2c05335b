"""Machines and the named positions on them."""

from __future__ import annotations

from typing import NamedTuple

from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import AlreadyThereError
from models.rows import find
from models.tables import Machine, Position
from models.text import NOTE_LENGTH, clean
from models.words import Kind


class MachineRow(NamedTuple):
    """One machine."""

    machine_id: int
    name: str
    note: str


class PositionRow(NamedTuple):
    """One named place on a machine."""

    position_id: int
    machine_id: int
    machine_name: str
    name: str
    takes: Kind
    note: str


def add(session: Session, act: Act, *, name: str, note: str = "") -> MachineRow:
    """Add a machine. Raises `InvalidInputError` or `AlreadyThereError`."""
    label = clean(name, "name")
    made = claim(session, act, "machines.add", label)
    if made.first:
        if session.exec(select(Machine.id).where(Machine.name == label)).first() is not None:
            raise AlreadyThereError(f"There is already a machine “{label}”.", "Choose another name.")
        words = clean(note, "note", limit=NOTE_LENGTH, empty=True)
        row = Machine(action_id=made.action_id, name=label, note=words)
        session.add(row)
        session.flush()
    else:
        row = session.exec(select(Machine).where(Machine.action_id == made.action_id)).one()
    return _machine(row)


def listed(session: Session) -> tuple[MachineRow, ...]:
    """All machines by name."""
    return tuple(_machine(row) for row in session.exec(select(Machine).order_by(col(Machine.name))).all())


def add_position(
    session: Session, act: Act, *, machine_id: int, name: str, takes: Kind = Kind.RING, note: str = ""
) -> PositionRow:
    """Name a place on a machine. Raises `NotFoundError`, `InvalidInputError` or `AlreadyThereError`."""
    machine = find(session, Machine, machine_id, "machine")
    label = clean(name, "position")
    made = claim(session, act, "machines.add_position", label)
    if made.first:
        same = select(Position.id).where(Position.machine_id == machine_id, Position.name == label)
        if session.exec(same).first() is not None:
            raise AlreadyThereError(f"{machine.name} already has a position “{label}”.", "Choose another name.")
        row = Position(
            action_id=made.action_id,
            machine_id=machine_id,
            name=label,
            takes=takes,
            note=clean(note, "note", limit=NOTE_LENGTH, empty=True),
        )
        session.add(row)
        session.flush()
    else:
        row = session.exec(select(Position).where(Position.action_id == made.action_id)).one()
    return _position(row, machine.name)


def positions(session: Session, machine_id: int) -> tuple[PositionRow, ...]:
    """The positions of one machine by name. Raises `NotFoundError`."""
    machine = find(session, Machine, machine_id, "machine")
    rows = session.exec(select(Position).where(Position.machine_id == machine_id).order_by(col(Position.name))).all()
    return tuple(_position(row, machine.name) for row in rows)


def _machine(row: Machine) -> MachineRow:
    assert row.id is not None
    return MachineRow(row.id, row.name, row.note)


def _position(row: Position, machine_name: str) -> PositionRow:
    assert row.id is not None
    return PositionRow(row.id, row.machine_id, machine_name, row.name, row.takes, row.note)
