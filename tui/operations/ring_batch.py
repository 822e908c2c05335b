"""A box of unmarked rings: one row of a CSV file a ring, answered as it is read, in constant memory."""

from __future__ import annotations

import csv
import gc
import io
import sys
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, TextIO

import models
from catalog import orings
from tui import commands
from tui.answers.ring import BadRow, Batch, BatchRow, CsvHead, OfSeries, called
from tui.fields.field import Asked, FieldError
from tui.fields.rings import CONDITION, JOINT, MEASURED, TOOL, InSeries
from tui.fields.units import CHOICES, Units
from tui.fields.words import did_you_mean, shown, unknown
from tui.operations.asked_ring import asked_once, good_rings, ranked
from tui.operations.own_book import own_book

if TYPE_CHECKING:
    from catalog.orings.prior import Prior
    from tui.operations.asked_ring import Shelf
    from tui.operations.operation import Bench, Values

LONGEST_LINE = 10_000
DELIMITERS = ";\t,"
_READINGS = [one.name for one in MEASURED]
_FIELDS = (*MEASURED, TOOL, CONDITION, JOINT, InSeries("series", "Series"))
"""What a row may hold, read as the options of one ring are."""
_COLUMNS = [*(one.name for one in _FIELDS), "unit"]


MOST_OF_ONE_MACHINE = 10_000
"""So many rings of one machine are held together; a box that is answered row by row has no end."""


class _Ring(NamedTuple):
    """A row that was read."""

    line: int
    values: Values
    unit: str
    own: dict[str, str]


def box_of_rings(values: Values, bench: Bench) -> Batch:
    """Answer every row of the file; `values` holds what a row may leave out. A bad row is told, the rest go on.

    Raises `FieldError` where the file can't be read or its first line names no columns.
    """
    gc.enable()
    with _opened(values["batch"]) as stream:
        return _answered(stream, values, bench, _Tally(bench))


def list_of_rings(values: Values, bench: Bench) -> Batch:
    """The same for a screen, which says itself what is wrong with a row: of the file, or of the rows that were pasted.

    Raises `FieldError` as `box_of_rings` does.
    """
    if not (values["batch"] or values["pasted"]):
        raise FieldError("Paste the rows, or type the name of a CSV file.", "-")
    with io.StringIO(values["pasted"]) if values["pasted"] else _opened(values["batch"]) as stream:
        return _answered(stream, values, bench, _Tally(bench, talks=False))


def _answered(stream: TextIO, values: Values, bench: Bench, tally: _Tally) -> Batch:
    seen = _shelf(bench)
    with stream:
        lines = _lines(stream)
        columns, delimiter = _header(lines)
        if values["csv"]:
            own = tuple(column for column in columns if column not in _COLUMNS)
            tally.as_csv, tally.own = True, len(own)
            bench.tell(CsvHead(own))
        rings = _rings(lines, columns, delimiter, values, bench, tally)
        if values["one_machine"]:
            return _of_one_machine(list(islice(rings, MOST_OF_ONE_MACHINE + 1)), values, bench, seen, tally)
        for ring in rings:
            tally.answer(ring, seen, values)
    return tally.batch()


class _Tally:
    """Answers rings, counts them, and tells of rows that can't be answered."""

    def __init__(self, bench: Bench, *, talks: bool = True) -> None:
        self.bench = bench
        self.talks = talks  # whether standard error says too what is wrong with a row
        self.sizes = own_book(bench)  # read once for all its rings
        self.found = self.none = self.bad = 0
        self.as_csv, self.own = False, 0

    def answer(
        self, ring: _Ring, seen: Shelf, values: Values, *, prior: Prior | None = None, alone: str | None = None
    ) -> None:
        """Tell one ring's answer."""
        row = BatchRow(ring.line, ring.own, alone, values["csv"])
        try:
            answer = asked_once(ring.values, self.bench, seen, unit=ring.unit, row=row, prior=prior, own=self.sizes)
        except FieldError as problem:
            self.refuse(ring.line, problem)
            return
        self.bench.tell(answer)
        self.found += answer.found
        self.none += not answer.found

    def refuse(self, line: int, problem: FieldError) -> None:
        """Tell what is wrong with a row."""
        self.bad += 1
        told = str(problem) if problem.option in ("", "-") else f"{problem.option}: {problem}"
        if self.talks:
            commands.output.talk(f"line {line}: {told}")
        self.bench.tell(BadRow(line, told, self.as_csv, self.own))

    def batch(self, one_machine: tuple[OfSeries, ...] = (), *, quiet: bool = True) -> Batch:
        """How it ended."""
        return Batch(self.found + self.none, self.found, self.none, self.bad, one_machine, quiet)


