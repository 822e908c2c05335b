"""`kitwright find`: items of the shop's own and rows of suppliers' lists, by number, words or dimensions."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json, table, talk
from tui.commands.parsing import add_json_option, add_workshop_options, whole
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.search.found import Hit

NAME = "find"
HELP = "items and supplier lists, by number, words or size"
DESCRIPTION = """\
Find what the shop keeps and what suppliers list: by part number or a piece of
it, by words, or by a ring's dimensions.

examples:
  kitwright find HX-4626
  kitwright find "3.5 x 25 nbr" --json
  kitwright find hyd oil --supplier "First supplier (invented)"
"""
EPILOG = """\
A ring in a supplier's list was read out of free text; the line says how sure
that reading is.
exit codes: 0 found, 1 nothing found, 2 wrong options.
"""
SCHEMA = "kitwright.find/1"
MOST = 1000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what to look for and where."""
    parser.add_argument("text", nargs="+", metavar="TEXT", help="a number, words, or ID x width")
    parser.add_argument("--supplier", metavar="NAME", help="only this supplier's list")
    parser.add_argument("--limit", metavar="N", default="20", help="at most so many rows (20 unless you say)")
    parser.add_argument("--offset", metavar="N", default="0", help="leave out so many rows at the start")
    add_json_option(parser)
    add_workshop_options(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Find and print."""
    from models.search.searching import search
    from models.supplier_lists import suppliers
    from tui.commands.workshop import opened

    limit = whole("--limit", arguments.limit, 1, MOST)
    offset = whole("--offset", arguments.offset, 0, 999_999_999)
    with opened(arguments) as workshop, workshop.open().read() as session:
        supplier_id = None if arguments.supplier is None else suppliers.named(session, arguments.supplier).supplier_id
        page = search(session, " ".join(arguments.text), limit=limit, offset=offset, supplier_id=supplier_id)
    if arguments.json:
        rows = [hit_object(hit) for hit in page.rows]
        say_json({"schema": SCHEMA, "total": page.total, "more": page.more, "rows": rows})
    elif page.rows:
        for line in table(("what", "number", "name", "supplier", "price", ""), [_cells(hit) for hit in page.rows]):
            say(line)
        if page.more:
            talk(f"There are more than {page.total}; add a word, or ask for more with --limit.")
    else:
        say("Nothing goes by that.")
    return ExitCode.FOUND if page.rows else ExitCode.NOTHING


def price(minor: int | None, per: int, currency: str) -> str:
    """A price in words: `0.45 EUR`, `3.45 EUR a 100`, nothing where none is given."""
    from models.purchasing.money import written

    if minor is None:
        return ""
    return written(minor, currency) + ("" if per == 1 else f" a {per}")


def hit_object(hit: Hit) -> dict[str, Any]:
    """A row found, as JSON. Prices in minor units of the currency, for `price_per` packs."""
    return {
        "where": hit.where.value,
        "id": hit.row_id,
        "how": hit.how.value,
        "number": hit.number or None,
        "name": hit.name,
        "supplier": hit.supplier or None,
        "price_minor": hit.price_minor,
        "price_per": hit.price_per,
        "currency": hit.currency or None,
        "pack_quantity": hit.pack_quantity,
        "counted_in": hit.counted_in,
        "size": hit.size_key,
        "rubber": hit.rubber or None,
        "hardness_shore_a": hit.hardness_shore_a,
        "reading_confidence": None if hit.reading_ppm is None else hit.reading_ppm / 1_000_000,
        "reading_state": hit.reading_state or None,
    }


def _cells(hit: Hit) -> tuple[str, ...]:
    money = price(hit.price_minor, hit.price_per, hit.currency)
    return ("item" if hit.where == "item" else "list", hit.number, hit.name[:50], hit.supplier, money, _reading(hit))


def _reading(hit: Hit) -> str:
    if hit.size_key is None:
        return ""
    from catalog.orings.sizes import label_of

    ring = " ".join(word for word in (label_of(hit.size_key), hit.rubber, str(hit.hardness_shore_a or "")) if word)
    if hit.reading_ppm is None or hit.reading_state == "confirmed":
        return ring
    return f"read as {ring}, {hit.reading_ppm / 10_000:.0f} % sure"
