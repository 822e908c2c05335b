"""A box of unmarked rings: one row of a CSV file a ring, answered as it is read, in constant memory."""

from __future__ import annotations

import csv
import gc
import io
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TextIO

from catalog.orings.evidence import Dimension
from tui.commands.output import say, say_json, talk
from tui.commands.parsing import UNITS, UsageError, shown, unknown
from tui.commands.ring_answer import answer
from tui.commands.ring_input import Asked
from tui.commands.ring_json import error_object, ring_object
from tui.commands.ring_text import ring_line
from tui.exit_codes import ExitCode

LONGEST_LINE = 10_000
DELIMITERS = ";\t,"
_READINGS = [dimension.value for dimension in Dimension]
_COLUMNS = [*_READINGS, "tool", "condition", "series", "unit"]


def run_batch(path: str, common: Asked, *, as_json: bool) -> ExitCode:
    """Answer every row of the file; `common` holds what a row may leave out. A bad row is told, the rest go on.

    The exit code is that of the worst row: 2 a row could not be read, 1 a ring is no standard size, 0 all found.
    """
    gc.enable()
    with _opened(path) as stream:
        lines = _lines(stream)
        columns, delimiter = _header(lines)
        worst = ExitCode.FOUND
        for number, line in lines:
            try:
                asked = _asked(_cells(line, delimiter), columns, common)
                ranking = answer(asked)
            except UsageError as problem:
                worst = ExitCode.USAGE
                talk(f"line {number}: {problem}")
                if as_json:
                    say_json(error_object(number, str(problem)))
                continue
            if as_json:
                say_json(ring_object(ranking, line=number))
            else:
                say(f"line {number}: {ring_line(ranking, asked.unit)}")
            if not ranking.found:
                worst = max(worst, ExitCode.NOTHING)
        return worst


def _opened(path: str) -> TextIO:
    """The file as text; bytes that are no text become a sign that no reading holds, so the row is told as bad."""
    if path == "-":
        return io.TextIOWrapper(sys.stdin.buffer, encoding="utf-8-sig", errors="replace")
    from models.errors import InvalidInputError
    from models.outside import looked_at

    try:
        looked_at(Path(path))
        return Path(path).open(encoding="utf-8-sig", errors="replace")
    except InvalidInputError as problem:
        raise UsageError(f"--batch: {problem}") from problem
    except OSError as problem:
        raise UsageError(f"--batch: {shown(path, 200)} cannot be read: {problem.strerror or problem}") from problem


def _lines(stream: TextIO) -> Iterator[tuple[int, str | None]]:
    """Lines with their number from 1, blank ones left out; None for one too long to hold rings."""
    number = 0
    while line := stream.readline(LONGEST_LINE):
        number += 1
        if len(line) == LONGEST_LINE and not line.endswith("\n"):
            while (rest := stream.readline(LONGEST_LINE)) and not rest.endswith("\n"):
                pass
            yield number, None
        elif line.strip(" \t\r\n,;"):
            yield number, line


def _cells(line: str | None, delimiter: str) -> list[str]:
    """One row's cells. Each line is read by itself, so a quote left open spoils its own row and no other."""
    if line is None:
        raise UsageError(f"the line is longer than {LONGEST_LINE} characters")
    try:
        return [cell.strip() for cell in next(csv.reader([line.rstrip("\r\n")], delimiter=delimiter, strict=True))]
    except csv.Error as problem:
        raise UsageError(f"the row cannot be taken apart ({problem}); look at its quotes") from problem


def _header(lines: Iterator[tuple[int, str | None]]) -> tuple[list[str], str]:
    number, line = next(lines, (1, None))
    if line is None:
        raise UsageError("--batch: the file is empty; its first line must name the columns, as in id,width")
    delimiter = max(DELIMITERS, key=line.count)
    columns = [cell.lower().lstrip("-").replace("-", "_").replace(" ", "_") for cell in _cells(line, delimiter)]
    columns = ["width" if column == "width_2" else column for column in columns]
    for column in columns:
        if column not in _COLUMNS:
            raise UsageError(f"--batch: line {number}: column {unknown(column, _COLUMNS)}")
        if columns.count(column) > (2 if column == "width" else 1):
            raise UsageError(f"--batch: line {number}: the column {column} stands there {columns.count(column)} times")
    if not set(columns) & set(_READINGS):
        raise UsageError(f"--batch: line {number}: no column holds a reading; name one of {', '.join(_READINGS)}")
    return columns, delimiter


def _asked(cells: list[str], columns: list[str], common: Asked) -> Asked:
    if len(cells) > len(columns):
        raise UsageError(
            f"{len(cells)} values for {len(columns)} columns; "
            "with decimal commas put ; between the columns or the values in quotes"
        )
    filled = [(column, cell) for column, cell in zip(columns, cells, strict=False) if cell]
    words = dict(filled)
    unit = words.get("unit", common.unit).lower()
    if unit not in UNITS:
        raise UsageError(f"unit: {unknown(unit, UNITS)}")
    return Asked(
        readings={name: tuple(cell for column, cell in filled if column == name) for name in _READINGS},
        tools=(words["tool"],) if "tool" in words else common.tools,
        condition=words.get("condition", common.condition),
        series=(words["series"],) if "series" in words else common.series,
        unit=unit,
        limit=common.limit,
    )
