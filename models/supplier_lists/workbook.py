"""XLSX: the rows of a sheet as text. Formulas are never run: the value the spreadsheet last saw is taken."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from importlib import import_module
from pathlib import Path
from typing import Any, Final
from zipfile import BadZipFile, ZipFile

from models.errors import InvalidInputError
from models.supplier_lists.figures import from_number
from models.supplier_lists.line import Line

MOST_BYTES: Final = 4 << 30
MOST_STRINGS: Final = 512 << 20
MOST_COLUMNS: Final = 200


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
            sizes = {entry.filename: entry.file_size for entry in packed.infolist()}
    except (BadZipFile, OSError) as fault:
        raise InvalidInputError(f"{file.name} is not an XLSX file.", "Save it as XLSX or CSV and try again.") from fault
    if sum(sizes.values()) > MOST_BYTES or sizes.get("xl/sharedStrings.xml", 0) > MOST_STRINGS:
        raise InvalidInputError(f"{file.name} is too large to open.", "Save the sheet as CSV: that has no limit.")


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
            cells = [_text(value) for value in values[:MOST_COLUMNS]]
            if any(cells):
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
