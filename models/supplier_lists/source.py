"""A supplier's file, opened: its kind, its alphabet, what stands between its cells, and its lines one after another."""

from __future__ import annotations

import stat
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice
from pathlib import Path
from typing import NamedTuple

from models import outside
from models.errors import InvalidInputError
from models.supplier_lists import delimited, workbook
from models.supplier_lists.line import Line, Lines, gathered

SAMPLE = 200


class Source(NamedTuple):
    """A file that can be read again and again. `alphabet` and `delimiter` are empty for a workbook."""

    file: Path
    alphabet: str
    delimiter: str
    sheet: str | None
    size: int

    @property
    def is_workbook(self) -> bool:
        """Whether it is XLSX, whose numbers always have a point."""
        return not self.alphabet

    def lines(self) -> Iterator[Line]:
        """Every line that holds something, from the start."""
        return (line for line in self._lines() if len(line.cells) > 1 or any(line.cells) or line.broken)

    def _lines(self) -> Iterator[Line]:
        if self.is_workbook:
            return workbook.lines(self.file, self.sheet)
        return delimited.lines(self.file, self.alphabet, self.delimiter)

    def blocks(self, every: int) -> Iterator[Lines]:
        """The same, so many lines at once, and those that hold nothing."""
        if not self.is_workbook:
            yield from delimited.blocks(self.file, self.alphabet, self.delimiter, every)
            return
        lines = self._lines()
        while some := list(islice(lines, every)):
            yield gathered(some)

    @contextmanager
    def unchanged(self) -> Iterator[None]:
        """Raises `InvalidInputError` when the file was written to during the block: half may be the old one."""
        before = _state(self.file)
        yield
        if _state(self.file) != before:
            raise InvalidInputError(f"{self.file.name} was changed while it was read.", "Load it again.")

    def sample(self) -> list[Line]:
        """The first lines."""
        return list(islice(self.lines(), SAMPLE))


def _state(file: Path) -> tuple[int, int, int] | None:
    try:
        now = file.stat()
    except OSError:
        return None
    return now.st_ino, now.st_size, now.st_mtime_ns


def open_source(
    file: Path, *, alphabet: str | None = None, delimiter: str | None = None, sheet: str | None = None
) -> Source:
    """Open a CSV, TSV or XLSX file; what is not said is found out. Raises InvalidInputError when it can't be read."""
    found_file = outside.looked_at(file)
    if stat.S_ISFIFO(found_file.st_mode):
        raise InvalidInputError(f"{file.name} is a pipe.", "Save what it says as a file, and name that.")
    size = found_file.st_size
    try:
        with file.open("rb") as handle:
            start = handle.read(8)
    except OSError as fault:
        raise InvalidInputError(f"{file} can't be read.", "See that it is there and that you may read it.") from fault
    if not start:
        raise InvalidInputError(f"{file.name} is empty.", "Ask the supplier for the list again.")
    if start.startswith(b"PK\x03\x04"):
        workbook.sheets(file)
        return Source(file, "", "", sheet, size)
    if start.startswith(b"\xd0\xcf\x11\xe0"):
        raise InvalidInputError(f"{file.name} is an old or locked spreadsheet.", "Save it as XLSX or CSV.")
    if delimiter is not None and delimiter not in delimited.DELIMITERS:
        raise InvalidInputError(f"{delimiter!r} can't part cells.", "Use a comma, a semicolon, a tab or a bar.")
    outside.look_through(file)
    found = alphabet or delimited.encoding(file)
    try:
        return Source(file, found, delimiter or delimited.delimiter(file, found), None, size)
    except LookupError as fault:
        raise InvalidInputError(f"There is no alphabet {found!r}.", "Use utf-8 or cp1252.") from fault
