"""What the CSV of a shop's own table has in common, whatever the table is of: its columns, its lines, its figures.

The first line names the columns. A column says its unit in its name (`id_mm`, `ID (in)`), or all of them are in the
unit that the caller names. Comma, semicolon or tab parts the columns; a decimal comma is read where a comma does not.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final, NamedTuple

from catalog.orings.sizes import MM_PER_INCH

MOST: Final = 5000
"""No such list has more rows than this: a file that says so is a mistake."""
LONGEST_SERIES: Final = 30
LONGEST_SOURCE: Final = 200
TABLE_COLUMNS: Final[Mapping[str, tuple[str, ...]]] = {"series": ("series", "table", "list"), "source": ("source",)}
"""The columns that say which table a row is of."""
_UNITS: Final = {"mm": "mm", "in": "in", "inch": "in", "inches": "in", "millimetres": "mm", "millimeters": "mm"}


class OwnTableError(ValueError):
    """A table cannot be taken. `problems`: one sentence each, with the line where it is one line's."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(self.problems))


class Layout(NamedTuple):
    """What a table's columns may be called. `what`: what it is a list of; `names`: of each column, in small letters.

    `must`: the columns without which no row can be read, as a sentence says them; `lengths`: those in mm or inches;
    `written`: the columns of a file that is written; `least`: those that most lists need, where that is not all of
    them.
    """

    what: str
    names: Mapping[str, tuple[str, ...]]
    must: Mapping[str, str]
    lengths: frozenset[str]
    written: tuple[str, ...]
    least: tuple[str, ...] = ()

    @property
    def example(self) -> str:
        """The first line of a file, as it may be typed."""
        return ",".join(self.least or (one for one in self.written if one not in TABLE_COLUMNS))


class Column(NamedTuple):
    """What a column holds, and its unit, "" where it does not say."""

    what: str
    unit: str


class Cells(NamedTuple):
    """A row as it stands in a file: text and unit by column. `comma`: a comma may stand for the decimal point."""

    said: Mapping[str, tuple[str, str]]
    comma: bool

    def text(self, what: str) -> str:
        """What stands in a column, "" where there is none such."""
        return " ".join(self.said.get(what, ("", ""))[0].split())

    def table(self, series: str, source: str, name: str) -> tuple[str, str]:
        """Which table the row `name` is of, and where that is from. Raises ValueError."""
        title = " ".join((self.text("series") or series).split())
        cited = " ".join((self.text("source") or source).split())
        if not title:
            raise ValueError(f"{name}: the series is empty. Type which list the row is of.")
        for what, text, most in (("series", title, LONGEST_SERIES), ("source", cited, LONGEST_SOURCE)):
            if len(text) > most:
                raise ValueError(f"the {what} has {len(text)} characters. Use at most {most}.")
        return title, cited

    def length(self, what: str, told: str, like: tuple[str, str] = ("3.53", "0.139")) -> float:
        """A length in mm, to a tenth of a micrometre. `told`: what it is; `like`: an example in mm and in inches.

        Raises ValueError.
        """
        unit = self.said.get(what, ("", ""))[1]
        return round(self.number(what, told, like[unit == "in"]) * (MM_PER_INCH if unit == "in" else 1.0), 4)

    def number(self, what: str, told: str, like: str) -> float:
        """A figure as it stands there. Raises ValueError."""
        text = self.said.get(what, ("", ""))[0]
        bare = re.sub(r"^[±+]?(?:/-)?\s*", "", text)
        if self.comma or "." not in bare:
            bare = bare.replace(",", ".")
        if not re.fullmatch(r"[0-9]{0,6}(?:\.[0-9]{1,8})?", bare) or not bare:
            shown = f"“{text[:24]}” is not a number" if text else "it is empty"
            raise ValueError(f"{told}: {shown}. Type one such as {like}.")
        return float(bare)


