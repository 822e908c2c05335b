"""`kitwright shelf lot`: put a lot's day right."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.amounts import day
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError
from tui.commands.shelf_words import SCHEMA, item_named, stock_lines, stock_object
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.acts import Act
    from models.database import Session
    from models.shelf import StockRow


def run(arguments: argparse.Namespace) -> ExitCode:
    """Correct the day and show where the lot lies."""
    from models import shelf
    from models.stores import expiry, lots

    expires, cured = day("--expires", arguments.expires), day("--cured", arguments.cured)
    if expires is None and cured is None:
        raise UsageError("say the right day: --expires DAY, or --cured DAY for rings")

    def correct(session: Session, act: Act) -> tuple[StockRow, ...]:
        item_id = item_named(session, arguments.item).item_id
        lots.correct(session, act, item_id, arguments.lot, expires_on=expires, cured_on=cured, reason=arguments.reason)
        lot = arguments.lot.strip()
        return tuple(row for row in shelf.rows_of(session, item_id=item_id) if row.lot_code == lot)

    with opened(arguments) as workshop:
        rows = workshop.change(correct)
        on = workshop.open().clock().date()
        old = workshop.read(lambda session: expiry.expired(session, on, [row.stock_id for row in rows]))
    if arguments.json:
        stock = [stock_object(row, old.get(row.stock_id)) for row in rows]
        say_json({"schema": SCHEMA, "total": len(stock), "stock": stock})
    else:
        for line in ("Corrected. To take it back, correct it again.", *stock_lines(rows, old)):
            say(line)
    return ExitCode.FOUND
