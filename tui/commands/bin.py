"""`kitwright bin`: the places things lie in."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from collections.abc import Sequence

    from models.stores.bins import BinRow

NAME = "bin"
HELP = "the bins, in walking order; add one"
DESCRIPTION = """\
List the bins in walking order (by code), or add one. What lies in them is shown
by: kitwright shelf list

examples:
  kitwright bin list --demo
  kitwright bin add "Box 5" --note "metric rings, FKM" --demo
"""
EPILOG = "exit codes: 0 done, 1 there is no bin by that, 2 wrong options or input.\n"
SCHEMA = "kitwright.bin/1"
MOST = 10_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do with bins."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    listing = todo.add_parser(
        "list",
        help="the bins, in walking order",
        description="List the bins, all or those whose code or note holds every word.\n\n"
        "example:\n  kitwright bin list rings --demo\n",
    )
    listing.add_argument("text", nargs="*", metavar="TEXT", help="words of the code or the note")
    adding = todo.add_parser(
        "add",
        help="add a bin",
        description='Add a bin.\n\nexample:\n  kitwright bin add "Box 5" --note "metric rings, FKM" --demo\n',
    )
    adding.add_argument("code", metavar="CODE", help="the code as written on it")
    adding.add_argument("--note", metavar="TEXT", default="", help="what it is for")
    for below, run in ((listing, _list), (adding, _add)):
        below.set_defaults(run=run, parser=below)
        add_json_option(below)
        add_workshop_options(below)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `bin` asks for what to do."""
    raise UsageError(f"say what to do: list or add (got {arguments.what})")


def _list(arguments: argparse.Namespace) -> ExitCode:
    from models.stores import bins
    from tui.commands.workshop import opened

    with opened(arguments) as workshop:
        found = workshop.read(lambda session: bins.page(session, " ".join(arguments.text), limit=MOST))
    _tell(found, arguments)
    return ExitCode.FOUND if found else ExitCode.NOTHING


def _add(arguments: argparse.Namespace) -> ExitCode:
    from models.stores import bins
    from tui.commands.workshop import opened

    with opened(arguments) as workshop:
        made = workshop.change(lambda session, act: bins.add(session, act, code=arguments.code, note=arguments.note))
    if arguments.json:
        _tell([made], arguments)
    else:
        say(f"Added bin {made.code}.")
    return ExitCode.FOUND


def _tell(found: Sequence[BinRow], arguments: argparse.Namespace) -> None:
    if arguments.json:
        rows: list[dict[str, Any]] = [{"bin": row.code, "note": row.note or None} for row in found]
        say_json({"schema": SCHEMA, "bins": rows})
    elif found:
        for line in table(("bin", "note"), [(row.code, row.note) for row in found]):
            say(line)
    else:
        say("No bin goes by that.")
