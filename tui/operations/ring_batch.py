"""A box of unmarked rings: one row of a CSV file a ring, answered as it is read, in constant memory."""

from __future__ import annotations

import csv
import gc
import io
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from tui.answers.ring import BadRow, Batch
from tui.fields.field import Asked, FieldError
from tui.fields.rings import CONDITION, JOINT, MEASURED, TOOL, InSeries
from tui.fields.units import CHOICES, Units
from tui.fields.words import shown, unknown
from tui.operations.ring import asked_once

if TYPE_CHECKING:
    from tui.operations.operation import Bench, Values

LONGEST_LINE = 10_000
DELIMITERS = ";\t,"
_READINGS = [one.name for one in MEASURED]
_FIELDS = (*MEASURED, TOOL, CONDITION, JOINT, InSeries("series", "Series"))
"""What a row may hold, read as the options of one ring are."""
_COLUMNS = [*(one.name for one in _FIELDS), "unit"]


def box_of_rings(values: Values, bench: Bench) -> Batch:
    """Answer every row of the file; `values` holds what a row may leave out. A bad row is told, the rest go on.

    Raises `FieldError` where the file can't be read or its first line names no columns.
    """
    from tui.commands.output import talk

    gc.enable()
    found = none = bad = 0
    with _opened(values["batch"]) as stream:
        lines = _lines(stream)
        columns, delimiter = _header(lines)
        for number, line in lines:
            try:
                row, unit = _row(_cells(line, delimiter), columns, values, bench)
                answer = asked_once(row, unit, number)
            except FieldError as problem:
                bad += 1
                told = str(problem) if problem.option in ("", "-") else f"{problem.option}: {problem}"
                talk(f"line {number}: {told}")
                bench.tell(BadRow(number, told))
                continue
            bench.tell(answer)
            found += answer.found
            none += not answer.found
    return Batch(found + none, found, none, bad)


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
        raise FieldError(str(problem), "--batch") from problem
    except OSError as problem:
        why = problem.strerror or problem
        raise FieldError(f"{shown(path, 200)} cannot be read: {why}", "--batch") from problem


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
        raise FieldError(f"the line is longer than {LONGEST_LINE} characters", "-")
    try:
        return [cell.strip() for cell in next(csv.reader([line.rstrip("\r\n")], delimiter=delimiter, strict=True))]
    except csv.Error as problem:
        raise FieldError(f"the row cannot be taken apart ({problem}); look at its quotes", "-") from problem


def _header(lines: Iterator[tuple[int, str | None]]) -> tuple[list[str], str]:
    number, line = next(lines, (1, None))
    if line is None:
        raise FieldError("the file is empty; its first line must name the columns, as in id,width", "--batch")
    delimiter = max(DELIMITERS, key=line.count)
    columns = [cell.lower().lstrip("-").replace("-", "_").replace(" ", "_") for cell in _cells(line, delimiter)]
    columns = ["width" if column == "width_2" else column for column in columns]
    for column in columns:
        if column not in _COLUMNS:
            raise FieldError(f"line {number}: column {unknown(column, _COLUMNS)}", "--batch")
        if (often := columns.count(column)) > (2 if column == "width" else 1):
            raise FieldError(f"line {number}: the column {column} stands there {often} times", "--batch")
    if not set(columns) & set(_READINGS):
        raise FieldError(f"line {number}: no column holds a reading; name one of {', '.join(_READINGS)}", "--batch")
    return columns, delimiter


def _row(cells: list[str], columns: list[str], common: Values, bench: Bench) -> tuple[Values, str]:
    """What a row says, read by the fields of one ring, and the unit it is in; what it leaves out is as for all."""
    if len(cells) > len(columns):
        raise FieldError(
            f"{len(cells)} values for {len(columns)} columns; "
            "with decimal commas put ; between the columns or the values in quotes",
            "-",
        )
    words: dict[str, str] = {}
    for column, cell in zip(columns, cells, strict=False):
        if cell:
            words[column] = f"{words[column]}\n{cell}" if column in words else cell
    unit = words.get("unit", bench.units.length).lower()
    if unit not in CHOICES["length"]:
        raise FieldError(unknown(unit, CHOICES["length"]), "unit")
    values, asked = dict(common), Asked(Units(length=unit))
    for one in _FIELDS:
        if one.name in words:
            try:
                values[one.name] = one.from_words(words, asked)
            except FieldError as problem:
                raise FieldError(str(problem), problem.option or one.called) from problem
    return values, unit
