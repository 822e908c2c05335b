"""`kitwright fits`: which ring fitted at each position, one more fit, and the same records as CSV for another shop."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.later import later
from tui.commands.output import say, say_json, say_text, table, talk
from tui.commands.parsing import (
    Parser,
    UsageError,
    add_json_option,
    add_unit_option,
    add_workshop_options,
    shown,
    unknown,
)
from tui.commands.ring import add_reading_arguments
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from models.database import Session
    from models.fits.fit_csv import FileFit
    from models.fits.fit_import import Conflict, Imported
    from models.fits.fit_records import FitRow

NAME = "fits"
HELP = "what fitted on a machine, noting that, and sharing it with another shop"
DESCRIPTION = """\
Show the fit records of a machine, note one more fit, or share them with another
shop as CSV. A bare machine's name shows its records.

examples:
  kitwright fits "Orchard tractor 3" --demo
  kitwright fits add "Orchard tractor 3" "pump inlet flange ring" AS568-214 --demo
  kitwright fits job 2 --dry-run --demo
  kitwright fits --export fits.csv
  kitwright fits --import fits.csv --theirs 4 --ours 7
"""
_SHOW = """\
Show the fit records of a machine: at each position, which ring fitted, in which
rubber, measured how, by whom and when. Without a machine: of the whole shop.

Records can be written as CSV and taken in by another shop. What is new is
added. Where the file and this shop differ, nothing is changed until you choose
by the file's line number: --theirs LINE lets the file's record hold, --ours
LINE keeps ours. Either way both stay readable.

examples:
  kitwright fits show "Orchard tractor 3" --demo
  kitwright fits show --export fits.csv
  kitwright fits show --import fits.csv --theirs 4 --ours 7
"""
_ADD = """\
Note which ring fitted at a position that takes one, with its rubber and how it
was measured. Where that does not agree with what is on record, you are asked,
and nothing is changed: measure again, or say --replace. The old record stays
readable either way. Take it back with: kitwright undo

examples:
  kitwright fits add "Orchard tractor 3" "pump inlet flange ring" AS568-214 --demo
  kitwright fits add "Orchard tractor 3" "pump inlet flange ring" P22A --rubber FKM --id 21.8 --replace --demo
"""
_JOB = """\
Note that the rings a job used at a machine's positions fitted there: those that
were picked and are not on record. Where it used several sorts at one position
nobody can tell which fitted; note that one with: kitwright fits add

examples:
  kitwright fits job 2 --dry-run --demo
  kitwright fits job 2 --demo