def _rings(
    lines: Iterator[tuple[int, str | None]],
    columns: list[str],
    delimiter: str,
    values: Values,
    bench: Bench,
    tally: _Tally,
) -> Iterator[_Ring]:
    """The rows that can be read; the others are told."""
    for number, line in lines:
        try:
            yield _Ring(number, *_row(_cells(line, delimiter), columns, values, bench))
        except FieldError as problem:
            tally.refuse(number, problem)


def _of_one_machine(rings: list[_Ring], values: Values, bench: Bench, seen: Shelf, tally: _Tally) -> Batch:
    """Answer the rings of one machine, each by what the others say of the standards used there."""
    if len(rings) > MOST_OF_ONE_MACHINE:
        raise FieldError(f"a machine has fewer rings than {MOST_OF_ONE_MACHINE}; leave out --one-machine", "--batch")
    told: list[tuple[_Ring, str, dict[orings.sizes.Series, float]]] = []
    whole = dict.fromkeys(orings.sizes.Series, 0.0)
    for ring in rings:
        try:
            ranking = ranked(ring.values, own=tally.sizes)
        except FieldError as problem:
            tally.refuse(ring.line, problem)
            continue
        own = dict.fromkeys(orings.sizes.Series, 0.0)
        for size in ranking.posterior.near if ranking.conflict is None else ():
            own[size.series] += ranking.posterior.chances.get(size.key, 0.0)
        for series, share in own.items():
            whole[series] += share
        told.append((ring, called(ranking), own))
    for ring, alone, own in told:
        others = {series: max(count - own[series], 0.0) for series, count in whole.items()}
        prior = orings.prior.prior_for(orings.prior.Built.ANYWHERE, on_machine=others)
        tally.answer(ring, seen, values, prior=prior, alone=alone)
    counted = sorted(((count, series) for series, count in whole.items() if count >= 0.05), reverse=True)
    return tally.batch(tuple(OfSeries(series.value, round(count, 2)) for count, series in counted), quiet=values["csv"])


def _shelf(bench: Bench) -> Shelf:
    """The shelf as it is when the box is begun: read once for all its rings."""
    whole = good_rings(bench, None)
    return lambda _: whole


def _opened(path: str) -> TextIO:
    """The file as text; bytes that are no text become a sign that no reading holds, so the row is told as bad."""
    if path == "-":
        return io.TextIOWrapper(sys.stdin.buffer, encoding="utf-8-sig", errors="replace")

    try:
        models.outside.looked_at(Path(path))
        return Path(path).open(encoding="utf-8-sig", errors="replace")
    except models.errors.InvalidInputError as problem:
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
    columns = [_column(cell) for cell in _cells(line, delimiter)]
    for column in columns:
        # A column of one's own comes back as it stood; one that is nearly a name of ours is a slip.
        if column not in _COLUMNS and (not column or did_you_mean(column, _COLUMNS)):
            raise FieldError(f"line {number}: column {unknown(column, _COLUMNS)}", "--batch")
        if (often := columns.count(column)) > (2 if column == "width" else 1):
            raise FieldError(f"line {number}: the column {column} stands there {often} times", "--batch")
    if not set(columns) & set(_READINGS):
        raise FieldError(f"line {number}: no column holds a reading; name one of {', '.join(_READINGS)}", "--batch")
    return columns, delimiter


def _column(cell: str) -> str:
    """A column's name as ours are written; one of the user's own as it stands."""
    name = cell.lower().lstrip("-").replace("-", "_").replace(" ", "_")
    name = "width" if name == "width_2" else name
    return name if name in _COLUMNS else cell


def _row(cells: list[str], columns: list[str], common: Values, bench: Bench) -> tuple[Values, str, dict[str, str]]:
    """What a row says, read by the fields of one ring, the unit it is in, and the user's own columns.

    What a row leaves out is as for all.
    """
    if len(cells) > len(columns):
        raise FieldError(
            f"{len(cells)} values for {len(columns)} columns; "
            "with decimal commas put ; between the columns or the values in quotes",
            "-",
        )
    words: dict[str, str] = {}
    own = {column: "" for column in columns if column not in _COLUMNS}
    for column, cell in zip(columns, cells, strict=False):
        if column in own:
            own[column] = cell
        elif cell:
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
    return values, unit, own
