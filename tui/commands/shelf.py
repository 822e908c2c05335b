"""`kitwright shelf`: what lies where; receive, count, use, scrap, move; the count round, reorder points, boxes."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.later import later
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options
from tui.commands.undo import add_choosing
from tui.exit_codes import ExitCode
from tui.operations import command
from tui.operations.registry import operations

if TYPE_CHECKING:
    Todo = argparse._SubParsersAction[Parser]

NAME = "shelf"
HELP = "what lies where; receive, count, move, reorder points, boxes"
DESCRIPTION = """\
Look at the shelf, book in what came, set right what a bin holds, throw away what
is bad. Walk the bins for a count round. See what runs low and what is missing
from a box. What has expired is said wherever it stands.

examples:
  kitwright shelf list 214 --demo
  kitwright shelf receive "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 20 --demo
  kitwright shelf count "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 17 --demo
  kitwright shelf reorder --demo
  kitwright shelf box "Box 1" --demo
  kitwright shelf undo --demo
"""
EPILOG = "exit codes: 0 done, 1 nothing there, or something to look at, 2 wrong options or input.\n"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do at the shelf."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    for operation in operations(NAME):
        command.add(todo, operation)
    _booking(todo)
    _keeping(todo)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `shelf` asks for what to do."""
    raise UsageError(f"say what to do at the shelf (got {arguments.what})")


def _booking(todo: Todo) -> None:
    below = _add(todo, "receive", "shelf_book", "receive", "book in what came", _RECEIVE)
    below.add_argument("item", metavar="ITEM", help="the item's name")
    below.add_argument("--bin", required=True, metavar="CODE", help="the bin's code")
    _quantity(below, "how much came", required=False)
    below.add_argument("--packs", metavar="N", help="or how many boxes or pails came, with --pack")
    below.add_argument("--pack", metavar="N", help="what one of them holds: pieces, or a volume as 5 gal")
    below.add_argument("--lot", metavar="CODE", default="", help="the lot on the bag")
    below.add_argument("--expires", metavar="DAY", help="the last day on the bag, as 2029-06-30")
    below.add_argument("--cured", metavar="DAY", help="the cure day on a bag of rings, as 2026-06-30")
    below = _add(todo, "undo", "undo", "run", "take back your last change", _UNDO)
    add_choosing(below)


def _keeping(todo: Todo) -> None:
    below = _add(todo, "round", "shelf_round", "run", "a count round: print the sheet, take it back", _ROUND)
    below.add_argument("--bin", action="append", metavar="CODE", help="only this bin; may be given again")
    below.add_argument("--empty", action="store_true", help="list what should be empty, too")
    below.add_argument("--as", dest="form", choices=("text", "csv"), default="text", help="text unless you say")
    below.add_argument("--out", metavar="FILE", help="write the sheet to this file")
    below.add_argument("--take", metavar="FILE", help="compare a filled-in CSV sheet with the record; - for input")
    below.add_argument("--book", action="store_true", help="with --take: book the counts (else nothing is changed)")
    below.add_argument("--reason", metavar="TEXT", default="count round", help="what the counts are booked under")
    below = _add(todo, "reorder", "shelf_reorder", "run", "what runs low; set when to order more", _REORDER)
    below.add_argument("item", metavar="ITEM", nargs="?", help="the item's name; every rule that is due without it")
    below.add_argument("--all", action="store_true", help="list rules that are not due, too")
    _quantity(below, "order more when free stock falls to this", name="--order-at", required=False)
    _quantity(below, "order up to this", name="--up-to", required=False)
    below.add_argument("--lead-days", metavar="N", help="how many days a new order takes")
    below.add_argument("--propose", action="store_true", help="work a point out from use; needs --lead-days")
    below.add_argument("--service", metavar="PERCENT", help="how often it must not run out (95)")
    below.add_argument("--drop", action="store_true", help="keep no rule for the item any more")
    below = _add(todo, "box", "shelf_box", "run", "what is missing from an assortment box", _BOX)
    below.add_argument("box", metavar="BIN", nargs="?", help="the box, by its bin's code; all boxes without it")
    below.add_argument("--all", action="store_true", help="list what is all there, too")
    below.add_argument("--full", action="append", metavar="ITEM=N", help="a full box holds N of it; 0: none")


def _add(todo: Todo, name: str, module: str, call: str, text: str, description: str) -> Parser:
    below = todo.add_parser(name, help=text, description=description)
    below.set_defaults(run=later(module, call), parser=below)
    add_json_option(below)
    add_workshop_options(below)
    return below


def _quantity(below: Parser, text: str, *, name: str = "--quantity", required: bool = True) -> None:
    below.add_argument(name, metavar="N", required=required, help=f"{text}: pieces, or a volume as 5 gal")


_RECEIVE = """\
Put what came into a bin. An item or a bin that is new is made; add a new fluid with
item add first. Rings with a cure day keep as long as ISO 2230 says.

examples:
  kitwright shelf receive "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 20 --demo
  kitwright shelf receive "O-ring AS568 116 FKM 75" --bin "Box 2" --packs 2 --pack 10 --lot B7 --cured 2026-02-15 --demo
  kitwright shelf receive "UTTO, drum" --bin "Drum 1" --packs 1 --pack "208 L" --demo
"""
_UNDO = """\
Take back the last change that you made and that can be undone, here or in the app.
It is named first. Nothing is removed from the record: the opposite is booked.

examples:
  kitwright shelf undo --dry-run --demo
  kitwright shelf undo --demo
"""
_ROUND = """\
Walk the bins and count. Print the sheet in walking order; fill in the column
counted; take it back to see where it differs; book it. Litres for fluids.

examples:
  kitwright shelf round --bin "Box 3" --bin "Shelf O" --demo
  kitwright shelf round --as csv --out round.csv --demo
  kitwright shelf round --take round.csv --demo
  kitwright shelf round --take round.csv --book --demo
"""
_REORDER = """\
List what has fallen to its reorder point, with the reason. Or set an item's rule:
order more when free stock falls to --order-at, up to --up-to. Or work a point out
from what was used in a year.

examples:
  kitwright shelf reorder --demo
  kitwright shelf reorder "Rags, lint-free" --order-at 20 --up-to 100 --lead-days 4 --demo
  kitwright shelf reorder "Hydraulic oil, jug" --propose --lead-days 10 --service 95 --demo
  kitwright shelf reorder "Rags, lint-free" --drop --demo
"""
_BOX = """\
Show what is missing from an assortment box, size by size. Or say what a full box
holds: only the items named are changed.

examples:
  kitwright shelf box --demo
  kitwright shelf box "Box 4" --all --demo
  kitwright shelf box "Box 3" --full "O-ring METRIC 14X2.65 NBR 70=10" --demo
"""
