"""Machines and the named positions on them."""

from __future__ import annotations

from typing import NamedTuple

from sqlmodel import Session, col, select

from catalog.filters.housing import Housing
from catalog.orings.prior import Built
from models import row_snapshots
from models.actions import claim
from models.acts import Act
from models.alike import tell
from models.errors import AlreadyThereError, InvalidInputError
from models.rows import find, in_use, live_row, made_by, shown
from models.stored_text import from_text, to_text
from models.tables import Machine, Position
from models.text import NOTE_LENGTH, clean
from models.words import Kind


class MachineRow(NamedTuple):
    """One machine. `built`: where, which weighs the ring series that are likely on it."""

    machine_id: int
    name: str
    note: str
    built: Built = Built.ANYWHERE


class PositionRow(NamedTuple):
    """One named place on a machine. `critical`: whether somebody may be hurt where it fails."""

    position_id: int
    machine_id: int
    machine_name: str
    name: str
    takes: Kind
    note: str
    critical: bool = False


def add(session: Session, act: Act, *, name: str, note: str = "", built: Built = Built.ANYWHERE) -> MachineRow:
    """Add a machine. Raises `InvalidInputError` or `AlreadyThereError`."""
    label = clean(name, "name")
    made = claim(session, act, "machines.add", label)
    if made.first:
        words = clean(note, "note", limit=NOTE_LENGTH, empty=True)
        row = session.exec(select(Machine).where(Machine.name == label).with_for_update()).first()
        tell(label, session.exec(select(Machine.name).where(in_use(Machine))), "machine")
        if row is None:
            row = Machine(action_id=made.action_id, name=label, note=words)
        elif row.withdrawn_at is None:
            instead = "Choose another name."
            if row.retired_at is not None:
                instead = "It is retired; bring it back with: kitwright machine retire MACHINE --back"
            raise AlreadyThereError(f"There is already a machine “{label}”.", instead)
        row.action_id, row.note, row.withdrawn_at = made.action_id, words, None
        # One added again forgets what was said of it before.
        row.built = None if built is Built.ANYWHERE else built
        session.add(row)
        session.flush()
    else:
        row = made_by(session, Machine, made.action_id, "machine")
    return get(session, row.id or 0)


def get(session: Session, machine_id: int) -> MachineRow:
    """One machine. Raises `NotFoundError`."""
    return _machine(find(session, Machine, machine_id, "machine"))


def set_built(session: Session, act: Act, machine_id: int, built: Built) -> MachineRow:
    """Say where a machine was built; nothing is written where that is on record. Raises `NotFoundError`."""
    held = live_row(session, Machine, machine_id, "machine", change=True)
    if (held.built or Built.ANYWHERE) is built:
        return _machine(held)
    made = claim(session, act, "machines.set_built", f"{held.name}: {built.value}", subject_id=machine_id)
    if made.first:
        row_snapshots.write_over(session, made.action_id, held, built=built)
    return get(session, machine_id)


def listed(session: Session) -> tuple[MachineRow, ...]:
    """All machines by name."""
    rows = session.exec(select(Machine).where(in_use(Machine)).order_by(col(Machine.name)))
    return tuple(map(_machine, rows))


def add_position(
    session: Session,
    act: Act,
    *,
    machine_id: int,
    name: str,
    takes: Kind = Kind.RING,
    note: str = "",
    critical: bool = False,
) -> PositionRow:
    """Name a place on a machine. Raises `NotFoundError`, `InvalidInputError` or `AlreadyThereError`."""
    machine = live_row(session, Machine, machine_id, "machine")
    label = clean(name, "position")
    made = claim(session, act, "machines.add_position", label)
    if made.first:
        same = select(Position).where(Position.machine_id == machine_id, Position.name == label).with_for_update()
        row = session.exec(same).first()
        there = (Position.machine_id == machine_id, col(Position.withdrawn_at).is_(None))
        tell(label, session.exec(select(Position.name).where(*there)), "position")
        if row is None:
            row = Position(action_id=made.action_id, machine_id=machine_id, name=label, takes=takes)
        elif row.withdrawn_at is None:
            raise AlreadyThereError(f"{machine.name} already has a position “{label}”.", "Choose another name.")
        row.action_id, row.takes, row.withdrawn_at = made.action_id, takes, None
        row.note = clean(note, "note", limit=NOTE_LENGTH, empty=True)
        row.critical = critical
        session.add(row)
        session.flush()
    else:
        row = made_by(session, Position, made.action_id, "position")
    return _position(row, machine.name)


def position(session: Session, position_id: int) -> PositionRow:
    """One position. Raises `NotFoundError`, also where adding it was taken back."""
    row = shown(session, Position, position_id, "position")
    return _position(row, find(session, Machine, row.machine_id, "machine").name)


def positions(session: Session, machine_id: int) -> tuple[PositionRow, ...]:
    """The positions of one machine by name. Raises `NotFoundError`."""
    machine = find(session, Machine, machine_id, "machine")
    stands = (Position.machine_id == machine_id, col(Position.withdrawn_at).is_(None))
    rows = session.exec(select(Position).where(*stands).order_by(col(Position.name))).all()
    return tuple(_position(row, machine.name) for row in rows)


def set_critical(session: Session, act: Act, position_id: int, *, critical: bool) -> PositionRow:
    """Say whether somebody may be hurt where a position fails; nothing is written where that is on record.

    Raises `NotFoundError`.
    """
    held = live_row(session, Position, position_id, "position", change=True)
    if held.critical == critical:
        return position(session, position_id)
    about = f"{held.name}: {'critical' if critical else 'not critical'}"
    made = claim(session, act, "machines.set_critical", about, subject_id=position_id)
    if made.first:
        row_snapshots.write_over(session, made.action_id, held, critical=critical)
    return position(session, position_id)


def set_housing(session: Session, act: Act, position_id: int, housing: Housing) -> Housing:
    """Note the housing at a filter position as it was measured; nothing is written where it is on record so.

    Raises `NotFoundError`, `InvalidInputError`.
    """
    held = live_row(session, Position, position_id, "position", change=True)
    if held.takes is not Kind.FILTER:
        raise InvalidInputError(f"“{held.name}” takes a {held.takes}, not a filter.")
    measured = to_text(housing)
    if held.housing != measured:
        made = claim(session, act, "machines.set_housing", held.name, subject_id=position_id)
        if made.first:
            row_snapshots.write_over(session, made.action_id, held, housing=measured)
    found = housing_at(session, position_id)
    assert found is not None
    return found


def housing_at(session: Session, position_id: int) -> Housing | None:
    """The housing measured at a position; None where nobody did."""
    row = session.get(Position, position_id)
    return None if row is None or row.housing is None else from_text(Housing, row.housing)


def _machine(row: Machine) -> MachineRow:
    assert row.id is not None
    return MachineRow(row.id, row.name, row.note, row.built or Built.ANYWHERE)


def _position(row: Position, machine_name: str) -> PositionRow:
    assert row.id is not None
    return PositionRow(row.id, row.machine_id, machine_name, row.name, row.takes, row.note, row.critical)
