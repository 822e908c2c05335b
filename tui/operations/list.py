"""What can be done with suppliers and their lists: add one, look at a file, take it over, show a row, write it out."""

from __future__ import annotations

import re
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import models
from models import supplier_lists
from tui import commands
from tui.answers.supplier_lists import (
    Columns,
    ListCompared,
    ListLoaded,
    ListWritten,
    RowShown,
    Suppliers,
    change_of,
    columns_of,
    loaded_of,
    shown_of,
    supplier_of,
)
from tui.fields.field import FieldError
from tui.fields.money import Currency, Money
from tui.fields.orders import Name, PartNumber, Supplier, SupplierMoney
from tui.fields.plain import Choice, Count, File, Flag, Several, Text
from tui.fields.sheets import Language
from tui.fields.words import shown, unknown
from tui.operations.operation import Operation, Then, Values

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.supplier_lists.layout import Layout
    from models.supplier_lists.progress import Progress
    from models.supplier_lists.proposal import Proposal
    from models.supplier_lists.source import Source
    from models.supplier_lists.suppliers import SupplierRow
    from tui.operations.operation import Tell
    from tui.workshop import Workshop

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
REFUSED_SHOWN: Final = 20


def _listed(then: Then) -> Suppliers:
    return Suppliers(tuple(map(supplier_of, then.result)))


def _added(then: Then) -> Suppliers:
    row: SupplierRow = then.result
    return Suppliers((supplier_of(row),), f"Added {row.name}, who prices in {row.currency}.")


def _terms(then: Then) -> Suppliers:
    row = supplier_of(then.result)
    return Suppliers((row,), f"{row.supplier}: {row.terms}.")


def _no_terms(values: Values) -> str:
    said = ("freight", "free_from", "minimum_order", "lead_days", "currency", "language")
    if "language" not in values or any(values.get(one) not in (None, "") for one in said):
        return ""
    return "say at least one of its terms, as --freight 9.90"


@contextmanager
def _looked_at(values: Values) -> Iterator[tuple[Source, Proposal]]:
    """The file, or what comes through a pipe, and what its columns seem to hold; it is at hand during the block."""
    with models.outside.at_hand(values["file"]) as file:
        source = supplier_lists.source.open_source(file, sheet=values["sheet"] or None)
        yield source, supplier_lists.proposal.propose(source)


def _columns(workshop: Workshop, values: Values) -> Columns:
    with _looked_at(values) as (_, proposal):
        return columns_of(proposal)


def _load(workshop: Workshop, values: Values, tell: Tell) -> ListCompared | ListLoaded:
    """Read the file to the side, then tell what it would change or take it over."""
    row: SupplierRow = values["supplier"]
    with _looked_at(values) as (source, proposal):
        kept = workshop.read(
            lambda session: supplier_lists.suppliers.remembered_layout(
                session, row.supplier_id, proposal.headers, proposal.header_line
            )
        )
        layout = _settled(values, proposal, kept)
        with supplier_lists.staging.stage(source, layout, row.currency, watch=_Talk()) as staged:
            if not values["dry_run"]:
                done = workshop.change(lambda session, act: _take_over(session, act, row, staged, layout))
                return loaded_of(row.name, done, islice(staged.refused(), REFUSED_SHOWN), row.freight_minor is None)
            count = workshop.read(lambda session: _compare(session, row, staged, tell))
            return ListCompared(row.name, count, staged.refused_count)


def _compare(session: Session, row: SupplierRow, staged: Any, tell: Tell) -> int:
    """Tell each change at once: a million of them are never held together. Gives how many there were."""
    count = 0
    for change in supplier_lists.changes.changes(session, staged, row.supplier_id, watch=_Talk()):
        tell(change_of(change))
        count += 1
    return count


def _take_over(session: Session, act: Any, row: SupplierRow, staged: Any, layout: Layout) -> Any:
    supplier_lists.suppliers.remember_layout(session, act._replace(key=f"{act.key}/columns"), row.supplier_id, layout)
    return supplier_lists.loading.load(session, act, row.supplier_id, staged, watch=_Talk())