def delimiter_of(text: str) -> str:
    """What parts the columns, by the first line that is not empty."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return "\t" if "\t" in first else ";" if ";" in first else ","


def figure(value: float | None) -> str:
    """A figure as it is written, "" for none."""
    return "" if value is None else f"{value:.4f}".rstrip("0").rstrip(".")


def lines(
    text: str, layout: Layout, *, series: str, unit: str
) -> tuple[list[tuple[int, Cells]], list[tuple[int, str]]]:
    """The rows of a file, each with its line, and what was wrong with others. Raises `OwnTableError`."""
    delimiter = delimiter_of(text)
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=delimiter)
    columns: list[Column] | None = None
    rows: list[tuple[int, Cells]] = []
    problems: list[tuple[int, str]] = []
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            if columns is None:
                columns = _columns(cells, layout, series, unit)
                continue
            if len(rows) + len(problems) >= MOST:
                raise OwnTableError([f"The file has more than {MOST} rows. That is not a list of {layout.what}."])
            if len(cells) > len(columns):
                problems.append(
                    (
                        reader.line_num,
                        f"there are {len(cells)} columns, but the first line names {len(columns)}. "
                        "Put text with commas in quotes.",
                    )
                )
                continue
            said = {
                one.what: (cell.strip(), one.unit or unit)
                for one, cell in zip(columns, cells, strict=False)
                if one.what
            }
            rows.append((reader.line_num, Cells(said, delimiter != ",")))
    except csv.Error as error:
        raise OwnTableError(
            [f"Line {reader.line_num}: this is not CSV ({error}). Save the sheet as CSV and try again."]
        ) from None
    if columns is None:
        raise OwnTableError(
            ["The file is empty. Its first line must name the columns, as in " + ",".join(layout.written) + "."]
        )
    if not rows and not problems:
        raise OwnTableError(["The file has no row below its first line."])
    return rows, problems


def refuse(problems: Iterable[tuple[int, str]]) -> None:
    """Raise `OwnTableError` where there are any problems, in the order of their lines."""
    if found := sorted(problems, key=lambda one: one[0]):
        raise OwnTableError(f"Line {line}: {why}" for line, why in found)


def _columns(cells: Sequence[str], layout: Layout, series: str, unit: str) -> list[Column]:
    """What each column holds. Raises `OwnTableError`."""
    found = [_column(cell, layout) for cell in cells]
    wanted = [name for name in layout.must if name not in {one.what for one in found}]
    if wanted:
        names = " and ".join(layout.must[name] for name in wanted)
        raise OwnTableError([f"Line 1: no column is named {names}. Name the columns as in {layout.example}."])
    kept: list[Column] = []
    for one in found:
        # A list may give both units: the one that was asked for counts, or else the first.
        alike = [other for other in found if other.what == one.what and one.what]
        if len(alike) > 1 and len({other.unit for other in alike}) < len(alike):
            raise OwnTableError([f"Line 1: two columns are named {layout.must.get(one.what, one.what)}. Keep one."])
        best = next((other for other in alike if other.unit == unit), alike[0]) if alike else one
        kept.append(one if one is best else Column("", ""))
    if not unit and any(one.what in layout.lengths and not one.unit for one in kept):
        named = next(one for one in layout.written if one.endswith("_mm"))
        raise OwnTableError(
            [f"Line 1: no unit is said. Name the columns as in {named} or {named[:-3]}_in, or say mm or in."]
        )
    if not series and not any(one.what == "series" for one in kept):
        raise OwnTableError(["The table has no name. Give it one, such as the standard's."])
    return kept


def _column(cell: str, layout: Layout) -> Column:
    words = re.sub(r"[^a-z0-9]+", " ", cell.casefold().replace("±", " tol ").replace("+/-", " tol ")).split()
    unit = next((_UNITS[word] for word in reversed(words) if word in _UNITS), "")
    name = " ".join(word for word in words if word not in _UNITS)
    known = {**TABLE_COLUMNS, **layout.names}
    return Column(next((what for what, names in known.items() if name in names), ""), unit)
