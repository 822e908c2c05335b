"""The command line: which command was asked for, and what its end means to the shell."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module

import models
from models import storage
from tui.commands import app
from tui.commands.output import Outcome, OutputError, flush, talk
from tui.commands.parsing import (
    Parser,
    UsageError,
    add_unit_option,
    add_workshop_options,
    first_word,
    join_negative_values,
)
from tui.exit_codes import ExitCode
from tui.version import __version__

COMMANDS = (
    *("ring", "sizes", "groove", "port", "rubber", "thread", "washer", "shaft-seal", "torque", "fluid", "fill"),
    *("filter", "machine", "supplier", "item", "bin", "shelf", "jobs", "job", "kit", "undo", "sheet", "find", "list"),
    *("buy", "fits", "picture"),
    *("units", "backup", "restore", "check", "serve", "completion"),
)
"""Every command, in the order of the job; each is an area of operations."""

DESCRIPTION = """\
Measure an old O-ring; learn which standard size it was; put it on a job's kit;
see whether it is on the shelf.

examples:
  kitwright                                  open the app on your workshop
  kitwright --demo                           open the app on an invented workshop
  kitwright --demo --guide                   the same, with a guide through a day
  kitwright ring --id 24.9mm --width 3.5mm   which standard ring is this?
"""
EPILOG = """\
The environment variable KITWRIGHT_DATA names the folder that holds your data,
in place of the platform's own; a file or an address is given with --data.
An address may leave the password to PostgreSQL's own files:
postgresql://user@host/shop with a pass file, or postgresql://?service=shop.

Output is advice to a competent person. The machine's manual, local codes and
licensed practice come first.
"""


def build_parser(names: Sequence[str] = COMMANDS) -> Parser:
    """The command line, with every command or with those that the words may be about (each costs up to 10 ms).

    Nothing here imports more than argparse and the areas' own modules.
    """
    parser = Parser(prog="kitwright", description=DESCRIPTION, epilog=EPILOG)
    parser.add_argument("--version", action="version", version=f"kitwright {__version__}")
    add_workshop_options(parser, top=True)
    add_unit_option(parser, top=True)
    parser.add_argument(
        "--guide",
        action="store_true",
        help="open the app with a guide: each step of a day in the demo, or of your workshop's first hour",
    )
    parser.add_argument(
        "--caliper",
        metavar="PORT",
        help="open the app with a caliper on a serial port, as COM3 or /dev/ttyUSB0 (PORT,BAUD where it is not 9600): "
        "what it sends goes into the field in hand; one that types like a keyboard needs no option",
    )
    parser.set_defaults(run=app.run, parser=parser)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command", prog="kitwright")
    for name in names:
        import_module("tui.operations.command").add_area(commands, name)
    return parser


def parse(words: Sequence[str]) -> argparse.Namespace:
    """The command asked for, as `run` and its arguments. Leaves with exit code 2 on wrong usage."""
    arguments: argparse.Namespace
    arguments, rest = build_parser(_asked_for(words)).parse_known_args(join_negative_values(words))
    parser: Parser = arguments.parser
    if rest:
        parser.unknown_argument(rest[0])
    if arguments.data is not None and arguments.data_from is not None:
        parser.error("--data and --data-from both say where the data is; leave one out")
    if arguments.demo and (arguments.data is not None or arguments.data_from is not None):
        parser.error("--demo has a database of its own; leave out --data")
    _refuse_misplaced_addresses(parser, arguments)
    return arguments


def _refuse_misplaced_addresses(parser: Parser, arguments: argparse.Namespace) -> None:
    """No file, name or note is the address of a database: what is said of it would repeat its password."""
    may_hold = {"data", "data_from", *(("to",) if arguments.command == "restore" else ())}
    for name, value in vars(arguments).items():
        for one in value if isinstance(value, list) else (value,):
            looks_like = isinstance(one, str) and (":" in one or "=" in one)
            if looks_like and name not in may_hold and storage.address.is_misplaced(one):
                known = next((action for action in parser._actions if action.dest == name), None)
                option = str(known.metavar or known.dest) if known is not None else name
                option = known.option_strings[0] if known is not None and known.option_strings else option
                parser.error(f"{option}: the address of a database stands there; it is given with --data")


def _data_from(name: str) -> str:
    """Where the data is, as the first line of a file says it."""
    try:
        return models.outside.first_line(name)
    except models.errors.WorkshopError as problem:
        raise UsageError(f"--data-from: {problem}") from problem


def _asked_for(words: Sequence[str]) -> Sequence[str]:
    """The command among the words; all where help may be asked for or a word is none; none where the app is opened."""
    word = first_word(words)
    if word in COMMANDS:
        return (word,)
    return COMMANDS if word is not None or any(one.startswith(("-h", "--h")) for one in words) else ()


def run(words: Sequence[str]) -> int:
    """Run one command line and give its exit code."""
    Outcome.booked, Outcome.stopped = False, ""
    prog = "kitwright"
    try:
        try:
            arguments = parse(words)
        except SystemExit:
            flush()  # help that was asked for
            raise
        prog = arguments.parser.prog
        if arguments.data_from is not None:
            arguments.data = _data_from(arguments.data_from)
        code = int(arguments.run(arguments))
        flush()
    except UsageError as problem:
        talk(f"{prog}: {problem}")
        return ExitCode.USAGE
    except KeyboardInterrupt:
        talk(f"{prog}: stopped. {Outcome.stopped or _booked()}")
        return ExitCode.INTERRUPTED
    except OutputError as lost:
        return _lost(prog, lost)
    return code


def _booked() -> str:
    return "The change is booked." if Outcome.booked else "Nothing was changed."


def _lost(prog: str, lost: OutputError) -> ExitCode:
    """Say that the answer went nowhere, and whether what it would have told is done.

    Whoever read it and went away, as `| head`, has what they wanted: nothing is said then, unless a change is booked.
    """
    gone = isinstance(lost.__cause__, BrokenPipeError)
    why = "whoever read it has gone" if gone else getattr(lost.__cause__, "strerror", None) or str(lost)
    if Outcome.booked or not gone:
        talk(f"{prog}: the answer could not be written ({why.lower()}). {_booked()}")
    if sys.stdout is not None:
        # Python flushes standard output once more at exit; give it somewhere to go.
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return ExitCode.PIPE_CLOSED if gone else ExitCode.USAGE


def main() -> None:
    """The console script."""
    # A command lives too briefly for the cycle collector to pay (10 ms of 120); what lives longer turns it on again.
    gc.disable()
    # A terminal that cannot write a sign (a fraction, an accent) gets a question mark, not a traceback.
    for stream in (sys.stdout, sys.stderr):
        if stream is not None and hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        sys.exit(run(sys.argv[1:]))
    except KeyboardInterrupt:  # once more, while it was told of the first
        sys.exit(ExitCode.INTERRUPTED)