def _settled(values: Values, proposal: Proposal, kept: Layout | None) -> Layout:
    """The layout to read by. Nothing that was only guessed is written by before a person has accepted it."""
    layout = kept if kept is not None and not values["accept"] else proposal.layout
    for told in values["column"]:
        layout = _corrected(layout, told, proposal)
    if values["decimal"]:
        layout = layout._replace(mark="." if values["decimal"] == "point" else ",")
    if kept is None and not values["accept"] and not values["dry_run"]:
        for line in columns_of(proposal).words():
            commands.output.talk(line)
        raise FieldError("these columns were not accepted yet: add --accept, with --column where one is wrong", "-")
    return layout


def _corrected(layout: Layout, told: str, proposal: Proposal) -> Layout:
    number, _, name = told.partition("=")
    if not (number.isascii() and number.isdigit() and 1 <= int(number[:6]) <= len(proposal.guesses)):
        count = len(proposal.guesses)
        raise FieldError(f"{shown(told)} names no column of the file; they are 1 to {count}", "--column")
    at, word = int(number) - 1, name.strip().lower().replace(" ", "-")
    step = re.fullmatch(r"price-from-(\d{1,6})", word)
    fields = {
        field.value.replace(" ", "-"): field
        for field in supplier_lists.words.Field
        if field is not supplier_lists.words.Field.PRICE_FROM
    }
    if step is None and word not in fields:
        raise FieldError(unknown(name, [*fields, "price-from-10"]), "--column")
    packs = None if step is None else int(step[1])
    field = supplier_lists.words.Field.PRICE_FROM if step is not None else fields[word]
    return layout.with_field(at, field, packs, header=proposal.headers[at])


class _Talk:
    """Says how far it is, now and then, and only on a terminal: a script's log needs none of it."""

    def __init__(self) -> None:
        self._is_seen = sys.stderr is not None and sys.stderr.isatty()
        self._next = 0.0

    def __call__(self, at: Progress) -> None:
        if self._is_seen and time.monotonic() >= self._next:
            self._next = time.monotonic() + 2
            commands.output.talk(f"{at.step}: {at.rows} rows" + ("" if at.part is None else f", {at.part:.0%}"))


def _row(workshop: Workshop, values: Values) -> RowShown:
    supplier: SupplierRow = values["supplier"]
    row = workshop.read(
        lambda session: supplier_lists.listing.numbered(session, supplier.supplier_id, values["number"])
    )
    if row is None:
        raise FieldError(
            f"the list of {shown(supplier.name)} has no {shown(values['number'])}; look with: kitwright find", "-"
        )
    row_id = row.row_id
    if values["right"] or values["wrong"]:
        right = values["right"]
        row = workshop.change(
            lambda session, act: supplier_lists.listing.say_of_reading(session, act, row_id, right=right)
        )
    return shown_of(row, workshop.read(lambda session: supplier_lists.listing.prices(session, row_id)))


def _both(values: Values) -> str:
    return "--right and --wrong can't both be so; leave one out" if values.get("right") and values.get("wrong") else ""


def _export(workshop: Workshop, values: Values) -> ListWritten:
    supplier: SupplierRow = values["supplier"]
    count = workshop.read(lambda session: _written(session, supplier.supplier_id, values["to"]))
    return ListWritten(supplier.name, values["to"], count)


def _written(session: Session, supplier_id: int, target: str) -> int:
    layout = supplier_lists.export.layout_for(supplier_lists.listing.rows(session, supplier_id))
    try:
        with Path(target).open("w", encoding="utf-8", newline="") as out:
            return supplier_lists.export.write_csv(supplier_lists.listing.rows(session, supplier_id), layout, out)
    except OSError as problem:
        raise FieldError(f"{shown(target)} can't be written: {problem.strerror}", "--to") from problem


FILE = (
    File("file", "File", "a CSV, TSV or XLSX file; - for standard input", placed=True),
    Text("sheet", "Sheet", "which sheet of an XLSX file", must=False),
)
INVENTED: Final = '"First supplier (invented)"'

