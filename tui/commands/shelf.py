"""`kitwright shelf`: what lies where; receive and count."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table, talk
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options, shown
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.shelf import StockRow

NAME = "shelf"
HELP = "what lies where; receive, count"
DESCRIPTION = """\
Look at the shelf, book in what came, set right what a bin holds.

examples:
  kitwright shelf list --demo
  kitwright shelf list 214 --json
  kitwright shelf receive "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 20
  kitwright shelf count "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 17
"""
EPILOG = "exit codes: 0 done, 1 nothing there by that name, 2 wrong options or input.\n"
SCHEMA = "kitwright.shelf/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the three things to do at the shelf."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    listing = todo.add_parser(
        "list",
        help="what lies where",
        description="List the stock, all of it or what every word picks out.\n\n"
        "example:\n  kitwright shelf list 214 --demo\n",
    )
    listing.add_argument("text", nargs="*", metavar="TEXT", help="words of an item's or a bin's name")
    receive = todo.add_parser(
        "receive",
        help="book in what came",
        description="Put pieces into a bin. An item or a bin that is new is made.\n\n"
        'example:\n  kitwright shelf receive "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 20\n',
    )
    count = todo.add_parser(
        "count",
        help="set right what a bin holds",
        description="Write down how many pieces a bin really holds.\n\n"
        'example:\n  kitwright shelf count "O-ring AS568 214 NBR 70" --bin "Box 1" --quantity 17\n',
    )
    for below, run in ((listing, _list), (receive, _receive), (count, _count)):
        below.set_defaults(run=run, parser=below)
        add_json_option(below)
        add_workshop_options(below)
    for below in (receive, count):
        below.add_argument("item", metavar="ITEM", help="the item's name")
        below.add_argument("--bin", required=True, metavar="CODE", help="the bin's code")
        below.add_argument("--quantity", required=True, metavar="N", help="how many pieces")
    count.add_argument("--lot", metavar="CODE", help="which lot, where the bin holds several")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `shelf` asks for what to do."""
    raise UsageError(f"say what to do at the shelf: list, receive or count (got {arguments.what})")


def _list(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.workshop import opened

    with opened(arguments) as workshop:
        page = workshop.stock(" ".join(arguments.text))
    if arguments.json:
        say_json({"schema": SCHEMA, "total": page.total, "stock": [stock_object(row) for row in page.rows]})
    elif page.rows:
        for line in stock_lines(page.rows):
            say(line)
        if page.total > len(page.rows):
            talk(f"{len(page.rows)} of {page.total} shown; add a word to narrow it.")
    else:
        say("Nothing on the shelf goes by that.")
    return ExitCode.FOUND if page.rows else ExitCode.NOTHING


def _receive(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.workshop import opened
    from tui.deliveries import Delivery

    quantity = _quantity(arguments.quantity, least=1)
    with opened(arguments) as workshop:
        names = {_folded(name): counted_in for name, counted_in in workshop.known().items.items()}
        if names.get(_folded(arguments.item), "each") != "each":
            raise UsageError(
                f"{shown(arguments.item)} is counted by volume; receive it in the app, on the shelf screen"
            )
        row = workshop.receive(Delivery(arguments.item, arguments.bin, quantity))
    return _booked(row, arguments, "Received.")


def _count(arguments: argparse.Namespace) -> ExitCode:
    from tui.commands.workshop import opened

    counted = _quantity(arguments.quantity, least=0)
    with opened(arguments) as workshop:
        row = _stock(list(workshop.stock(arguments.item).rows), arguments)
        if row.counted_in != "each":
            raise UsageError(f"{shown(row.item_name)} is counted by volume; count it in the app, on the shelf screen")
        row = workshop.count(row.stock_id, counted)
    return _booked(row, arguments, "Counted.")


def _stock(rows: list[StockRow], arguments: argparse.Namespace) -> StockRow:
    """The one stock row that item, bin and lot name; near names are offered, never taken."""
    wanted = _folded(arguments.item), _folded(arguments.bin)
    found = [row for row in rows if (_folded(row.item_name), _folded(row.bin_code)) == wanted]
    if arguments.lot is not None:
        found = [row for row in found if row.lot_code == arguments.lot]
    if len(found) == 1:
        return found[0]
    if found:
        lots = ", ".join(shown(row.lot_code) for row in found)
        raise UsageError(f"the bin holds several lots of that item; say which with --lot: {lots}")
    raise UsageError(
        f"bin {shown(arguments.bin)} holds no {shown(arguments.item)}; look with: kitwright shelf list, "
        "or book it in with: kitwright shelf receive"
    )


def _folded(text: str) -> str:
    return " ".join(text.split()).casefold()


def _quantity(text: str, *, least: int) -> int:
    clean = text.strip()
    if not (clean.isascii() and clean.isdigit() and len(clean) <= 9 and int(clean) >= least):
        raise UsageError(f"--quantity: {shown(text)} is not a whole number from {least} up")
    return int(clean)


def _booked(row: StockRow, arguments: argparse.Namespace, word: str) -> ExitCode:
    if arguments.json:
        say_json({"schema": SCHEMA, "total": 1, "stock": [stock_object(row)]})
    else:
        say(f"{word} {row.item_name} in bin {row.bin_code}: {quantity(row.on_hand, row)} on hand, "
            f"{quantity(row.free, row)} free.")  # fmt: skip
    return ExitCode.FOUND


def quantity(amount: int, row: StockRow) -> str:
    """An amount in the words of what it is counted in."""
    from models.volume import in_words

    return in_words(amount, row.counted_in)


def stock_object(row: StockRow) -> dict[str, Any]:
    """A stock row as JSON; quantities in pieces or, for `counted_in` "ul", in microlitres."""
    return {
        "item": row.item_name,
        "kind": row.kind.value,
        "size": row.size_key,
        "rubber": row.rubber or None,
        "bin": row.bin_code,
        "lot": row.lot_code or None,
        "expires_on": None if row.expires_on is None else row.expires_on.isoformat(),
        "counted_in": row.counted_in.value,
        "on_hand": row.on_hand,
        "promised": row.promised,
        "free": row.free,
    }


def stock_lines(rows: tuple[StockRow, ...]) -> list[str]:
    """Stock as a table."""
    cells = [
        (
            row.bin_code,
            row.item_name,
            quantity(row.on_hand, row),
            quantity(row.promised, row),
            quantity(row.free, row),
            "" if row.expires_on is None else f"use by {row.expires_on.isoformat()}",
        )
        for row in rows
    ]
    return table(("bin", "item", "on hand", "promised", "free", ""), cells, right=(2, 3, 4))
