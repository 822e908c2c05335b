"""`kitwright shelf receive`, `count`, `use`, `scrap` and `move`."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.amounts import EACH, amount, day, folded, number
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError
from tui.commands.shelf_words import SCHEMA, row_lines, scanned, stock_object
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.database import Session
    from models.shelf import StockRow
    from tui.workshop import Workshop


def receive(arguments: argparse.Namespace) -> ExitCode:
    """Book a delivery in."""
    from tui.deliveries import Delivery

    expires, cured = day("--expires", arguments.expires), day("--cured", arguments.cured)
    if expires is not None and cured is not None and expires <= cured:
        raise UsageError("--expires is not after --cured; look at the bag again")
    with opened(arguments) as workshop:
        arguments.item = workshop.read(lambda session: scanned(session, arguments.item))
        known = workshop.read(lambda session: _counted_in(session, arguments.item))
        quantity = _came(arguments, known or EACH)
        place = workshop.read(lambda session: _has_bin(session, arguments.bin))
        row = workshop.receive(Delivery(arguments.item, arguments.bin, quantity, arguments.lot, expires, cured))
        made = ("item", None if known else row.item_name), ("bin", None if place else row.bin_code)
        new = [f"New {what}: {name}." for what, name in made if name is not None]
        return _booked(workshop, row, arguments, "Received.", new)


def _came(arguments: argparse.Namespace, counted_in: str) -> int:
    if (arguments.quantity is None) == (arguments.packs is None):
        raise UsageError("say how much came: --quantity N, or --packs N with --pack N")
    if arguments.quantity is not None:
        if arguments.pack is not None:
            raise UsageError("--pack says what one pack holds; give --packs with it instead of --quantity")
        return _measured("--quantity", arguments.quantity, counted_in)
    if arguments.pack is None:
        raise UsageError("--packs: say what one of them holds, as --pack 10 or --pack '5 gal'")
    return number("--packs", arguments.packs) * _measured("--pack", arguments.pack, counted_in)


def _measured(option: str, text: str, counted_in: str) -> int:
    from tui.commands.judging import plain

    try:
        return amount(option, text, counted_in)
    except UsageError as problem:
        if counted_in == EACH and any(letter.isalpha() for letter in text):
            raise UsageError(
                f"{plain(str(problem))}; a new fluid is added first, with: kitwright item add NAME --kind fluid"
            ) from problem
        raise


def _booked(
    workshop: Workshop, row: StockRow, arguments: argparse.Namespace, word: str, more: list[str] | None = None
) -> ExitCode:
    from models.stores import expiry

    on = workshop.open().clock().date()
    old = workshop.read(lambda session: expiry.expired(session, on, [row.stock_id])).get(row.stock_id)
    if arguments.json:
        say_json({"schema": SCHEMA, "total": 1, "stock": [stock_object(row, old)]})
    else:
        for line in (*row_lines(word, row, old), *(more or ())):
            say(line)
    return ExitCode.FOUND


def _counted_in(session: Session, name: str) -> str | None:
    from models.stores import items

    for row in items.page(session, name, limit=500).rows:
        if folded(row.name) == folded(name):
            return row.counted_in.value
    return None


def _has_bin(session: Session, code: str) -> bool:
    from models.stores import bins

    return any(folded(row.code) == folded(code) for row in bins.page(session, code, limit=500))
