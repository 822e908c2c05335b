"""`kitwright fits add`: note which ring fitted at a position. What differs from the record is asked."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.fits import SCHEMA, fit_lines, fit_object
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, shown, whole
from tui.commands.ring import readings_of
from tui.commands.workshop import opened, same_place
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.orings.evidence import Evidence
    from catalog.orings.prior import Prior
    from models.acts import Act
    from models.database import Session
    from models.fits.fit_records import FitRow
    from models.machines import PositionRow


def run(arguments: argparse.Namespace) -> ExitCode:
    """Note the fit, or ask where it does not agree with what holds."""
    from catalog.orings.rubber_tables import is_family
    from models.fits import fit_records
    from tui.commands.amounts import ring_size

    key, label = ring_size(arguments.ring, "SIZE")
    hardness = None if arguments.hardness is None else whole("--hardness", arguments.hardness, 10, 99)
    measured = _evidence(arguments)
    with opened(arguments) as workshop:
        here = workshop.read(lambda session: _position(session, arguments.machine, arguments.position))
        asked = "" if arguments.replace else workshop.read(lambda session: _question(session, here, measured, key))

        def change(session: Session, act: Act) -> FitRow:
            return fit_records.record(
                session, act, here.position_id, key, evidence=measured, rubber=arguments.rubber,
                hardness_shore_a=hardness, note=arguments.note,
            )  # fmt: skip

        noted = None if asked else workshop.change(change)
    if arguments.json:
        say_json({"schema": SCHEMA, "noted": noted and fit_object(noted), "question": asked or None})
    elif noted is None:
        say(asked)
        say("Nothing was changed. To note the new fit, say --replace.")
    else:
        say(f"Noted: {label} at {here.machine_name}, {here.name}.")
        say(f"Take it back with: kitwright undo{same_place(arguments)}")
        for line in fit_lines((noted,)):
            say(line)
        if noted.rubber and not is_family(noted.rubber):
            say(f"! {noted.rubber} stands in no table of rubbers here; it was taken as typed.")
    return ExitCode.FOUND if noted is not None else ExitCode.NOTHING


def _evidence(arguments: argparse.Namespace) -> Evidence | None:
    """How the ring was measured; None where nobody did."""
    from tui.commands.ring_input import Asked, evidence

    readings = readings_of(arguments)
    if not any(readings.values()):
        if arguments.tool or arguments.condition:
            raise UsageError("--tool and --condition tell of a reading; type one, such as --id 24.9mm")
        return None
    return evidence(Asked(readings, tuple(arguments.tool), arguments.condition, unit=arguments.unit))


def _position(session: Session, machine: str, name: str) -> PositionRow:
    from models import machines
    from models.words import Kind
    from tui.commands.amounts import machine_named, named

    machine_id = machine_named(session, machine, "MACHINE")
    assert machine_id is not None
    found = machines.positions(session, machine_id)
    other = next((row for row in found if row.name == name.strip() and row.takes is not Kind.RING), None)
    if other is not None:
        raise UsageError(f"POSITION: {shown(other.name)} takes a {other.takes}; only a ring is noted as fitted")
    rings = [(row.name, row) for row in found if row.takes is Kind.RING]
    none = "Add one with: kitwright machine position"
    return named("POSITION", name, rings, "position that takes a ring", none)


def _question(session: Session, here: PositionRow, measured: Evidence | None, size_key: str) -> str:
    """What does not agree with the record that holds, in words; nothing where all does."""
    from catalog.orings.prior import prior_for
    from models import machines
    from models.fits import fit_records
    from models.fits.fit_question import compare

    built = machines.get(session, here.machine_id).built
    prior = prior_for(built, confirmed=fit_records.confirmed_counts(session))
    holds = fit_records.for_position(session, here.position_id)
    found = None if holds is None else compare(holds, evidence=measured, size_key=size_key, prior=prior)
    if found is not None:
        return found.text
    return "" if measured is None else _doubted(measured, size_key, prior)


def _doubted(measured: Evidence, size_key: str, prior: Prior) -> str:
    """The readings against the size itself, by the rule that asks about a record."""
    from catalog.orings.match import rank
    from catalog.orings.sizes import label_of
    from models.fits.fit_question import DOUBTED_BELOW
    from models.qualify.wanted import same_rings

    names = {size_key, *same_rings(size_key)}
    ranking = rank(measured, prior=prior, limit=1000)
    share = sum(one.probability for one in ranking.matches if {one.size.key, *(also.key for also in one.also)} & names)
    if share >= DOUBTED_BELOW:
        return ""
    reads = f"{ranking.matches[0].size.label} ({ranking.matches[0].probability:.0%})" if ranking.found else "no size"
    return f"The readings say {reads}, not {label_of(size_key)}. Is the size right, or is a reading off? Measure again."
