"""`kitwright item`: what the shop stocks; add an item and what is known of it."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.later import later
from tui.commands.parsing import Parser, UsageError, add_json_option, add_unit_option, add_workshop_options
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    Todo = argparse._SubParsersAction[Parser]

NAME = "item"
HELP = "what the shop stocks; add an item, its classes, its bar code"
DESCRIPTION = """\
List the items, see one, add one; say which classes it claims, what a full container
holds, how an element measures, which bar code is on the pack.

examples:
  kitwright item list 214 --demo
  kitwright item show "UTTO, drum" --demo
  kitwright item add "UTTO, pail" --kind fluid --class UTTO --grade 10W-30 --container "5 gal" --demo
  kitwright item add "O-ring AS568 214 FKM 75" --kind ring --size AS568-214 --rubber FKM --hardness 75 --demo
"""
EPILOG = "exit codes: 0 done, 1 there is no item by that, 2 wrong options or input.\n"
KINDS = ("ring", "filter", "fluid", "sealant", "fastener", "consumable")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do with items."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    listing = _add(todo, "list", "listing", "the items, by name", _LIST)
    listing.add_argument("text", nargs="*", metavar="TEXT", help="words of the name, size, rubber, class or grade")
    listing.add_argument("--kind", choices=KINDS, metavar="KIND", help=f"only this kind: {', '.join(KINDS)}")
    _named(_add(todo, "show", "show", "all that is known of one item", _SHOW))
    add = _named(_add(todo, "add", "add", "add an item", _ADD))
    add.add_argument("--kind", choices=KINDS, metavar="KIND", required=True, help=f"what it is: {', '.join(KINDS)}")
    add.add_argument("--size", metavar="SIZE", help="a ring's standard size, like AS568-214 or P22A")
    add.add_argument("--rubber", metavar="FAMILY", default="", help="a ring's rubber, like NBR")
    add.add_argument("--hardness", metavar="SHORE_A", help="a ring's hardness")
    add.add_argument("--class", metavar="CLASS", dest="spec_class", default="", help="its class, like UTTO")
    add.add_argument("--grade", metavar="GRADE", default="", help="its grade, like 10W-30 or 8.8")
    add.add_argument("--claims", action="append", default=[], metavar="CLASS",
                     help="a further class a fluid claims, or what a sealant resists; may be given again")  # fmt: skip
    add.add_argument("--container", metavar="N", help="what a full one holds: pieces, or a volume as 5 gal")
    add.add_argument("--cure", metavar="TIME", help="how long a sealant cures, as 24 h or 90 min")
    add.add_argument("--by-volume", action="store_true", help="count it by volume though it is no fluid")
    add.add_argument("--note", metavar="TEXT", default="", help="anything else to know")
    claims = _named(_add(todo, "claims", "claims", "which further classes it claims", _CLAIMS))
    claims.add_argument("classes", nargs="*", metavar="CLASS", help="all of them; none takes them away")
    container = _named(_add(todo, "container", "container", "what a full container holds", _CONTAINER))
    container.add_argument("holds", metavar="N", help="pieces, or a volume as 5 gal")
    element = _named(_add(todo, "element", "element", "a filter element as measured", _ELEMENT))
    element.add_argument("--element", nargs="+", required=True, metavar="FIELD=VALUE",
                         help="what was measured, see: kitwright filter --fields")  # fmt: skip
    add_unit_option(element)
    code = _named(_add(todo, "code", "code", "which bar code is on its pack", _CODE))
    code.add_argument("gtin", metavar="GTIN", help="the code's digits, as scanned")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `item` asks for what to do."""
    raise UsageError(f"say what to do: list, show, add, claims, container, element or code (got {arguments.what})")


def _add(todo: Todo, name: str, call: str, text: str, description: str) -> Parser:
    below = todo.add_parser(name, help=text, description=description)
    below.set_defaults(run=later("item_work", call), parser=below)
    add_json_option(below)
    add_workshop_options(below)
    return below


def _named(below: Parser) -> Parser:
    below.add_argument("item", metavar="ITEM", help="the item's name")
    return below


_LIST = """\
List the items, all or those that hold every word.

examples:
  kitwright item list hydraulic --demo
  kitwright item list --kind filter --demo
"""
_SHOW = """\
Show all that is known of one item: its class and what else it claims, what a full
container holds, its bar codes.

example:
  kitwright item show "UTTO, drum" --demo
"""
_ADD = """\
Add an item. A ring needs its size; a fluid is counted by volume.

examples:
  kitwright item add "UTTO, pail" --kind fluid --class UTTO --grade 10W-30 --container "5 gal" --demo
  kitwright item add "O-ring AS568 214 FKM 75" --kind ring --size AS568-214 --rubber FKM --hardness 75 --demo
  kitwright item add "Flange sealant, fast" --kind sealant --class "oil-proof flange sealant" --cure "4 h" --demo
"""
_CLAIMS = """\
Say which further classes a fluid claims, or what a sealant resists, in place of what
was said before.

example:
  kitwright item claims "UTTO, drum" "API GL-4" "JASO MA" --demo
"""
_CONTAINER = """\
Say what one full container holds, so that a rest in an opened one is told apart.

example:
  kitwright item container "Hydraulic oil, jug" "20 L" --demo
"""
_ELEMENT = """\
Note a filter element as it was measured; it is judged in a position's housing.

example:
  kitwright item element "Suction strainer, drop-in" --element kind='suction strainer' od=90 length=140 --demo
"""
_CODE = """\
Say which bar code (GTIN) is on an item's pack. One code is one item; its check digit
is looked at.

example:
  kitwright item code "Rags, lint-free" 2000123456782 --demo
"""
