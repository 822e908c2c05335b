"""`kitwright machine`: the machines and the positions on them."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.later import later
from tui.commands.parsing import Parser, UsageError, add_json_option, add_unit_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    Todo = argparse._SubParsersAction[Parser]

NAME = "machine"
HELP = "the machines and their positions; add one"
DESCRIPTION = """\
List the machines, see one with its positions, add machines and positions. A
position is a named place on a machine that takes an item. What fitted there is
shown by: kitwright fits

examples:
  kitwright machine list --demo
  kitwright machine show "Orchard tractor 3" --demo
  kitwright machine add "Loader 2" --built japan --position "lift valve ring=ring" --demo
"""
EPILOG = "exit codes: 0 done, 1 there is no machine yet, 2 wrong options or input.\n"
BUILT = ("anywhere", "japan", "north-america", "europe")
KINDS = ("ring", "filter", "fluid", "sealant", "fastener", "consumable")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do with machines."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    _add(todo, "list", "listing", "the machines, by name", _LIST)
    _add(todo, "show", "show", "one machine with its positions", _SHOW)
    add = _add(todo, "add", "add", "add a machine, with positions if you like", _ADD)
    add.add_argument("--built", choices=BUILT, default="anywhere", help="where, which says what rings are likely")
    add.add_argument("--position", action="append", default=[], metavar="NAME=KIND",
                     help=f"a position and what it takes: {', '.join(KINDS)}")  # fmt: skip
    position = _add(todo, "position", "position", "add a position to a machine", _POSITION)
    position.add_argument("position", metavar="POSITION", help="what the place is called")
    position.add_argument("--takes", choices=KINDS, metavar="KIND", default="ring",
                          help=f"what it takes, ring unless you say: {', '.join(KINDS)}")  # fmt: skip
    built = _add(todo, "built", "built", "say where a machine was built", _BUILT)
    built.add_argument("where", choices=BUILT, help="where it was built")
    housing = _add(todo, "housing", "housing", "note a filter position's housing as measured", _HOUSING)
    housing.add_argument("position", metavar="POSITION", help="the filter position")
    housing.add_argument("--housing", nargs="+", required=True, metavar="FIELD=VALUE",
                         help="what was measured, see: kitwright filter --fields")  # fmt: skip
    add_unit_option(housing)
    for below in (add, position):
        below.add_argument("--note", metavar="TEXT", default="", help="anything else to know")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `machine` asks for what to do."""
    raise UsageError(f"say what to do: list, show, add, position, built or housing (got {arguments.what})")


def _add(todo: Todo, name: str, call: str, text: str, description: str) -> Parser:
    below = todo.add_parser(name, help=text, description=description)
    below.set_defaults(run=later("machine_work", call), parser=below)
    if name != "list":
        below.add_argument("machine", metavar="MACHINE", help="the machine's name")
    add_json_option(below)
    add_workshop_options(below)
    return below


_LIST = """\
List the machines by name.

example:
  kitwright machine list --demo
"""
_SHOW = """\
Show one machine: where it was built, its positions, and what takes which item.

example:
  kitwright machine show "Orchard tractor 3" --demo
"""
_ADD = """\
Add a machine, with its positions where you know them.

example:
  kitwright machine add "Loader 2" --built japan --position "lift valve ring=ring" --position "sump=fluid" --demo
"""
_POSITION = """\
Add a position to a machine: a named place that takes an item.

example:
  kitwright machine position "Row sprayer" "pump inlet strainer" --takes filter --demo
"""
_BUILT = """\
Say where a machine was built: it weighs which ring series are likely on it.

example:
  kitwright machine built "Shop press" europe --demo
"""
_HOUSING = """\
Note the housing at a filter position as it was measured; elements are judged in it.

example:
  kitwright machine housing "Bin tipper" "tank return element" --housing takes=spin-on thread=1-12 --demo
"""