"""
EPILOG = """\
exit codes: 0 records were found, noted, written or taken in, 1 there are none
or some wait for a choice, 2 wrong options or input.
"""
SCHEMA = "kitwright.fits/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do with fit records; without one of them they are shown."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    if isinstance(parser, Parser):
        parser.bare_means, parser.subcommands = "show", ("show", "add", "job")
    show = todo.add_parser("show", help="what fitted where; or share it (meant without a word)", description=_SHOW,
                           epilog=EPILOG)  # fmt: skip
    show.set_defaults(run=run, parser=show)
    _show_arguments(show)
    add = todo.add_parser("add", help="note which ring fitted at a position", description=_ADD, epilog=EPILOG)
    add.set_defaults(run=later("fits_add", "run"), parser=add)
    add.add_argument("machine", metavar="MACHINE", help="the machine's name")
    add.add_argument("position", metavar="POSITION", help="the position on it that takes a ring")
    add.add_argument("ring", metavar="SIZE", help="the standard size that fitted, like AS568-214 or P22A")
    add.add_argument("--rubber", metavar="FAMILY", default="", help="its rubber, like NBR, if known")
    add.add_argument("--hardness", metavar="SHORE_A", help="its hardness, if known")
    add.add_argument("--note", metavar="TEXT", default="", help="anything the next one should know")
    add.add_argument("--replace", action="store_true", help="note it though it does not agree with the record there")
    readings = add.add_argument_group("how the ring was measured, if it was")
    add_reading_arguments(readings)
    add_unit_option(readings)
    add_json_option(add)
    add_workshop_options(add)

    job = todo.add_parser("job", help="note that the rings a job used fitted", description=_JOB, epilog=EPILOG)
    job.set_defaults(run=later("fits_job", "run"), parser=job)
    job.add_argument("job", metavar="JOB", help="the job's number, as in kitwright jobs")
    job.add_argument("--dry-run", action="store_true", help="say what would be noted and change nothing")
    add_json_option(job)
    add_workshop_options(job)


def _show_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("machine", metavar="MACHINE", nargs="?", help="the machine's name; the whole shop without it")
    files = parser.add_mutually_exclusive_group()
    files.add_argument("--export", metavar="FILE", help="write the records as CSV; - for standard output")
    files.add_argument("--import", metavar="FILE", dest="take_in", help="take in CSV; - for standard input")
    parser.add_argument("--theirs", metavar="LINE", action="append", default=[], help="the file's record holds")
    parser.add_argument("--ours", metavar="LINE", action="append", default=[], help="our record goes on holding")
    add_json_option(parser)
    add_workshop_options(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Show, export or import."""
    if arguments.take_in is not None:
        return _import(arguments)
    if arguments.theirs or arguments.ours:
        raise UsageError("--theirs and --ours settle conflicts of an import; add --import FILE")
    from tui.commands.workshop import opened

    with opened(arguments) as workshop, workshop.open().read() as session:
        rows = _rows(session, arguments.machine)
    if arguments.export is not None:
        return _export(arguments.export, rows, as_json=arguments.json)
    if arguments.json:
        say_json({"schema": SCHEMA, "fits": [fit_object(row) for row in rows]})
    elif rows:
        for line in fit_lines(rows):
            say(line)
    else:
        say("No fit is on record.")
    return ExitCode.FOUND if rows else ExitCode.NOTHING


def _rows(session: Session, machine: str | None) -> tuple[FitRow, ...]:
    from models import machines
    from models.fits import fit_records

    if machine is None:
        return fit_records.all_holding(session)
    known = {row.name: row.machine_id for row in machines.listed(session)}
    by_case = {name.casefold(): machine_id for name, machine_id in known.items()}
    machine_id = known.get(machine.strip(), by_case.get(machine.strip().casefold()))
    if machine_id is None:
        raise UsageError(f"machine {unknown(machine, list(known))}" if known else "there is no machine yet")
    return fit_records.at_machine(session, machine_id)


def _export(where: str, rows: tuple[FitRow, ...], *, as_json: bool) -> ExitCode:
    from models.fits.fit_csv import to_csv
    from tui.saving import SaveError, save

    text = to_csv(rows)
    if where == "-":
        if as_json:
            raise UsageError("--export - and --json both write to standard output; choose one")
        say_text(text)
        return ExitCode.FOUND if rows else ExitCode.NOTHING
    try:
        save(where, text.encode())
    except SaveError as fault:
        raise UsageError(f"--export: {fault}") from fault
    if as_json:
        say_json({"schema": SCHEMA, "exported": len(rows), "file": where})
    else:
        say(f"{len(rows)} records written to {where}.")
    return ExitCode.FOUND if rows else ExitCode.NOTHING


def _import(arguments: argparse.Namespace) -> ExitCode:
    from models.errors import InvalidInputError
    from models.outside import at_hand, look_through

    try:
        with at_hand(arguments.take_in) as file:
            look_through(file)  # before the models are loaded: what is no list is refused at once
            return _take_in(arguments, file)
    except InvalidInputError as problem:
        raise UsageError(f"--import: {problem}") from problem


