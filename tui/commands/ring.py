"""`kitwright ring`: readings in, standard sizes out."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, add_json_option, add_unit_option
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from tui.commands.ring_input import Asked

NAME = "ring"
HELP = "measured ring → standard size"
DESCRIPTION = """\
Tell what was measured on a ring; get the standard sizes it can be, how sure each is,
and the next measurement that would settle it.

examples:
  kitwright ring --id 24.9 --width 3.5
  kitwright ring --id 63/64in --width 9/64in --tool rule
  kitwright ring --id 1in --width 1/8in
  kitwright ring --cut-length 90mm --width 3.4 --width 3.7 --condition flattened
  kitwright ring --id 24.9±0.2mm --series as568,jis --json
  kitwright ring --batch box.csv --json

A reading is a number with or without a unit: 24.9  24,9 mm  63/64  1-1/8in  24.9±0.1mm
Fractions that the trade calls a ring by are its name: 1in by 1/8in is AS568-214.
"""
EPILOG = """\
tools: caliper, micrometer, rule, tape, cone. Unless you say otherwise a reading
  is taken as a caliper's; around as a tape's; cut length as a rule's. --tool rule
  is for all readings, --tool id=cone for one. A stated ± always wins.
conditions: new, used, flattened, swollen, shrunk.
batch: a CSV file (or - for standard input) with the options as column names, one
  ring a row; , ; or tab between columns; two width columns for two readings.
exit codes: 0 a size fits, 1 no size in our tables fits, 2 wrong options or input.
"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    readings = parser.add_argument_group("readings")
    add_reading_arguments(readings)
    readings.add_argument("--batch", metavar="FILE", help="read many rings from a CSV file, - for standard input")
    answer = parser.add_argument_group("answer")
    answer.add_argument(
        "--series",
        action="append",
        default=[],
        metavar="NAME",
        help="only these series: as568, jis, metric, bs4518, afnor, stock; repeat it or part them by commas",
    )
    answer.add_argument("--limit", metavar="N", help="how many sizes to list (10 unless you say otherwise)")
    add_unit_option(answer)
    add_json_option(answer)


def add_reading_arguments(readings: argparse._ActionsContainer) -> None:
    """Add what is told of a ring that was measured."""
    for option, meaning in (
        ("--id", "inside diameter"),
        ("--od", "outside diameter"),
        ("--width", "width of the ring's section; give it twice for two readings, flat way and tall way"),
        ("--around", "length of the inside edge, by a tape laid into the ring"),
        ("--cut-length", "length of the ring cut once and laid straight"),
    ):
        readings.add_argument(option, action="append", default=[], metavar="LENGTH", help=meaning)
    readings.add_argument(
        "--tool", action="append", default=[], metavar="TOOL", help="what it was measured with: TOOL, or READING=TOOL"
    )
    readings.add_argument("--condition", metavar="WORD", help="how the ring looks (new unless you say otherwise)")


def readings_of(arguments: argparse.Namespace) -> dict[str, tuple[str, ...]]:
    """What was typed of each reading."""
    return {name: tuple(getattr(arguments, name)) for name in ("id", "od", "width", "around", "cut_length")}


def run(arguments: argparse.Namespace) -> ExitCode:
    """Match one ring, or a batch of them."""
    from tui.commands.ring_input import Asked

    asked = Asked(
        readings=readings_of(arguments),
        tools=tuple(arguments.tool),
        condition=arguments.condition,
        series=tuple(arguments.series),
        unit=arguments.unit,
        limit=arguments.limit,
    )
    if arguments.batch is None:
        return _one(asked, as_json=arguments.json)
    if any(asked.readings.values()):
        raise UsageError("--batch reads the rings from a file; leave the readings out of the command line")
    from tui.commands.ring_batch import run_batch

    return run_batch(arguments.batch, asked, as_json=arguments.json)


def _one(asked: Asked, *, as_json: bool) -> ExitCode:
    from tui.commands.ring_answer import answer

    ranking = answer(asked)
    if as_json:
        from tui.commands.ring_json import ring_object

        say_json(ring_object(ranking))
    else:
        from tui.commands.ring_text import ring_lines

        for line in ring_lines(ranking, asked.unit):
            say(line)
    return ExitCode.FOUND if ranking.found else ExitCode.NOTHING
