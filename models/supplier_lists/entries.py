"""One line of a list becomes an entry with exact figures, or is refused with the reason. Nothing is guessed here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, NamedTuple

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


Kept = tuple[Any, ...]
"""An entry as it is kept till it is written: its number, its line, and the rest of its fields, the unit as a word."""


def kept(entry: Entry, line: int) -> Kept:
    """An entry to keep."""
    return (entry.number, line, entry.name, entry.pack_quantity, entry.counted_in.value, *entry[4:])


def entry_of(row: Kept) -> Entry:
    """The entry again."""
    return Entry._make((row[0], *row[2:]))  # half the time of `Entry(…)`


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
        self._number = at[Field.NUMBER]
        self._name = at.get(Field.NAME)
        self._price = at.get(Field.PRICE)
        self._rare = {field: at[field] for field in _RARE if field in at}
        self._pack = (at.get(Field.PACK), at.get(Field.UNIT))
        self._steps = sorted(
            (column.from_packs or 0, column.at) for column in layout.columns if column.field is Field.PRICE_FROM
        )
        self._is_plain = not self._rare and not self._steps

    def read(self, line: Line) -> Entry | RefusedLine:
        """The entry, or why there is none."""
        number = ""
        try:
            if line.broken:
                raise FigureError(line.broken)
            number = cells.text(_cell(line.cells, self._number), cells.NUMBER, NUMBER_LENGTH)
            if not number:
                raise FigureError("there is no part number")
            return self._entry(number, line.cells)
        except FigureError as problem:
            return RefusedLine(line.number, str(problem), tuple(line.cells), number)

    def _entry(self, number: str, row: Sequence[str]) -> Entry:
        if self._is_plain:
            return self._plain(number, row)
        rare = {field: said for field, at in self._rare.items() if (said := _cell(row, at).strip())}
        currency, per = self._currency, 1
        if Field.CURRENCY in rare:
            currency = rare[Field.CURRENCY].upper()
            if len(currency) != 3 or not (currency.isascii() and currency.isalpha()):
                raise FigureError(f"{currency[:20]!r} is not a currency; write its three letters, like EUR")
        if Field.PRICE_PER in rare:
            what = "how many packs a price is for"
            per = figures.whole(rare[Field.PRICE_PER], what, least=1, most=100_000)
        price = figures.price(_cell(row, self._price).strip(), self._mark, currency, per)
        breaks = self._breaks(row, currency, per) if self._steps else ""
        if breaks and price is None:
            raise FigureError("there are price breaks but no price")
        quantity, unit = self._packed(row)
        least, lead, gtin = rare.get(Field.MIN_PACKS), rare.get(Field.LEAD_DAYS), rare.get(Field.GTIN)
        return Entry(
            number,
            cells.text(_cell(row, self._name), "name", NAME_LENGTH),
            quantity,
            unit,
            least_packs(least) if least else 1,
            None if price is None else price.minor,
            1 if price is None else price.per,
            currency,
            breaks,
            lead_days(lead) if lead else None,
            padded(gtin) if gtin else "",
        )

    def _plain(self, number: str, row: Sequence[str]) -> Entry:
        """The same where the list has no more than a name, a price and a pack: most have not, and a million rows do."""
        price = figures.price(_cell(row, self._price).strip(), self._mark, self._currency)
        quantity, unit = self._packed(row)
        minor, per = (None, 1) if price is None else price
        name = cells.text(_cell(row, self._name), "name", NAME_LENGTH)
        return Entry(number, name, quantity, unit, 1, minor, per, self._currency, "", None, "")

    def _packed(self, row: Sequence[str]) -> tuple[int, Unit]:
        pack, unit = _cell(row, self._pack[0]).strip(), _cell(row, self._pack[1]).strip()
        return figures.pack(pack, unit, self._mark) if pack or unit else (1, Unit.EACH)

    def _breaks(self, row: Sequence[str], currency: str, per: int) -> str:
        found = []
        for packs, at in self._steps[:MOST_STEPS]:
            price = figures.price(_cell(row, at).strip(), self._mark, currency, per)
            if price is not None:
                found.append(f"{packs}:{price.minor}/{price.per}")
        return " ".join(found)


_RARE: Final = (Field.CURRENCY, Field.PRICE_PER, Field.MIN_PACKS, Field.LEAD_DAYS, Field.GTIN)


def _cell(row: Sequence[str], at: int | None) -> str:
    return row[at] if at is not None and at < len(row) else ""


def least_packs(cell: str) -> int:
    """How many packs are the least that is sold. Raises FigureError."""
    return figures.whole(cell, "a least number of packs", least=1, most=1_000_000)


def lead_days(cell: str) -> int:
    """In how many days it comes. Raises FigureError."""
    return figures.whole(cell, "a number of days", least=0, most=LONGEST_LEAD)


def padded(cell: str) -> str:
    """A GTIN's digits, as many as the longest has. Raises FigureError."""
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
