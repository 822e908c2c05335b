"""A shop's own table of ring sizes as CSV, read and written.

The first line names the columns: designation, ID, ID tolerance, cross-section, tolerance; `series` and `source` may be
added, so that one file holds several tables. A column says its unit in its name (`id_mm`, `ID (in)`), or all of them
are in the unit that the caller names. Comma, semicolon or tab parts the columns; a decimal comma is read where a comma
does not.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from catalog.orings.own_table import LONGEST, OwnRow, OwnTable, full_name
from catalog.orings.size_rules import faults, folded
from catalog.orings.sizes import MM_PER_INCH

COLUMNS: Final = (
    "series",
    "source",
    "designation",
    "id_mm",
    "id_tol_mm",
    "cross_section_mm",
    "cross_section_tol_mm",
)
"""The columns of a file that is written."""
MOST: Final = 5000
"""No list of ring sizes has more rows than this: a file that says so is a mistake."""
LONGEST_SERIES: Final = 30
LONGEST_SOURCE: Final = 200
_FIGURES: Final = ("id", "id_tol", "width", "width_tol")
_NAMES: Final = {
    "series": ("series", "table", "list"),
    "source": ("source",),
    "designation": ("designation", "size", "name", "number", "no", "code", "dash", "dash number"),
    "id": ("id", "inside diameter", "inner diameter", "d1"),
    "id_tol": ("id tolerance", "id tol", "tolerance id", "d1 tolerance", "d1 tol", "inside diameter tolerance"),
    "width": ("cross section", "section", "width", "cs", "thickness", "d2"),
    "width_tol": (
        "tolerance",
        "tol",
        *(
            f"{one} {word}"
            for one in ("cross section", "section", "width", "cs", "d2")
            for word in ("tolerance", "tol")
        ),
    ),
}
_SAID: Final = {
    "designation": "designation",
    "id": "ID",
    "id_tol": "ID tolerance",
    "width": "cross-section",
    "width_tol": "tolerance (of the cross-section)",
}
_UNITS: Final = {"mm": "mm", "in": "in", "inch": "in", "inches": "in", "millimetres": "mm", "millimeters": "mm"}


class OwnTableError(ValueError):
    """A table cannot be taken. `problems`: one sentence each, with the line where it is one line's."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


class _Column(NamedTuple):
    """What a column holds, and its unit, "" where it does not say."""

    what: str
    unit: str


def read_own_tables(text: str, *, series: str = "", source: str = "", unit: str = "") -> tuple[OwnTable, ...]:
    """The tables of a file, each held to the rules of `size_rules`.

    `series` and `source`: of rows without such a column; `unit`: `mm` or `in`, of columns that don't say. Raises
    `OwnTableError` with a sentence for every row that can't be right: then nothing of the file counts.
    """
    rows, problems = _rows(text.removeprefix("\ufeff"), series, source, unit)
    tables: dict[str, list[tuple[int, str, str, OwnRow]]] = {}
    for line, name, cited, row in rows:
        tables.setdefault(folded(name), []).append((line, name, cited, row))
    for of_one in tables.values():
        found = faults([row for _, _, _, row in of_one])
        problems += [(of_one[one.at][0], f"{of_one[one.at][3].designation}: {one.why}") for one in found]
    if problems:
        problems.sort(key=lambda one: one[0])
        raise OwnTableError(f"Line {line}: {why}" for line, why in problems)
    return tuple(OwnTable(of_one[0][1], of_one[0][2], tuple(row for *_, row in of_one)) for of_one in tables.values())


