"""The command line: which command was asked for, and what its end means to the shell."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from tui.commands import app
from tui.commands.output import talk
from tui.commands.parsing import (
    Parser,
    UsageError,
    add_unit_option,
    add_workshop_options,
    first_word,
    join_negative_values,
)
from tui.exit_codes import ExitCode
from tui.operations.registry import AREAS
from tui.version import __version__

COMMANDS = (
    *("ring", "sizes", "groove", "port", "rubber", "thread", "torque", "fluid", "fill", "filter"),
    *("machine", "item", "bin", "shelf", "jobs", "job", "kit", "undo", "sheet", "find", "list", "buy", "fits"),
    *("units", "backup", "restore", "check"),
)
"""Every command, in the order of the job: an area of operations, or a module of `tui.commands` with NAME, HELP,
DESCRIPTION, `add_arguments(parser)` and `run(arguments)`."""

DESCRIPTION = """\
Measure an old O-ring; learn which standard size it was; put it on a job's kit;
see whether it is on the shelf.

examples:
  kitwright                                  open the app on your workshop
  kitwright --demo                           open the app on an invented workshop
  kitwright ring --id 24.9mm --width 3.5mm   which standard ring is this?
"""
EPILOG = """\
The environment variable KITWRIGHT_DATA names the folder that holds your data,
in place of the platform's own; a file or an address is given with --data.

Output is advice to a competent person. The machine's manual, local codes and
licensed practice come first.
"""


def build_parser(only: str | None = None) -> Parser:
    """The command line, with every command or with the one that was asked for (the others cost 2 ms each).

    Nothing here imports more than argparse and the commands' own modules.
    """
    parser = Parser(prog="kitwright", description=DESCRIPTION, epilog=EPILOG)
    parser.add_argument("--version", action="version", version=f"kitwright {__version__}")
    add_workshop_options(parser, top=True)
    add_unit_option(parser, top=True)
    parser.set_defaults(run=app.run, parser=parser)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command", prog="kitwright")
    for name in COMMANDS if only is None else (only,):
        if name in AREAS and name != "shelf":  # some of its commands are not turned over yet
            import_module("tui.operations.command").add_area(commands, name)
            continue
        module = import_module(f"tui.commands.{name}")
        below = commands.add_parser(
            module.NAME, help=module.HELP, description=module.DESCRIPTION, epilog=getattr(module, "EPILOG", None)
        )
        below.set_defaults(run=module.run, parser=below)
        module.add_arguments(below)
    return parser


def parse(words: Sequence[str]) -> argparse.Namespace:
    """The command asked for, as `run` and its arguments. Leaves with exit code 2 on wrong usage."""
    arguments: argparse.Namespace
    arguments, rest = build_parser(_asked_for(words)).parse_known_args(join_negative_values(words))
    parser: Parser = arguments.parser
    if rest:
        parser.unknown_argument(rest[0])
    if arguments.demo and arguments.data:
        parser.error("--demo has a database of its own; leave out --data")
    return arguments


def _asked_for(words: Sequence[str]) -> str | None:
    """The command among the words, where the first that is neither an option nor an option's value is one."""
    word = first_word(words)
    return word if word in COMMANDS else None


def run(words: Sequence[str]) -> int:
    """Run one command line and give its exit code."""
    arguments = parse(words)
    try:
        code = int(arguments.run(arguments))
        sys.stdout.flush()
    except UsageError as problem:
        # A file's name or a workshop's may hold what would steer the terminal.
        said = "".join(letter if letter.isprintable() or letter == "\n" else "\ufffd" for letter in str(problem))
        talk(f"{arguments.parser.prog}: {said}")
        return ExitCode.USAGE
    except KeyboardInterrupt:
        return ExitCode.INTERRUPTED
    except BrokenPipeError:
        # Python flushes standard output once more at exit; give it somewhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ExitCode.PIPE_CLOSED
    return code


def main() -> None:
    """The console script."""
    # A command lives too briefly for the cycle collector to pay (10 ms of 120); what lives longer turns it on again.
    gc.disable()
    # A terminal that cannot write a sign (a fraction, an accent) gets a question mark, not a traceback.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    sys.exit(run(sys.argv[1:]))
