"""What the `machine` commands do."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from tui.commands.amounts import machine_named, named
from tui.commands.machine import KINDS
from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, shown, unknown
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.acts import Act
    from models.database import Session
    from models.machines import MachineRow, PositionRow

SCHEMA = "kitwright.machine/1"


class Seen(NamedTuple):
    """A machine, its positions, the ring that holds at each, and whether its housing was measured."""

    machine: MachineRow
    positions: tuple[PositionRow, ...]
    fits: dict[int, str]
    housings: frozenset[int]


def listing(arguments: argparse.Namespace) -> ExitCode:
    """List the machines."""

    def look(session: Session) -> tuple[tuple[MachineRow, int], ...]:
        from models import machines

        return tuple((row, len(machines.positions(session, row.machine_id))) for row in machines.listed(session))

    with opened(arguments) as workshop:
        rows = workshop.read(look)
    if arguments.json:
        say_json(
            {
                "schema": SCHEMA,
                "machines": [{**_object(row), "positions": positions} for row, positions in rows],
            }
        )
    elif rows:
        cells = [(row.name, str(positions), _built(row), row.note) for row, positions in rows]
        for line in table(("machine", "positions", "built", "note"), cells, right=(1,)):
            say(line)
    else:
        say("There is no machine yet; add one with: kitwright machine add NAME")
    return ExitCode.FOUND if rows else ExitCode.NOTHING


def show(arguments: argparse.Namespace) -> ExitCode:
    """Show one machine."""
    with opened(arguments) as workshop:
        return _tell(arguments, workshop.read(lambda session: _seen(session, _id(session, arguments))))


def add(arguments: argparse.Namespace) -> ExitCode:
    """Add a machine with its positions, all or nothing."""
    said = [_pair(text) for text in arguments.position]

    def change(session: Session, act: Act) -> Seen:
        from catalog.orings.prior import Built
        from models import machines
        from models.words import Kind

        built = Built(arguments.built)
        made = machines.add(session, act, name=arguments.machine, note=arguments.note, built=built)
        for at, (name, kind) in enumerate(said):
            own = act._replace(key=f"{act.key}/{at}")
            machines.add_position(session, own, machine_id=made.machine_id, name=name, takes=Kind(kind))
        return _seen(session, made.machine_id)

    with opened(arguments) as workshop:
        return _tell(arguments, workshop.change(change), "Added.")


def position(arguments: argparse.Namespace) -> ExitCode:
    """Add a position."""

    def change(session: Session, act: Act) -> Seen:
        from models import machines
        from models.words import Kind

        machine_id = _id(session, arguments)
        machines.add_position(
            session,
            act,
            machine_id=machine_id,
            name=arguments.position,
            takes=Kind(arguments.takes),
            note=arguments.note,
        )
        return _seen(session, machine_id)

    with opened(arguments) as workshop:
        return _tell(arguments, workshop.change(change), "Added.")


def built(arguments: argparse.Namespace) -> ExitCode:
    """Say where a machine was built."""

    def change(session: Session, act: Act) -> Seen:
        from catalog.orings.prior import Built
        from models import machines

        machine_id = _id(session, arguments)
        machines.set_built(session, act, machine_id, Built(arguments.where))
        return _seen(session, machine_id)

    with opened(arguments) as workshop:
        return _tell(arguments, workshop.change(change), "Noted.")


def housing(arguments: argparse.Namespace) -> ExitCode:
    """Note the housing at a filter position."""
    from tui.commands.filter_fields import housing_of
    from tui.commands.filter_files import pairs_of

    measured = housing_of(pairs_of("--housing", arguments.housing), arguments.unit)

    def change(session: Session, act: Act) -> Seen:
        from models import machines

        machine_id = _id(session, arguments)
        places = [(row.name, row) for row in machines.positions(session, machine_id) if row.takes == "filter"]
        none = "It has no filter position; add one with: kitwright machine position"
        place = named("POSITION", arguments.position, places, "filter position", none)
        machines.set_housing(session, act, place.position_id, measured)
        return _seen(session, machine_id)

    with opened(arguments) as workshop:
        return _tell(arguments, workshop.change(change), "Noted.")


def _id(session: Session, arguments: argparse.Namespace) -> int:
    machine_id = machine_named(session, arguments.machine, "MACHINE")
    assert machine_id is not None
    return machine_id


def _pair(text: str) -> tuple[str, str]:
    name, equals, kind = text.rpartition("=")
    if not equals or not name.strip():
        raise UsageError(f'--position: {shown(text)} is not NAME=KIND; type for example "sump=fluid"')
    if kind.strip().lower() not in KINDS:
        raise UsageError(f"--position: {unknown(kind.strip(), KINDS)}")
    return name, kind.strip().lower()


def _seen(session: Session, machine_id: int) -> Seen:
    from models import machines
    from models.fits import fit_records

    places = machines.positions(session, machine_id)
    holding = {row.position_id: row.size_key for row in fit_records.at_machine(session, machine_id)}
    measured = frozenset(
        place.position_id for place in places if machines.housing_at(session, place.position_id) is not None
    )
    return Seen(machines.get(session, machine_id), places, holding, measured)


def _built(row: MachineRow) -> str:
    return "" if row.built == "anywhere" else row.built.replace("-", " ").title()


def _object(row: MachineRow) -> dict[str, Any]:
    return {"machine": row.name, "built": row.built.value, "note": row.note or None}


def _tell(arguments: argparse.Namespace, seen: Seen, done: str = "") -> ExitCode:
    places: Sequence[PositionRow] = seen.positions
    if arguments.json:
        told = [
            {
                "position": place.name,
                "takes": place.takes.value,
                "fits": seen.fits.get(place.position_id),
                "housing_measured": place.position_id in seen.housings,
                "note": place.note or None,
            }
            for place in places
        ]
        say_json({"schema": SCHEMA, **_object(seen.machine), "positions": told})
        return ExitCode.FOUND
    if done:
        say(done)
    where = f", built in {_built(seen.machine)}" if _built(seen.machine) else ""
    note = f": {seen.machine.note}" if seen.machine.note else ""
    say(f"{seen.machine.name}{where}{note}")
    cells = [
        (
            f"  {place.name}",
            place.takes.value,
            seen.fits.get(place.position_id) or ("housing measured" if place.position_id in seen.housings else ""),
            place.note,
        )
        for place in places
    ]
    for line in table(("  position", "takes", "on record", "note"), cells) if cells else ("  no position yet",):
        say(line)
    return ExitCode.FOUND
