"""`kitwright backup FILE`: write the workshop to a new file while it is in use."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.judging import plain
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, add_json_option, add_workshop_options, shown
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from pathlib import Path

    from models.storage.restore import Restored

NAME = "backup"
HELP = "write the workshop to a new file, while it is in use"
DESCRIPTION = """\
Write the whole workshop to a new file, whole and of one moment, while others go on
working. What was written is looked through. A file that is there already is never
overwritten. Put it back with: kitwright restore

examples:
  kitwright backup friday.sqlite3 --demo
  kitwright backup saturday.sqlite3 --json --demo
"""
EPILOG = """\
exit codes: 0 written, and all is well in it, 1 written, but something in it is not,
2 it can't be written, or wrong options.
"""
SCHEMA = "kitwright.backup/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("file", metavar="FILE", help="the new file")
    add_json_option(parser)
    add_workshop_options(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Back up."""
    from models.errors import WorkshopError
    from models.storage import address, locations, restore
    from tui.commands.workshop import opened
    from tui.workshop import user

    target = file_of("FILE", arguments.file)
    if not arguments.demo and not address.is_address(arguments.data or ""):
        try:
            source = locations.workshop_file() if arguments.data is None else address.file(arguments.data)
        except WorkshopError as problem:
            raise UsageError(str(problem)) from problem
        # Opening would make an empty workshop there, and an empty backup would look like one.
        try:
            there = source.exists()
        except OSError as fault:
            why = (fault.strerror or str(fault)).lower()
            raise UsageError(f"--data: {shown(str(source))} can't be used ({why})") from fault
        if not there:
            raise UsageError(f"there is no workshop in {source} yet, so there is nothing to back up")
    with opened(arguments) as workshop:
        written = restore.back_up(workshop.open(), target, user())
    return tell(arguments.json, SCHEMA, written, f"Backed up to {plain(written.where)}")


def file_of(option: str, text: str) -> Path:
    """A file as typed."""
    from models.errors import WorkshopError
    from models.storage import address

    if not text.strip() or "\0" in text:
        raise UsageError(f"{option}: that names no file; type one, as friday.sqlite3")
    try:
        file = address.file(text)
        file.exists()
    except WorkshopError as problem:
        raise UsageError(f"{option}: {problem}") from problem
    except OSError as fault:
        why = fault.strerror or str(fault)
        raise UsageError(f"{option}: {shown(text)} can't be used ({why.lower()}); name another file") from fault
    return file


def tell(as_json: bool, schema: str, done: Restored, said: str) -> ExitCode:
    """What was written, and whether all is well in it."""
    rows = sum(done.rows.values())
    if as_json:
        ok = not done.findings
        say_json({"schema": schema, "where": done.where, "ok": ok, "rows": done.rows, "findings": list(done.findings)})
    else:
        well = "not all is well in it" if done.findings else "all is well in it"
        say(f"{said}: {rows} rows, {done.rows.get('movements', 0)} of them movements; {well}.")
        for finding in done.findings:
            say(f"  {finding}")
    return ExitCode.NOTHING if done.findings else ExitCode.FOUND
