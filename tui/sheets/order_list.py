"""The order list: what to order from one supplier, in its packs, with what it costs."""

from __future__ import annotations

from catalog.languages.tongue import ENGLISH, Tongue
from models.purchasing.money import written
from tui.sheets import layout, pdf, plain
from tui.sheets.blocks import Block, Column, Facts, Para, Sheet, Table
from tui.sheets.paper import A4, Paper
from tui.sheets.records import OrderLine, OrderList

FOOT = "Check numbers, packs and prices against the supplier's own list before sending."


def as_pdf(order: OrderList, paper: Paper = A4, say: Tongue = ENGLISH) -> bytes:
    """The order as a PDF. Raises `PrintUnavailableError` without the printing libraries."""
    sheet = sheet_of(order, paper, say)
    return pdf.written(layout.pages(sheet), paper, title=sheet.title)


def as_text(order: OrderList, say: Tongue = ENGLISH) -> str:
    """The same as plain text, fit for a mail."""
    return plain.text_of(sheet_of(order, say=say))


def sheet_of(order: OrderList, paper: Paper = A4, say: Tongue = ENGLISH) -> Sheet:
    """The order as blocks."""
    facts = [(say("From"), order.shop)] if order.shop else []
    facts += [(say("Ordered by"), order.who), (say("Written"), order.written_on.isoformat())]
    if order.reference:
        facts.append((say("Reference"), order.reference))
    if order.needed_by:
        facts.append((say("Needed by"), order.needed_by.isoformat()))
    columns = (
        Column(say("Number"), 2.6, strong=True), Column(say("Item"), 4.4), Column(say("Packs"), 1.6, strong=True),
        Column(say("Each"), 2.2, right=True), Column(say("Amount"), 2.2, right=True),
    )  # fmt: skip
    rows = tuple(
        (line.number, _item(line, say), _packs(line), _money(line.price, order, say), _money(line.amount, order, say))
        for line in order.lines
    )
    lines: tuple[Block, ...] = (Table(columns, rows, tick=True),) if rows else (Para(say("Nothing to order.")),)
    note = (Para(order.note),) if order.note else ()
    blocks: tuple[Block, ...] = (Facts(tuple(facts)), *lines, Facts(_sums(order, say)), *note)
    return Sheet(say("Order list"), order.supplier, say(FOOT), blocks, paper, say)


def _item(line: OrderLine, say: Tongue) -> str:
    wanted = say("for {what}", what=line.for_what) if line.for_what else ""
    return "\n".join(filter(None, [line.item, wanted, line.note]))


def _packs(line: OrderLine) -> str:
    return f"{line.packs} × {line.pack}" if line.pack else str(line.packs)


def _money(amount: int | None, order: OrderList, say: Tongue) -> str:
    return say("ask") if amount is None else written(amount, order.currency)


def _sums(order: OrderList, say: Tongue) -> tuple[tuple[str, str], ...]:
    amounts = [line.amount for line in order.lines]
    known = sum(amount for amount in amounts if amount is not None)
    unknown = sum(amount is None for amount in amounts)
    open_ends = [say("{count} without a price", count=unknown)] if unknown else []
    open_ends += [say("freight not known")] if order.freight is None else []
    total = written(known + (order.freight or 0), order.currency)
    return (
        (say("Goods"), written(known, order.currency)),
        (say("Freight"), say("not known") if order.freight is None else written(order.freight, order.currency)),
        (say("Total"), "; ".join([total, *open_ends])),
    )
