"""`kitwright list`: suppliers and their lists: look at a file, see what it would change, take it over, write it out."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from tui.commands import list_load, list_row
from tui.commands.list_answer import say_guesses
from tui.commands.output import say, say_json, table
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options, shown, whole
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from collections.abc import Sequence

    from models.supplier_lists.suppliers import SupplierRow

NAME = "list"
HELP = "suppliers' lists: look, compare, load, write out"
DESCRIPTION = """\
Suppliers and what they sell. A list is a CSV, TSV or XLSX file with its columns
in any order; it is taken over whole or not at all.

examples:
  kitwright list add "First supplier (invented)" --currency EUR
  kitwright list columns prices.csv
  kitwright list load prices.csv --supplier "First supplier (invented)" --dry-run
  kitwright list load prices.csv --supplier "First supplier (invented)" --accept
  kitwright list export "First supplier (invented)" --to out.csv
"""
EPILOG = "exit codes: 0 done, 1 nothing there or lines refused, 2 wrong options or file.\n"
SUPPLIERS_SCHEMA = "kitwright.list.suppliers/1"
COLUMNS_SCHEMA = "kitwright.list.columns/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what can be done with lists."""
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    suppliers = todo.add_parser(
        "suppliers",
        help="every supplier",
        description="List the suppliers and how many rows each one's list has.\n\n"
        "example:\n  kitwright list suppliers --json\n",
    )
    add = todo.add_parser(
        "add",
        help="add a supplier",
        description="Add a supplier; amounts are in its currency.\n\n"
        'example:\n  kitwright list add "First supplier (invented)" --currency EUR --freight 9.90\n',
    )
    columns = todo.add_parser(
        "columns",
        help="what a file's columns hold",
        description="Look at a file and say what each column seems to hold, and how sure\nthat is.\n\n"
        "example:\n  kitwright list columns prices.csv\n",
    )
    load = todo.add_parser(
        "load",
        help="take a list over, or see what it would change",
        description="Make a supplier's list what a file says: all of it, or nothing.\n"
        "The columns are kept with the supplier once they are accepted.\n\n"
        'example:\n  kitwright list load prices.csv --supplier "First supplier (invented)" --dry-run\n',
    )
    export = todo.add_parser(
        "export",
        help="write a list out as CSV",
        description="Write a supplier's list as CSV. No cell can run as a formula.\n\n"
        'example:\n  kitwright list export "First supplier (invented)" --to out.csv\n',
    )
    row = todo.add_parser(
        "row",
        help="one row: its prices, and what was read in its text",
        description="Show one row of a list; say whether what was read in its text is right.\n\n"
        'example:\n  kitwright list row "First supplier (invented)" HX-4626 --right\n',
    )
    runs = (
        (suppliers, _suppliers),
        (add, _add),
        (columns, _columns),
        (load, list_load.run),
        (row, list_row.run),
        (export, _export),
    )
    for below, run in runs:
        below.set_defaults(run=run, parser=below)
        if below is not columns:
            add_workshop_options(below)
        add_json_option(below)
    _supplier_options(add)
    for below in (columns, load):
        below.add_argument("file", metavar="FILE", help="a CSV, TSV or XLSX file; - for standard input")
        below.add_argument("--sheet", metavar="NAME", help="which sheet of an XLSX file")
    list_load.add_options(load)
    list_row.add_options(row)
    export.add_argument("supplier", metavar="NAME", help="whose list")
    export.add_argument("--to", required=True, metavar="FILE", help="the file to write")


