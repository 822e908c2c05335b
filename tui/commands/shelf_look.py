"""`kitwright shelf list` and `shelf history`."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from tui.commands.output import say, say_json, table, talk
from tui.commands.shelf_words import SCHEMA, one_stock, stock_lines, stock_object
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode
from tui.workshop import MOST_ROWS

if TYPE_CHECKING:
    from models.database import Session
    from models.shelf import StockRow

EVERYTHING = 100_000


def listing(arguments: argparse.Namespace) -> ExitCode:
    """List stock; `--expired` and `--opened` narrow it."""
    text = " ".join(arguments.text)
    narrowed = arguments.expired or arguments.opened

    def look(session: Session) -> tuple[tuple[StockRow, ...], int, dict[int, str]]:
        from models import shelf
        from models.stores import expiry

        page = shelf.stock_rows(session, text, limit=EVERYTHING if narrowed else MOST_ROWS)
        old = expiry.expired(session, clock().date(), [row.stock_id for row in page.rows])
        rows = page.rows
        if arguments.expired:
            rows = tuple(row for row in rows if row.stock_id in old)
        if arguments.opened:
            rows = tuple(row for row in rows if row.opened)
        return rows[:MOST_ROWS], len(rows) if narrowed else page.total, old

    with opened(arguments) as workshop:
        clock = workshop.open().clock
        rows, total, old = workshop.read(look)
    if arguments.json:
        stock = [stock_object(row, old.get(row.stock_id)) for row in rows]
        say_json({"schema": SCHEMA, "total": total, "stock": stock})
    elif rows:
        for line in stock_lines(rows, old):
            say(line)
        if total > len(rows):
            talk(f"{len(rows)} of {total} shown; add a word to narrow it.")
    else:
        say(_nothing(arguments, text))
    return ExitCode.FOUND if rows else ExitCode.NOTHING


def _nothing(arguments: argparse.Namespace, text: str) -> str:
    of_it = " that goes by that" if text else ""
    if arguments.expired:
        return f"Nothing on the shelf{of_it} is past its day."
    if arguments.opened:
        return f"No container on the shelf{of_it} is partly used."
    return "Nothing on the shelf goes by that."


def history(arguments: argparse.Namespace) -> ExitCode:
    """Show the ledger of one stock row."""
    from models.volume import in_words

    with opened(arguments) as workshop:
        row = one_stock(workshop, arguments.item, arguments.bin, arguments.lot)
        moves = workshop.movements(row.stock_id)
    if arguments.json:
        say_json(
            {
                "schema": SCHEMA,
                "stock": stock_object(row),
                "movements": [
                    {
                        "at": move.at.isoformat(timespec="seconds"),
                        "who": move.who,
                        "kind": move.kind.value,
                        "on_hand": move.on_hand_change,
                        "promised": move.promised_change,
                        "undoes": move.reverses is not None,
                        "reason": move.reason or None,
                    }
                    for move in moves
                ],
            }
        )
        return ExitCode.FOUND if moves else ExitCode.NOTHING

    def signed(amount: int) -> str:
        said = in_words(abs(amount), row.counted_in)
        return "" if amount == 0 else f"+{said}" if amount > 0 else f"-{said}"

    cells = [
        (
            f"{move.at.astimezone():%Y-%m-%d %H:%M}",
            move.who,
            move.kind.value,
            signed(move.on_hand_change),
            signed(move.promised_change),
            move.reason,
        )
        for move in moves
    ]
    say(f"{row.item_name} in bin {row.bin_code}")
    for line in table(("when", "who", "what", "on hand", "promised", "why"), cells, right=(3, 4)):
        say(line)
    return ExitCode.FOUND if moves else ExitCode.NOTHING