SUPPLIERS = Operation(
    area="list",
    name="suppliers",
    label="Suppliers",
    help="every supplier",
    about="List the suppliers and how many rows each one's list has.",
    fields=(),
    question=lambda: supplier_lists.suppliers.page,
    answer=_listed,
    examples=("list suppliers",),
)
ADD = Operation(
    area="list",
    name="add",
    label="Add a supplier",
    help="add a supplier",
    about="Add a supplier; amounts are in its currency.",
    fields=(
        Name("name", "Name", "the supplier's name", placed=True),
        Currency("currency", "Currency of its prices", "three letters, like EUR"),
        Money("freight", "Freight (optional)", "freight on an order", must=False, parameter="freight_minor"),
        Money("free_from", "Free from (optional)", "no freight from this value on", must=False,
              parameter="free_from_minor"),
        Money("minimum_order", "Smallest order (optional)", "smallest value of an order", must=False,
              parameter="minimum_order_minor"),
        Count("lead_days", "Days to deliver (optional)", "days from order to delivery", must=False, least=0,
              most=3650),
    ),
    change=lambda: supplier_lists.suppliers.add,
    answer=_added,
    examples=('list add "Fourth supplier (invented)" --currency EUR --freight 9.90',),
)  # fmt: skip
TERMS = Operation(
    area="list",
    name="terms",
    label="A supplier's terms",
    help="freight, smallest order, days, currency and language of a supplier",
    about="Say a supplier's terms; what is not given stays as it is. No freight is --freight 0.\n"
    "Until its freight is said, a plan counts the goods alone and says so. Its orders are\n"
    "written in its language, unless buy text says another.",
    fields=(
        Supplier("supplier", "Supplier", "whose terms", placed=True),
        Currency("currency", "Currency (optional)", "three letters, like EUR", must=False),
        SupplierMoney("freight", "Freight on an order (0 for none)", "freight on an order; 0 for none", must=False,
                      parameter="freight_minor"),
        SupplierMoney("free_from", "Free from (optional)", "no freight from this value on", must=False,
                      parameter="free_from_minor"),
        SupplierMoney("minimum_order", "Smallest order (optional)", "smallest value of an order", must=False,
                      parameter="minimum_order_minor"),
        Count("lead_days", "Days to deliver (optional)", "days from order to delivery", must=False, least=0,
              most=3650),
        Language("language", "Language of orders (optional)", "the language of orders: en, de, fr or es"),
    ),
    change=lambda: supplier_lists.suppliers.set_terms,
    answer=_terms,
    refuse=_no_terms,
    examples=('list terms "First supplier (invented)" --freight 9.90 --free-from 150 --lead-days 2',),
)  # fmt: skip
COLUMNS = Operation(
    area="list",
    name="columns",
    label="Columns of a file",
    help="what a file's columns hold",
    about="Look at a file and say what each column seems to hold, and how sure\nthat is.",
    fields=FILE,
    does=_columns,
    examples=("list columns prices.csv",),
)
LOAD = Operation(
    area="list",
    name="load",
    label="Load a list",
    help="take a list over, or see what it would change",
    about="Make a supplier's list what a file says: all of it, or nothing.\n"
    "The columns are kept with the supplier once they are accepted.",
    fields=(
        *FILE,
        Supplier("supplier", "Supplier", "whose list it is"),
        Flag("dry_run", "Dry run", "show every change and change nothing"),
        Flag("accept", "Accept", "take the columns as proposed"),
        Several("column", "Columns", "say what column N holds, as in 3=price or 4=price-from-10; may be repeated",
                metavar="N=FIELD"),
        Choice("decimal", "Decimal mark", "the decimal mark of the prices: point or comma", must=False,
               choices=("point", "comma")),
    ),
    tells=_load,
    examples=(f"list load prices.csv --supplier {INVENTED} --dry-run",),
)  # fmt: skip
EXPORT = Operation(
    area="list",
    name="export",
    label="Write a list out",
    help="write a list out as CSV",
    about="Write a supplier's list as CSV. No cell can run as a formula.",
    fields=(
        Supplier("supplier", "Supplier", "whose list", placed=True),
        File("to", "File", "the file to write"),
    ),
    does=_export,
    examples=(f"list export {INVENTED} --to out.csv",),
)
ROW = Operation(
    area="list",
    name="row",
    label="One row",
    help="one row: its prices, and what was read from its text",
    about="Show one row of a list; say whether what was read from its text is right.",
    fields=(
        Supplier("supplier", "Supplier", "whose list", placed=True),
        PartNumber("number", "Part number", "the part number, as the list has it", placed=True),
        Flag("right", "Right", "what was read from the text is right"),
        Flag("wrong", "Wrong", "what was read from the text is wrong"),
    ),
    does=_row,
    refuse=_both,
    examples=(f"list row {INVENTED} 1-0213N --right",),
)

OPERATIONS = (SUPPLIERS, ADD, TERMS, COLUMNS, LOAD, EXPORT, ROW)
