"""One line of a list becomes an entry with exact figures, or is refused with the reason. Nothing is guessed here."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from catalog.gtin import GtinError, normalise
from models.supplier_lists import cells, figures
from models.supplier_lists.figures import FigureError
from models.supplier_lists.layout import Layout
from models.supplier_lists.line import Line
from models.supplier_lists.words import Field
from models.words import Unit

NUMBER_LENGTH: Final = 100
NAME_LENGTH: Final = 400
MOST_STEPS: Final = 8
LONGEST_LEAD: Final = 3650


class Entry(NamedTuple):
    """A row as the list states it. `price_minor` (None: no price given) is for `price_per` packs, exactly.

    `breaks` holds dearer or cheaper prices by the packs they start from, as `10:950/1 50:9005/10`: minor units / packs.
    """

    number: str
    name: str
    pack_quantity: int
    counted_in: Unit
    min_packs: int
    price_minor: int | None
    price_per: int
    currency: str
    breaks: str
    lead_days: int | None
    gtin: str


class RefusedLine(NamedTuple):
    """A line that was not taken: where it is, why, its cells, and its part number where that could be read."""

    line: int
    reason: str
    cells: tuple[str, ...]
    number: str


class EntryReader:
    """Reads lines laid out in one way, for a supplier whose prices are in `currency` unless a column says otherwise."""

    def __init__(self, layout: Layout, currency: str) -> None:
        self._mark = layout.mark
        self._currency = currency
        at = {column.field: column.at for column in layout.columns}
        self._cell: dict[Field, int] = at
        self._number = at[Field.NUMBER]
        self._steps = sorted(
            (column.from_packs or 0, column.at) for column in layout.columns if column.field is Field.PRICE_FROM
        )
        self._get: Callable[[Sequence[str], Field], str] = self._one

    def _one(self, row: Sequence[str], field: Field) -> str:
        at = self._cell.get(field, -1)
        return row[at].strip() if 0 <= at < len(row) else ""

    def read(self, line: Line) -> Entry | RefusedLine:
        """The entry, or why there is none."""
        number = ""
        try:
            if line.broken:
                raise FigureError(line.broken)
            row = line.cells
            number = cells.text(row[self._number] if self._number < len(row) else "", "part number", NUMBER_LENGTH)
            if not number:
                raise FigureError("there is no part number")
            return self._entry(number, row)
        except FigureError as problem:
            return RefusedLine(line.number, str(problem), tuple(line.cells), number)

    def _entry(self, number: str, row: Sequence[str]) -> Entry:
        get = self._get
        currency = get(row, Field.CURRENCY).upper() or self._currency
        if len(currency) != 3 or not (currency.isascii() and currency.isalpha()):
            raise FigureError(f"{currency[:20]!r} is no currency; write its three letters, like EUR")
        per_cell = get(row, Field.PRICE_PER)
        per = figures.whole(per_cell, "how many packs a price is for", least=1, most=100_000) if per_cell else 1
        price = figures.price(get(row, Field.PRICE), self._mark, currency, per)
        breaks = self._breaks(row, currency, per) if self._steps else ""
        if breaks and price is None:
            raise FigureError("there are price breaks but no price")
        pack_cell, unit_cell = get(row, Field.PACK), get(row, Field.UNIT)
        pack = figures.pack(pack_cell, unit_cell, self._mark) if pack_cell or unit_cell else (1, Unit.EACH)
        least, lead = get(row, Field.MIN_PACKS), get(row, Field.LEAD_DAYS)
        return Entry(
            number,
            cells.text(get(row, Field.NAME), "name", NAME_LENGTH),
            *pack,
            figures.whole(least, "a least number of packs", least=1, most=1_000_000) if least else 1,
            None if price is None else price.minor,
            1 if price is None else price.per,
            currency,
            breaks,
            figures.whole(lead, "a number of days", least=0, most=LONGEST_LEAD) if lead else None,
            self._gtin(get(row, Field.GTIN)),
        )

    def _breaks(self, row: Sequence[str], currency: str, per: int) -> str:
        found = []
        for packs, at in self._steps[:MOST_STEPS]:
            price = figures.price(row[at].strip() if at < len(row) else "", self._mark, currency, per)
            if price is not None:
                found.append(f"{packs}:{price.minor}/{price.per}")
        return " ".join(found)

    @staticmethod
    def _gtin(cell: str) -> str:
        if not cell:
            return ""
        try:
            return normalise(cell).padded
        except GtinError as problem:
            raise FigureError(str(problem).rstrip(".")) from problem


def breaks_of(kept: str) -> tuple[tuple[int, int, int], ...]:
    """Kept price breaks as (from packs, minor units, for so many packs)."""
    found = []
    for step in kept.split():
        packs, _, price = step.partition(":")
        minor, _, per = price.partition("/")
        found.append((int(packs), int(minor), int(per)))
    return tuple(found)
