"""A shop's own table of ring sizes as CSV, read and written.

The first line names the columns: designation, ID, ID tolerance, cross-section, tolerance; `series` and `source` may be
added, so that one file holds several tables. Units and what parts the columns: `own_csv`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from catalog.orings.own_csv import LONGEST_SERIES as LONGEST_SERIES
from catalog.orings.own_csv import LONGEST_SOURCE as LONGEST_SOURCE
from catalog.orings.own_csv import Cells, Layout, figure, lines, refuse
from catalog.orings.own_csv import OwnTableError as OwnTableError
from catalog.orings.own_csv import delimiter_of as delimiter_of
from catalog.orings.own_table import LONGEST, OwnRow, OwnTable, full_name
from catalog.orings.size_rules import faults, folded

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
_SAID: Final = {
    "designation": "designation",
    "id": "ID",
    "id_tol": "ID tolerance",
    "width": "cross-section",
    "width_tol": "tolerance (of the cross-section)",
}
_FIGURES: Final = ("id", "id_tol", "width", "width_tol")
_LAYOUT: Final = Layout(
    "ring sizes",
    {
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
    },
    _SAID,
    frozenset(_FIGURES),
    COLUMNS,
)


def read_own_tables(text: str, *, series: str = "", source: str = "", unit: str = "") -> tuple[OwnTable, ...]:
    """The tables of a file, each held to the rules of `size_rules`.

    `series` and `source`: of rows without such a column; `unit`: `mm` or `in`, of columns that don't say. Raises
    `OwnTableError` with a sentence for every row that can't be right: then nothing of the file counts.
    """
    found, problems = lines(text, _LAYOUT, series=series, unit=unit)
    tables: dict[str, list[tuple[int, str, str, OwnRow]]] = {}
    for line, cells in found:
        try:
            name, cited, row = _row(cells, series, source)
        except ValueError as problem:
            problems.append((line, str(problem)))
        else:
            tables.setdefault(folded(name), []).append((line, name, cited, row))
    for of_one in tables.values():
        wrong = faults([row for _, _, _, row in of_one])
        problems += [(of_one[one.at][0], f"{of_one[one.at][3].designation}: {one.why}") for one in wrong]
    refuse(problems)
    return tuple(OwnTable(of_one[0][1], of_one[0][2], tuple(row for *_, row in of_one)) for of_one in tables.values())


def written(tables: Iterable[OwnTable]) -> list[tuple[str, ...]]:
    """The lines of a file with all the tables, the first line with the names of the columns."""
    return [
        COLUMNS,
        *(
            (table.title, table.source, row.designation, *map(figure, row[1:]))
            for table in tables
            for row in table.rows
        ),
    ]


def _row(cells: Cells, series: str, source: str) -> tuple[str, str, OwnRow]:
    """A row with its table's name and its source. Raises ValueError."""
    name = cells.text("designation")
    if not name:
        raise ValueError("the designation is empty. Type what the list calls the size.")
    table, cited = cells.table(series, source, name[:LONGEST])
    if len(full_name(table, name)) > LONGEST:
        raise ValueError(
            f"{name[:LONGEST]}: with its table's name this is longer than {LONGEST} characters. Shorten one."
        )
    return table, cited, OwnRow(name, *(cells.length(what, f"{name}, {_SAID[what]}") for what in _FIGURES))