def _take_in(arguments: argparse.Namespace, file: Path) -> ExitCode:
    from models.acts import by
    from models.fits.fit_import import Choice, import_fits
    from tui.commands.workshop import opened
    from tui.workshop import user

    choices = {_line("--theirs", text): Choice.THEIRS for text in arguments.theirs}
    for text in arguments.ours:
        line = _line("--ours", text)
        if line in choices:
            raise UsageError(f"line {line} is both in --theirs and in --ours; choose one")
        choices[line] = Choice.OURS
    fits = _Fits(file, arguments.machine.strip().casefold() if arguments.machine else None)
    next(iter(fits), None)  # a file that is none is told of before a workshop is made
    fits.refused.clear()
    with opened(arguments) as workshop:
        database = workshop.open()
        with database.write() as session:
            done = import_fits(session, by(user(), clock=database.clock), fits, choices)
        refused = [*sorted(fits.refused.items()), *done.refused]
        _tell(refused, done, as_json=arguments.json)
    return ExitCode.NOTHING if done.open or refused else ExitCode.FOUND


class _Fits:
    """The records of a file, of one machine or of all, as often as they are gone through; `refused`: lines and why."""

    def __init__(self, file: Path, machine: str | None) -> None:
        self._file = file
        self._machine = machine
        self.refused: dict[int, str] = {}

    def __iter__(self) -> Iterator[FileFit]:
        from models.fits.fit_csv import streamed

        for one in streamed(self._file, lambda refused: self.refused.setdefault(*refused)):
            if self._machine is None or one.machine.casefold() == self._machine:
                yield one


def _line(option: str, text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 9):
        raise UsageError(f"{option}: {shown(text)} is no line number; the conflicts name theirs")
    return int(text)


def _tell(refused: Sequence[tuple[int, str]], done: Imported, *, as_json: bool) -> None:
    if as_json:
        say_json(
            {
                "schema": SCHEMA,
                "added": done.added,
                "settled": done.settled,
                "known": done.known,
                "conflicts": [_conflict(one) for one in done.open],
                "refused": [{"line": line, "why": why} for line, why in refused],
            }
        )
        return
    say(f"{done.added} added, {done.settled} settled, {done.known} known already.")
    for one in done.open:
        say(f"line {one.theirs.line}: {one.theirs.machine}, {one.theirs.position}: {one.what}")
    if done.open:
        say("Choose for each line: --theirs LINE or --ours LINE. Nothing was changed there.")
    for line, why in refused:
        talk(f"line {line}: {why}")


def _conflict(conflict: Conflict) -> dict[str, Any]:
    theirs = conflict.theirs
    return {
        "line": theirs.line,
        "machine": theirs.machine,
        "position": theirs.position,
        "what": conflict.what,
        "theirs": theirs.fit.size_key,
        "ours": fit_object(conflict.ours),
    }


def fit_object(row: FitRow) -> dict[str, Any]:
    """One record; lengths in mm."""
    return {
        "machine": row.machine_name,
        "position": row.position_name,
        "size": row.size_key,
        "rubber": row.rubber or None,
        "hardness_shore_a": row.hardness_shore_a,
        "readings": [
            {
                "what": one.what.value,
                "value_mm": one.value_mm,
                "plus_minus_mm": one.plus_minus_mm,
                "tool": one.tool.value,
                "condition": one.condition.value,
            }
            for one in row.readings
        ],
        "groove": None if row.groove is None else row.groove.kind.value,
        "note": row.note or None,
        "who": row.who,
        "at": row.at.isoformat(),
        "imported_by": row.imported_by or None,
    }


def fit_lines(rows: tuple[FitRow, ...]) -> list[str]:
    """The records as a table."""
    from catalog.orings.sizes import label_of

    cells = []
    for row in rows:
        hardness = f"{row.hardness_shore_a} Shore A" if row.hardness_shore_a else ""
        cells.append(
            (
                row.machine_name,
                row.position_name,
                label_of(row.size_key),
                f"{row.rubber} {hardness}".strip(),
                f"{row.at:%Y-%m-%d}",
                row.who,
                row.note.replace("\n", " "),
            )
        )
    return table(("machine", "position", "size", "rubber", "when", "who", "note"), cells)