def delimiter_of(text: str) -> str:
    """What parts the columns, by the first line that is not empty."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return "\t" if "\t" in first else ";" if ";" in first else ","


def written(tables: Iterable[OwnTable]) -> list[tuple[str, ...]]:
    """The lines of a file with all the tables, the first line with the names of the columns."""
    return [
        COLUMNS,
        *(
            (
                table.title,
                table.source,
                row.designation,
                *(f"{figure:.4f}".rstrip("0").rstrip(".") for figure in row[1:]),
            )
            for table in tables
            for row in table.rows
        ),
    ]


def _rows(
    text: str, series: str, source: str, unit: str
) -> tuple[list[tuple[int, str, str, OwnRow]], list[tuple[int, str]]]:
    """The rows with line, table and source; and what was wrong with others. Raises `OwnTableError`."""
    delimiter = delimiter_of(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    columns: list[_Column] | None = None
    rows: list[tuple[int, str, str, OwnRow]] = []
    problems: list[tuple[int, str]] = []
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if columns is None:
                columns = _columns(cells, series, unit)
                continue
            if len(rows) + len(problems) >= MOST:
                raise OwnTableError([f"The file has more than {MOST} rows. That is no list of ring sizes."])
            try:
                rows.append((reader.line_num, *_row(cells, columns, series, source, unit, comma=delimiter != ",")))
            except ValueError as problem:
                problems.append((reader.line_num, str(problem)))
    except csv.Error as error:
        raise OwnTableError(
            [f"Line {reader.line_num}: this is not CSV ({error}). Save the sheet as CSV and try again."]
        ) from None
    if columns is None:
        raise OwnTableError(
            ["The file is empty. Its first line must name the columns, as in " + ",".join(COLUMNS) + "."]
        )
    if not rows and not problems:
        raise OwnTableError(["The file has no row below its first line."])
    return rows, problems


def _columns(cells: Sequence[str], series: str, unit: str) -> list[_Column]:
    """What each column holds. Raises `OwnTableError`."""
    found = [_column(cell) for cell in cells]
    wanted = [name for name in _SAID if name not in {one.what for one in found}]
    if wanted:
        names = " and ".join(_SAID[name] for name in wanted)
        raise OwnTableError([f"Line 1: no column is named {names}. Name the columns as in {','.join(COLUMNS[2:])}."])
    kept: list[_Column] = []
    for one in found:
        # A list may give both units: the one that was asked for counts, or else the first.
        alike = [other for other in found if other.what == one.what and one.what]
        if len(alike) > 1 and len({other.unit for other in alike}) < len(alike):
            raise OwnTableError([f"Line 1: two columns are named {_SAID.get(one.what, one.what)}. Keep one."])
        best = next((other for other in alike if other.unit == unit), alike[0]) if alike else one
        kept.append(one if one is best else _Column("", ""))
    if not unit and any(one.what in _FIGURES and not one.unit for one in kept):
        raise OwnTableError(["Line 1: no unit is said. Name the columns as in id_mm or id_in, or say mm or in."])
    if not series and not any(one.what == "series" for one in kept):
        raise OwnTableError(["The table has no name. Give it one, such as the standard's."])
    return kept


def _column(cell: str) -> _Column:
    words = re.sub(r"[^a-z0-9]+", " ", cell.casefold().replace("±", " tol ").replace("+/-", " tol ")).split()
    unit = next((_UNITS[word] for word in reversed(words) if word in _UNITS), "")
    name = " ".join(word for word in words if word not in _UNITS)
    what = next((what for what, names in _NAMES.items() if name in names), "")
    return _Column(what, unit)


def _row(
    cells: Sequence[str], columns: Sequence[_Column], series: str, source: str, unit: str, *, comma: bool
) -> tuple[str, str, OwnRow]:
    """A row with its table's name and its source. Raises ValueError."""
    if len(cells) > len(columns):
        raise ValueError(
            f"there are {len(cells)} columns, but the first line names {len(columns)}. Put text with commas in quotes."
        )
    said = {one.what: (cell.strip(), one.unit or unit) for one, cell in zip(columns, cells, strict=False) if one.what}
    name = " ".join(said.get("designation", ("", ""))[0].split())
    table = " ".join((said.get("series", ("", ""))[0] or series).split())
    cited = " ".join((said.get("source", ("", ""))[0] or source).split())
    if not name:
        raise ValueError("the designation is empty. Type what the list calls the size.")
    if not table:
        raise ValueError(f"{name[:LONGEST]}: the series is empty. Type which list the row is of.")
    for what, text, most in (("series", table, LONGEST_SERIES), ("source", cited, LONGEST_SOURCE)):
        if len(text) > most:
            raise ValueError(f"the {what} has {len(text)} characters. Use at most {most}.")
    if len(full_name(table, name)) > LONGEST:
        raise ValueError(
            f"{name[:LONGEST]}: with its table's name this is longer than {LONGEST} characters. Shorten one."
        )
    figures = [_figure(name, what, *said.get(what, ("", "")), comma=comma) for what in _FIGURES]
    return table, cited, OwnRow(name, *figures)


def _figure(name: str, what: str, text: str, unit: str, *, comma: bool) -> float:
    """A figure in mm, to a tenth of a micrometre. Raises ValueError."""
    bare = re.sub(r"^[±+]?(?:/-)?\s*", "", text)
    if comma or "." not in bare:
        bare = bare.replace(",", ".")
    if not re.fullmatch(r"[0-9]{0,6}(?:\.[0-9]{1,8})?", bare) or not bare:
        shown = f"“{text[:24]}” is no number" if text else "it is empty"
        raise ValueError(f"{name}, {_SAID[what]}: {shown}. Type one such as {'0.139' if unit == 'in' else '3.53'}.")
    return round(float(bare) * (MM_PER_INCH if unit == "in" else 1.0), 4)
