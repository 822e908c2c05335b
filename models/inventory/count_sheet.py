"""The sheet of a count round as CSV: printed with what is on record, filled in on the walk, taken back and compared.

RFC 4180, UTF-8, one stock row a line, header as in `COLUMNS`: `row` is the stock's number; `unit` is `each` or `L`, in
which `on_record` and `counted` are; `counted` is left empty where nobody looked. A cell that a spreadsheet could run as
a formula has an apostrophe before it (see `csv_cells`). Semicolons or tabs between the cells are read as well.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Final, NamedTuple

from sqlmodel import Session

import catalog
from models import shelf
from models.acts import Act
from models.csv_cells import neutral, plain
from models.errors import InvalidInputError, NotFoundError
from models.inventory import count_round
from models.inventory.count_round import BinStop, Gap
from models.stock_rows import StockRow
from models.text import fold
from models.volume import MICROLITRES_PER_LITRE, in_words
from models.words import Unit

COLUMNS: Final = ("row", "bin", "item", "lot", "use_by", "unit", "on_record", "counted")
_NEEDED: Final = ("row", "bin", "item", "on_record", "counted")
MOST_CHARACTERS: Final = 20_000_000
_LARGEST_ID: Final = 2**31 - 1
_LITRE: Final = "L"
_PLAIN: Final = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{0,9})?", re.ASCII)
_THOUSANDS: Final = re.compile(r"[0-9]{1,3},[0-9]{3}", re.ASCII)


class FilledRow(NamedTuple):
    """One line of a sheet that came back, in text as it was typed; `counted` is "" where nobody looked."""

    line: int
    stock_id: int
    bin_code: str
    item_name: str
    on_record: str
    counted: str


class Filled(NamedTuple):
    """A sheet that came back: what could be read, and (line, sentence) for each line that could not."""

    rows: tuple[FilledRow, ...]
    refused: tuple[tuple[int, str], ...]


class Outcome(NamedTuple):
    """What booking a sheet would do. `counts`: by stock id, what to book; `gaps`: where that differs from the record.

    `moved`: stock that moved since the sheet was printed, in words: it must be counted again. `refused`: lines that
    can't be booked as they are. `blank`: lines nobody filled in.
    """

    counts: dict[int, int]
    gaps: tuple[Gap, ...]
    moved: tuple[tuple[int, str], ...]
    refused: tuple[tuple[int, str], ...]
    blank: int


def to_csv(stops: Iterable[BinStop]) -> str:
    """The sheet, bins in walking order."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for stop in stops:
        for row in stop.rows:
            use_by = "" if row.expires_on is None else row.expires_on.isoformat()
            cells = (row.bin_code, row.item_name, row.lot_code)
            unit = _LITRE if row.counted_in is Unit.MICROLITRE else "each"
            writer.writerow(
                [row.stock_id, *map(neutral, cells), use_by, unit, written(row.on_hand, row.counted_in), ""]
            )
    return text.getvalue()


def written(quantity: int, unit: Unit) -> str:
    """A quantity exactly, in pieces or litres: 18,927,060 µl as "18.92706"."""
    if unit is Unit.EACH:
        return str(quantity)
    return f"{(Decimal(quantity) / MICROLITRES_PER_LITRE).normalize():f}"


def from_csv(text: str) -> Filled:
    """Read a sheet back. Raises `InvalidInputError` where it is no such sheet at all."""
    if len(text) > MOST_CHARACTERS:
        raise InvalidInputError(f"The sheet has {len(text)} characters.", f"Split it below {MOST_CHARACTERS}.")
    text = text.removeprefix("\ufeff")
    first = text.partition("\n")[0]
    delimiter = max(",;\t", key=first.count)
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[FilledRow] = []
    refused: list[tuple[int, str]] = []
    try:
        missing = [name for name in _NEEDED if name not in (reader.fieldnames or ())]
        if missing:
            raise InvalidInputError(
                f"The sheet has no column {', '.join(missing)}.", f"Its first line must name them: {','.join(COLUMNS)}."
            )
        for cells in reader:
            said = {name: plain(cell or "").strip() for name, cell in cells.items() if isinstance(name, str)}
            if not any(said.values()):
                continue
            number = said["row"]
            if not (number.isascii() and number.isdigit() and len(number) <= 18):
                refused.append((reader.line_num, "the number in the column row was changed; leave it as printed"))
                continue
            rows.append(
                FilledRow(reader.line_num, int(number), said["bin"], said["item"], said["on_record"], said["counted"])
            )
    except csv.Error as fault:
        raise InvalidInputError(f"Line {reader.line_num} is not CSV: {fault}.", "Save the sheet again.") from fault
    return Filled(tuple(rows), tuple(refused))


