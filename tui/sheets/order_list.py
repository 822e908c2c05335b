"""The order list: what to order from one supplier, in its packs, with what it costs."""

from __future__ import annotations

from models.purchasing.money import written
from tui.sheets import layout, pdf, plain
from tui.sheets.blocks import Block, Column, Facts, Para, Sheet, Table
from tui.sheets.paper import A4, Paper
from tui.sheets.records import OrderLine, OrderList

FOOT = "Check numbers, packs and prices against the supplier's own list before sending."


def as_pdf(order: OrderList, paper: Paper = A4) -> bytes:
    """The order as a PDF. Raises `PrintUnavailableError` without the printing libraries."""
    sheet = sheet_of(order, paper)
    return pdf.written(layout.pages(sheet), paper, title=sheet.title)


def as_text(order: OrderList) -> str:
    """The same as plain text, fit for a mail."""
    return plain.text_of(sheet_of(order))


def sheet_of(order: OrderList, paper: Paper = A4) -> Sheet:
    """The order as blocks."""
    facts = [("From", order.shop)] if order.shop else []
    facts += [("Ordered by", order.who), ("Written", order.written_on.isoformat())]
    if order.reference:
        facts.append(("Reference", order.reference))
    if order.needed_by:
        facts.append(("Needed by", order.needed_by.isoformat()))
    columns = (
        Column("Number", 2.6, strong=True), Column("Item", 4.4), Column("Packs", 1.6, strong=True),
        Column("Each", 2.2, right=True), Column("Amount", 2.2, right=True),
    )  # fmt: skip
    rows = tuple(
        (line.number, _item(line), _packs(line), _money(line.price, order), _money(line.amount, order))
        for line in order.lines
    )
    lines: tuple[Block, ...] = (Table(columns, rows, tick=True),) if rows else (Para("Nothing to order."),)
    note = (Para(order.note),) if order.note else ()
    blocks: tuple[Block, ...] = (Facts(tuple(facts)), *lines, Facts(_sums(order)), *note)
    return Sheet("Order list", order.supplier, FOOT, blocks, paper)


def _item(line: OrderLine) -> str:
    return "\n".join(filter(None, [line.item, f"for {line.for_what}" if line.for_what else "", line.note]))


def _packs(line: OrderLine) -> str:
    return f"{line.packs} × {line.pack}" if line.pack else str(line.packs)


def _money(amount: int | None, order: OrderList) -> str:
    return "ask" if amount is None else written(amount, order.currency)


def _sums(order: OrderList) -> tuple[tuple[str, str], ...]:
    amounts = [line.amount for line in order.lines]
    known = sum(amount for amount in amounts if amount is not None)
    unknown = sum(amount is None for amount in amounts)
    open_ends = [f"{unknown} without a price"] if unknown else []
    open_ends += ["freight not known"] if order.freight is None else []
    total = written(known + (order.freight or 0), order.currency)
    return (
        ("Goods", written(known, order.currency)),
        ("Freight", "not known" if order.freight is None else written(order.freight, order.currency)),
        ("Total", f"{total}, and {' and '.join(open_ends)}" if open_ends else total),
    )
