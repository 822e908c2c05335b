"""Many lines read at once, column by column: the same entries and refusals as one line after another gives.

Cells of a column are mostly alike: joined, they are plain text or plain prices, or said before. A line with any cell
that isn't settled so is read by itself, and so is every line of a list with price breaks or several currencies.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import Any, Final

from models.purchasing.money import decimals
from models.supplier_lists import cells, figures
from models.supplier_lists.entries import (
    NAME_LENGTH,
    NUMBER_LENGTH,
    EntryReader,
    Kept,
    RefusedLine,
    kept,
    lead_days,
    least_packs,
    padded,
)
from models.supplier_lists.figures import FigureError
from models.supplier_lists.layout import Layout
from models.supplier_lists.line import Lines
from models.supplier_lists.words import Field
from models.words import Unit

CELLS_KEPT: Final = 20_000
"""What was read of so many different cells of a column is kept."""
_ALONE: Final = object()
"""In place of what a cell says: its line is read by itself."""
_BETWEEN: Final = "\0"
_ANY_DIGIT: Final = str.maketrans("123456789", "000000000")
_ONE_BY_ONE: Final = (Field.PRICE_FROM, Field.CURRENCY, Field.PRICE_PER)
_MOST_DIGITS: Final = 12


class LinesReader:
    """Reads lines laid out in one way, for a supplier whose prices are in `currency` unless a column says otherwise."""

    def __init__(self, layout: Layout, currency: str) -> None:
        self._one = EntryReader(layout, currency)
        self._header_line = layout.header_line
        self._currency = currency
        self._mark = mark = layout.mark
        self._at = {column.field: column.at for column in layout.columns}
        self._in_columns = self._at.keys().isdisjoint(_ONE_BY_ONE)
        self._needs = max(self._at.values()) + 1
        places = decimals(currency)
        part = mark + "0" * places if places else ""
        self._plain_prices = frozenset("0" * whole + part for whole in range(1, _MOST_DIGITS + 1))
        self._prices = _Said(lambda cell: figures.price(cell, mark, currency) or (None, 1))
        self._packs = _Said(lambda cell: _packed(cell, "", mark))
        self._packs_in = _Said(lambda both: _packed(*_halves(both), mark))
        self._least = _Said(lambda cell: least_packs(cell) if cell else 1)
        self._lead = _Said(lambda cell: lead_days(cell) if cell else None)

    def read(self, lines: Lines) -> tuple[list[Kept], list[RefusedLine]]:
        """Every line that holds something and stands after the header, as an entry to keep or as a refusal."""
        first = next((at for at, number in enumerate(lines.numbers) if number > self._header_line), len(lines.numbers))
        numbers, rows = lines.numbers[first:], lines.cells[first:]
        made: list[Kept] = []
        alone: Collection[int] = range(len(rows))
        if self._in_columns and rows:
            made, alone = self._entries(numbers, rows)
        if not alone:
            return made, []
        entries: list[Kept] = []
        refused: list[RefusedLine] = []
        for at in range(len(rows)):
            if at not in alone:
                entries.append(made[at])
                continue
            line = lines.line(first + at)
            if any(line.cells) or line.broken:
                found = self._one.read(line)
                if isinstance(found, RefusedLine):
                    refused.append(found)
                else:
                    entries.append(kept(found, line.number))
        return entries, refused

    def _entries(self, numbers: Sequence[int], rows: Sequence[Sequence[str]]) -> tuple[list[Kept], set[int]]:
        """An entry for each line, and which of them are none: those lines are read by themselves."""
        alone: set[int] = set()
        if min(map(len, rows)) < self._needs:
            alone.update(at for at, row in enumerate(rows) if len(row) < self._needs)
            nothing = [""] * self._needs
            rows = [nothing if at in alone else row for at, row in enumerate(rows)]
        count, columns = len(rows), list(zip(*rows, strict=False))

        def column(field: Field) -> Sequence[str] | None:
            return columns[self._at[field]] if field in self._at else None

        found: list[list[Any]] = [
            _texts(column(Field.NUMBER) or (), cells.NUMBER, NUMBER_LENGTH),
            list(numbers),
            _texts(column(Field.NAME) or [""] * count, "name", NAME_LENGTH),
            *self._packed(column(Field.PACK), column(Field.UNIT), count),
            self._least.each(column(Field.MIN_PACKS), count),
            *self._priced(column(Field.PRICE), count),
            [self._currency] * count,
            [""] * count,
            self._lead.each(column(Field.LEAD_DAYS), count),
            _gtins(column(Field.GTIN), count),
        ]
        if "" in found[0]:
            alone.update(at for at, number in enumerate(found[0]) if not number)
        for one in found:
            if _ALONE in one:
                alone.update(at for at, said in enumerate(one) if said is _ALONE)
        return list(zip(*found, strict=True)), alone

    def _priced(self, column: Sequence[str] | None, count: int) -> tuple[list[Any], list[Any]]:
        """Minor units, and for how many packs."""
        if column is None:
            return [None] * count, [1] * count
        joined = _BETWEEN.join(column)
        shapes = joined.translate(_ANY_DIGIT).split(_BETWEEN)
        if len(shapes) == count and self._plain_prices.issuperset(shapes):
            return list(map(int, joined.replace(self._mark, "").split(_BETWEEN))), [1] * count
        return _parted(self._prices.each(column, count))

    def _packed(
        self, packs: Sequence[str] | None, units: Sequence[str] | None, count: int
    ) -> tuple[list[Any], list[Any]]:
        """How much a pack holds, and in what that is counted."""
        if units is None:
            return _parted(self._packs.each(packs, count))
        both = [
            f"{pack.strip()}{_BETWEEN}{unit.strip()}" for pack, unit in zip(packs or [""] * count, units, strict=True)
        ]
        if any(one.count(_BETWEEN) > 1 for one in both):
            return [_ALONE] * count, [_ALONE] * count
        return _parted(self._packs_in.each(both, count))


class _Said(dict[str, Any]):
    """What the cells of one column say, each looked at once while it is remembered."""

    def __init__(self, says: Callable[[str], Any]) -> None:
        super().__init__()
        self._says = says

    def __missing__(self, cell: str) -> Any:
        try:
            found = self._says(cell.strip())
        except FigureError:
            found = _ALONE
        if len(self) >= CELLS_KEPT:
            self.clear()
        self[cell] = found
        return found

    def each(self, column: Sequence[str] | None, count: int) -> list[Any]:
        """For each cell what it says; where there is no column, what an empty cell says."""
        return [self[""]] * count if column is None else [self[cell] for cell in column]


def _parted(pairs: Sequence[Any]) -> tuple[list[Any], list[Any]]:
    if _ALONE in pairs:
        pairs = [(_ALONE, _ALONE) if pair is _ALONE else pair for pair in pairs]
    return [one for one, _ in pairs], [other for _, other in pairs]


def _halves(both: str) -> tuple[str, str]:
    pack, _, unit = both.partition(_BETWEEN)
    return pack, unit


def _packed(pack: str, unit: str, mark: str) -> tuple[int, str]:
    quantity, counted_in = figures.pack(pack, unit, mark) if pack or unit else (1, Unit.EACH)
    return quantity, counted_in.value


def _gtins(column: Sequence[str] | None, count: int) -> list[Any]:
    return [""] * count if column is None else [_gtin(cell.strip()) for cell in column]


def _gtin(cell: str) -> Any:
    try:
        return padded(cell) if cell else ""
    except FigureError:
        return _ALONE


def _texts(column: Sequence[str], what: str, longest: int) -> list[Any]:
    """`cells.text` of each."""
    joined = "".join(column)
    if not (joined.isascii() and joined.isprintable()):
        return [_text(cell, what, longest) for cell in column]
    found = list(map(str.strip, column))
    if "'" in joined:
        found = [cells.plain(cell) if cell[:1] == "'" else cell for cell in found]
    if max(map(len, found)) > longest:
        return [cell if len(cell) <= longest else _ALONE for cell in found]
    return found


def _text(cell: str, what: str, longest: int) -> Any:
    try:
        return cells.text(cell, what, longest)
    except FigureError:
        return _ALONE
