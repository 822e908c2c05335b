"""XLSX: the rows of a sheet as text. Formulas are never run: the value the spreadsheet last saw is taken."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from datetime import date, datetime
from importlib import import_module
from pathlib import Path
from typing import Any, Final
from zipfile import BadZipFile, ZipFile, ZipInfo

from models.errors import InvalidInputError
from models.supplier_lists.figures import from_number
from models.supplier_lists.line import Line

MOST_BYTES: Final = 400_000_000
"""Of all parts unpacked: styles and shared strings are read whole."""
MOST_RATIO: Final = 200
"""How much larger a part of over a megabyte may be unpacked than packed: sheets of real lists come to 5 to 40."""
SMALL_PART: Final = 1_000_000
LONGEST_CELL: Final = 32_767
MOST_ROWS: Final = 1_048_576
WIDEST: Final = 16_384
"""A sheet and its cells have no more (the format's own limits, ECMA-376 and its common reading)."""
MOST_COLUMNS: Final = 200
"""Columns of a sheet that are looked at."""
_BLOCK: Final = 64 << 10
_LONGEST_RUN: Final = 4
"""Blocks without a single tag: a cell's text at six bytes a letter, and a block to spare."""


def _library() -> Any:
    try:
        return import_module("openpyxl")  # 0.2 s, needed only for this kind of file
    except ModuleNotFoundError as missing:
        raise InvalidInputError(
            "Reading XLSX files needs a library that is not installed.",
            "Install Kitwright with its lists extra, or save the list as CSV.",
        ) from missing


def _checked(file: Path) -> None:
    """Refuse what is no workbook, or one that would unpack to more than any list is."""
    try:
        with ZipFile(file) as packed:
            entries = packed.infolist()
            if sum(entry.file_size for entry in entries) > MOST_BYTES:
                raise _refused(file, f"is over {MOST_BYTES // 1_000_000} MB unpacked")
            for entry in entries:
                if entry.file_size > max(SMALL_PART, MOST_RATIO * entry.compress_size):
                    raise _refused(file, "unpacks to more than any list does")
            for entry in entries:
                if entry.file_size > SMALL_PART:
                    _look_through(file, packed, entry)
    except (BadZipFile, OSError, EOFError, NotImplementedError, RuntimeError, zlib.error) as fault:
        raise InvalidInputError(f"{file.name} is not an XLSX file.", "Save it as XLSX or CSV and try again.") from fault


def _refused(file: Path, why: str) -> InvalidInputError:
    return InvalidInputError(f"{file.name} {why}.", "Save the sheet as CSV: that may be as long as it likes.")


def _look_through(file: Path, packed: ZipFile, entry: ZipInfo) -> None:
    """Refuse a part whose text between two tags is longer than a cell's, before anything holds it whole."""
    if not entry.filename.endswith((".xml", ".rels")):
        return
    run = 0
    with packed.open(entry) as part:
        while block := part.read(_BLOCK):
            run = 0 if b"<" in block else run + 1
            if run > _LONGEST_RUN:
                raise _refused(file, f"has a cell of over {LONGEST_CELL} characters")


def sheets(file: Path) -> list[str]:
    """The names of the sheets, in order."""
    _checked(file)
    book = _open(file)
    try:
        return [str(name) for name in book.sheetnames]
    finally:
        book.close()


def _open(file: Path) -> Any:
    library = _library()
    try:
        return library.load_workbook(file, read_only=True, data_only=True, keep_links=False)
    except Exception as fault:  # the library raises whatever a damaged part makes it raise
        raise InvalidInputError(f"{file.name} is damaged.", "Save it again as XLSX or CSV.") from fault


def lines(file: Path, sheet: str | None) -> Iterator[Line]:
    """Every row that holds something. Whole numbers come without decimals, others with a point, days as 2026-03-02."""
    _checked(file)
    book = _open(file)
    try:
        if sheet is not None and sheet not in book.sheetnames:
            raise InvalidInputError(f"There is no sheet “{sheet}”.", f"There are: {', '.join(book.sheetnames)}.")
        page = book[sheet] if sheet is not None else book[book.sheetnames[0]]
        page.reset_dimensions()
        for number, values in enumerate(page.iter_rows(values_only=True), 1):
            if number > MOST_ROWS or len(values) > WIDEST:
                raise _refused(file, f"has more than {MOST_ROWS} rows or {WIDEST} columns")
            cells = [_text(value) for value in values[:MOST_COLUMNS]]
            if any(cells):
                if any(len(cell) > LONGEST_CELL for cell in cells):
                    raise _refused(file, f"has a cell of over {LONGEST_CELL} characters in row {number}")
                yield Line(number, cells, 0)
    except InvalidInputError:
        raise
    except Exception as fault:  # as above: a damaged sheet
        raise InvalidInputError(f"{file.name} is damaged.", "Save it again as XLSX or CSV.") from fault
    finally:
        book.close()


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return from_number(value) if value == value and abs(value) < 1e15 else str(value)
    if isinstance(value, datetime):
        return value.date().isoformat() if not (value.hour or value.minute or value.second) else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    return str(value)