def book(session: Session, act: Act, filled: Filled, *, reason: str) -> Outcome:
    """Compare a sheet and book what it counts, unless a line is refused: then nothing. What moved is not booked."""
    # Held before they are compared, so that nothing moves in between.
    rows = shelf.rows_by_id(session, _counted(filled), hold=True)
    found = _compare(rows, filled)
    if not found.refused and found.counts:
        count_round.enter(session, act, found.counts, reason=reason)
    return found


def compare(session: Session, filled: Filled) -> Outcome:
    """A sheet against what is on record now. Nothing is written."""
    return _compare(shelf.rows_by_id(session, _counted(filled)), filled)


def _counted(filled: Filled) -> set[int]:
    return {one.stock_id for one in filled.rows if one.counted and one.stock_id <= _LARGEST_ID}


def _compare(rows: Mapping[int, StockRow], filled: Filled) -> Outcome:
    counts: dict[int, int] = {}
    gaps: list[Gap] = []
    moved: list[tuple[int, str]] = []
    refused = list(filled.refused)
    blank = 0
    for one in filled.rows:
        if not one.counted:
            blank += 1
            continue
        try:
            row = _same(rows, one)
            counted = _quantity(one.counted, row.counted_in, "counted")
            if row.stock_id in counts:
                raise InvalidInputError("The row stands there twice.", "Leave one of them.")
            if _quantity(one.on_record, row.counted_in, "on_record") != row.on_hand:
                now = in_words(row.on_hand, row.counted_in)
                moved.append((one.line, f"{_called(row)}: moved since the sheet was printed, now {now} on record"))
                continue
            if counted < row.promised:
                raise InvalidInputError(
                    f"{_called(row)}: {in_words(counted, row.counted_in)} counted, but "
                    f"{in_words(row.promised, row.counted_in)} are promised to kits.",
                    "Release a promise first.",
                )
        except (InvalidInputError, NotFoundError) as fault:
            refused.append((one.line, str(fault)))
            continue
        counts[row.stock_id] = counted
        if counted != row.on_hand:
            gaps.append(Gap(row, counted, counted - row.on_hand))
    return Outcome(counts, tuple(gaps), tuple(moved), tuple(sorted(refused)), blank)


def _same(rows: Mapping[int, StockRow], one: FilledRow) -> StockRow:
    row = rows.get(one.stock_id)
    if row is None:
        raise NotFoundError(f"There is no stock {one.stock_id}.", "Leave the column row as printed.")
    if (fold(row.bin_code), fold(row.item_name)) != (fold(one.bin_code), fold(one.item_name)):
        raise InvalidInputError(
            f"Row {one.stock_id} is {_called(row)}, not “{one.item_name[:60]}” in bin {one.bin_code[:60]}.",
            "Leave the columns row, bin and item as printed.",
        )
    return row


def _called(row: StockRow) -> str:
    return f"{row.item_name} in bin {row.bin_code}"


def _quantity(text: str, unit: Unit, column: str) -> int:
    """A number as it may come back from a spreadsheet; litres may have a unit of their own."""
    if unit is Unit.EACH:
        whole = text.removesuffix(".0").removesuffix(",0")
        if whole.isascii() and whole.isdigit() and len(whole) <= 9:
            return int(whole)
        raise InvalidInputError(f"{column}: “{text[:40]}” is not a whole number of pieces.", "Type it, as 12.")
    if column == "counted" and _THOUSANDS.fullmatch(text):
        raise InvalidInputError(
            f"{column}: “{text}” may be {text.replace(',', '.')} or {text.replace(',', '')}.", "Type it with a point."
        )
    if _PLAIN.fullmatch(text):
        found = round(Decimal(text.replace(",", ".")) * MICROLITRES_PER_LITRE)
    else:
        found = _with_unit(text, column)
    if not 0 <= found <= shelf.MOST:
        raise InvalidInputError(f"{column}: “{text[:40]}” can't be in a bin.", "Type litres from 0 up.")
    return found


def _with_unit(text: str, column: str) -> int:
    try:
        return round(catalog.quantity.parse(text, kind=catalog.quantity.Kind.VOLUME, bare_unit=_LITRE).to("µL"))
    except catalog.quantity.QuantityError as fault:
        raise InvalidInputError(f"{column}: {fault}") from fault