def _supplier_options(add: argparse.ArgumentParser) -> None:
    add.add_argument("name", metavar="NAME", help="the supplier's name")
    add.add_argument("--currency", required=True, metavar="CODE", help="three letters, like EUR")
    add.add_argument("--freight", metavar="AMOUNT", help="freight on an order")
    add.add_argument("--free-from", metavar="AMOUNT", help="no freight from this value on")
    add.add_argument("--minimum-order", metavar="AMOUNT", help="smallest value of an order")
    add.add_argument("--lead-days", metavar="N", help="days from order to delivery")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `list` asks for what to do."""
    raise UsageError(f"say what to do: suppliers, add, columns, load, row or export (got {arguments.what})")


def _suppliers(arguments: argparse.Namespace) -> ExitCode:
    from models.supplier_lists import suppliers
    from tui.commands.workshop import opened

    with opened(arguments) as workshop, workshop.open().read() as session:
        rows = suppliers.page(session)
    if arguments.json:
        _say_suppliers(rows)
    elif rows:
        cells = [(row.name, row.currency, str(row.listed)) for row in rows]
        for line in table(("supplier", "currency", "rows"), cells, right=(2,)):
            say(line)
    else:
        say('No supplier yet. Add one with: kitwright list add "NAME" --currency EUR')
    return ExitCode.FOUND if rows else ExitCode.NOTHING


def _say_suppliers(rows: Sequence[SupplierRow]) -> None:
    say_json({"schema": SUPPLIERS_SCHEMA, "suppliers": [row._asdict() for row in rows]})


def _add(arguments: argparse.Namespace) -> ExitCode:
    from models.acts import by
    from models.supplier_lists import suppliers
    from tui.commands.workshop import opened
    from tui.workshop import user

    freight, free_from, minimum = (_amount(arguments, name) for name in ("freight", "free_from", "minimum_order"))
    lead = None if arguments.lead_days is None else whole("--lead-days", arguments.lead_days, 0, 3650)
    with opened(arguments) as workshop, workshop.open().write() as session:
        row = suppliers.add(
            session,
            by(user()),
            name=arguments.name,
            currency=arguments.currency,
            freight_minor=freight or 0,
            free_from_minor=free_from,
            minimum_order_minor=minimum or 0,
            lead_days=lead,
        )
    if arguments.json:
        _say_suppliers([row])
    else:
        say(f"Added {row.name}, who prices in {row.currency}.")
    return ExitCode.FOUND


def _amount(arguments: argparse.Namespace, name: str) -> int | None:
    """An amount of money in minor units."""
    from models.supplier_lists.figures import FigureError, price

    text = getattr(arguments, name)
    if text is None:
        return None
    option = f"--{name.replace('_', '-')}"
    try:
        found = price(text.strip(), ".", arguments.currency.strip().upper())
    except FigureError as problem:
        raise UsageError(f"{option}: {problem}") from problem
    if found is None or found.per != 1:
        raise UsageError(f"{option}: {shown(text)} is finer than the currency's smallest coin; round it")
    return found.minor


def _columns(arguments: argparse.Namespace) -> ExitCode:
    with list_load.looked_at(arguments) as (_, found):
        proposal = found
    if arguments.json:
        columns = [guess._asdict() | {"field": guess.field.value, "column": guess.at + 1} for guess in proposal.guesses]
        for column in columns:
            del column["at"]
        mark = {"decimal": proposal.mark, "decimal_confidence": proposal.mark_confidence}
        say_json({"schema": COLUMNS_SCHEMA, **mark, "header_line": proposal.header_line, "columns": columns})
    else:
        say_guesses(proposal, say)
    return ExitCode.FOUND


def _export(arguments: argparse.Namespace) -> ExitCode:
    from models.supplier_lists import export, suppliers
    from models.supplier_lists.listing import rows
    from tui.commands.workshop import opened

    with opened(arguments) as workshop, workshop.open().read() as session:
        row = suppliers.named(session, arguments.supplier)
        layout = export.layout_for(rows(session, row.supplier_id))
        try:
            with Path(arguments.to).open("w", encoding="utf-8", newline="") as out:
                count = export.write_csv(rows(session, row.supplier_id), layout, out)
        except OSError as problem:
            raise UsageError(f"--to: {shown(arguments.to)} can't be written: {problem.strerror}") from problem
    if arguments.json:
        say_json({"schema": "kitwright.list.export/1", "supplier": row.name, "file": arguments.to, "rows": count})
    else:
        say(f"Wrote {count} rows of {row.name} to {arguments.to}.")
    return ExitCode.FOUND if count else ExitCode.NOTHING
