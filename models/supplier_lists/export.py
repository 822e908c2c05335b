"""A supplier's list as CSV that comes in again as it went out, and in which no spreadsheet runs a cell."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from decimal import Decimal
from typing import Final, TextIO

from models.purchasing.money import decimals
from models.supplier_lists.cells import neutral
from models.supplier_lists.entries import breaks_of
from models.supplier_lists.layout import Column, Layout
from models.supplier_lists.listing import ListedRow
from models.supplier_lists.words import Field
from models.words import Unit

_PLAIN: Final = (
    *(Field.NUMBER, Field.NAME, Field.PRICE, Field.PRICE_PER, Field.CURRENCY, Field.PACK, Field.UNIT),
    *(Field.MIN_PACKS, Field.LEAD_DAYS, Field.GTIN),
)


def layout_for(rows: Iterable[ListedRow]) -> Layout:
    """The layout of an export of these rows: every field, and a column for each price break that any row has."""
    steps = sorted({packs for row in rows for packs, _, _ in breaks_of(row.breaks)})
    columns = [Column(at, field.value, field) for at, field in enumerate(_PLAIN)]
    columns += [
        Column(len(_PLAIN) + at, f"price from {packs}", Field.PRICE_FROM, packs) for at, packs in enumerate(steps)
    ]
    return Layout(tuple(columns), ".", 1)


def write_csv(rows: Iterable[ListedRow], layout: Layout, out: TextIO) -> int:
    """Write the rows as RFC 4180 CSV every cell in quotes; returns how many. Open `out` with newline=''."""
    cells = csv.writer(out, lineterminator="\r\n", quoting=csv.QUOTE_ALL)
    cells.writerow([column.header for column in layout.columns])
    count = 0
    for row in rows:
        steps = {packs: (minor, per) for packs, minor, per in breaks_of(row.breaks)}
        cells.writerow([_cell(row, column, steps) for column in layout.columns])
        count += 1
    return count


def _cell(row: ListedRow, column: Column, steps: dict[int, tuple[int, int]]) -> str:
    if column.field is Field.NUMBER:
        return neutral(row.number)
    if column.field is Field.NAME:
        return neutral(row.name)
    if column.field is Field.PRICE_FROM:
        minor, per = steps.get(column.from_packs or 0, (0, 0))
        return _money(minor * row.price_per, per, row.currency) if per else ""
    figures = {
        Field.PRICE: "" if row.price_minor is None else _money(row.price_minor, 1, row.currency),
        Field.PRICE_PER: str(row.price_per),
        Field.CURRENCY: row.currency,
        Field.PACK: _pack(row),
        Field.UNIT: "each" if row.counted_in is Unit.EACH else "L",
        Field.MIN_PACKS: str(row.min_packs),
        Field.LEAD_DAYS: "" if row.lead_days is None else str(row.lead_days),
        Field.GTIN: row.gtin,
    }
    return figures[column.field]


def _money(minor: int, per: int, currency: str) -> str:
    """Exactly, with a point and no exponent."""
    return f"{Decimal(minor) / per / 10 ** decimals(currency):f}"


def _pack(row: ListedRow) -> str:
    """Pieces, or litres to the microlitre."""
    return str(row.pack_quantity) if row.counted_in is Unit.EACH else f"{Decimal(row.pack_quantity) / 1_000_000:f}"
