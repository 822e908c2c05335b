"""A box of unmarked rings: one row of a CSV file a ring, answered as it is read, in constant memory."""

from __future__ import annotations

import codecs
import csv
import gc
import io
import sys
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import chain, islice
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import models
from catalog import orings
from tui import commands
from tui.answers.ring import BatchRow, called
from tui.answers.ring_batch import BadRow, Batch, CsvHead, OfSeries
from tui.fields.field import Asked, FieldError
from tui.fields.rings import CONDITION, JOINT, MEASURED, TOOL, InSeries
from tui.fields.units import CHOICES, Units
from tui.fields.words import did_you_mean, shown, unknown
from tui.operations import ring_box
from tui.operations.asked_ring import asked_once, good_rings, ranked, reading_of
from tui.operations.own_book import own_book

if TYPE_CHECKING:
    from io import BufferedIOBase

    from catalog.orings.evidence import Condition, Evidence, Reading
    from catalog.orings.prior import Prior
    from tui.answers.ring import RingAnswer
    from tui.answers.ring_batch import RingNames
    from tui.operations.asked_ring import Shelf
    from tui.operations.operation import Bench, Values

LONGEST_LINE = 10_000
DELIMITERS = ";\t,"
_READINGS = [one.name for one in MEASURED]
_FIELDS = {one.name: one for one in (*MEASURED, TOOL, CONDITION, JOINT, InSeries("series", "Series"))}
"""What a row may hold, read as the options of one ring are."""
_COLUMNS = [*_FIELDS, "unit"]


MOST_OF_ONE_MACHINE = 10_000
"""So many rings of one machine are held together; a box that is answered row by row has no end."""


BLOCK: Final = 500
"""Rings answered together: enough for arrays to pay, few enough that their answers are little to hold."""
CHUNK: Final = 1 << 15
"""Bytes read at once, where so many are there."""


class _Ring(NamedTuple):
    """A row that was read. `evidence`: what was measured, where that is worked out already."""

    line: int
    values: Values
    unit: str
    own: dict[str, str]
    evidence: Evidence | None


class _Bad(NamedTuple):
    """A row that could not be read, and why."""

    line: int
    problem: FieldError


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
    pasted: str = values["pasted"]
    with io.BytesIO(pasted.encode(errors="replace")) if pasted else _opened(values["batch"]) as stream:
        return _answered(stream, values, bench, _Tally(bench, talks=False))


def _answered(stream: BufferedIOBase, values: Values, bench: Bench, tally: _Tally) -> Batch:
    seen: Shelf = (lambda _: None) if values["names"] else _shelf(bench)
    with stream:
        blocks = _arrived(stream)
        first, *more = next(blocks, [(1, None)])
        columns, delimiter = _header(*first)
        if values["csv"]:
            own = tuple(column for column in columns if column not in _COLUMNS)
            tally.as_csv, tally.own, tally.names_only = True, len(own), values["names"]
            bench.tell(CsvHead(own, values["names"]))
        read = _Reader(columns, delimiter, values, bench)
        if values["one_machine"]:
            lines = chain.from_iterable(chain([more], blocks))
            rings = (ring for line in lines if (ring := tally.good(read.ring(*line))) is not None)
            return _of_one_machine(list(islice(rings, MOST_OF_ONE_MACHINE + 1)), values, bench, seen, tally)
        for block in chain([more], blocks):
            tally.answer_all([read.ring(*line) for line in block], seen, values)
    return tally.batch()


class _Tally:
    """Answers rings, counts them, and tells of rows that can't be answered."""

    def __init__(self, bench: Bench, *, talks: bool = True) -> None:
        self.bench = bench
        self.talks = talks  # whether standard error says too what is wrong with a row
        self.sizes = own_book(bench)  # read once for all its rings
        self.found = self.none = self.bad = 0
        self.as_csv, self.own, self.names_only = False, 0, False

    def answer_all(self, rings: Sequence[_Ring | _Bad], seen: Shelf, values: Values) -> None:
        """Tell each ring's answer, in their order."""
        good = [one for one in rings if isinstance(one, _Ring)]
        rows = [ring_box.Row(one.values, one.unit, self.row_of(one, values), one.evidence) for one in good]
        answers: Iterator[RingAnswer | RingNames | FieldError]
        if values["names"]:
            answers = ring_box.names_of(rows, self.sizes)
        else:
            answers = ring_box.answers_of(rows, self.bench, seen, self.sizes)
        for one in rings:
            self.tell(one.line, one.problem if isinstance(one, _Bad) else next(answers))

    def answer(self, ring: _Ring, seen: Shelf, values: Values, *, prior: Prior, alone: str) -> None:
        """Tell one ring's answer, by what is known of its machine."""
        row = self.row_of(ring, values, alone)
        try:
            answer = asked_once(ring.values, self.bench, seen, unit=ring.unit, row=row, prior=prior, own=self.sizes)
        except FieldError as problem:
            self.refuse(ring.line, problem)
            return
        self.tell(ring.line, answer)

    def row_of(self, ring: _Ring, values: Values, alone: str | None = None) -> BatchRow:
        """Where a ring stands."""
        return BatchRow(ring.line, ring.own, alone, values["csv"])

    def tell(self, line: int, answer: RingAnswer | RingNames | FieldError) -> None:
        """Tell an answer, or what is wrong with a row."""
        if isinstance(answer, FieldError):
            self.refuse(line, answer)
            return
        self.bench.tell(answer)
        self.found += answer.found
        self.none += not answer.found

    def good(self, ring: _Ring | _Bad) -> _Ring | None:
        """A row that could be read; of another it is told what is wrong."""
        if isinstance(ring, _Ring):
            return ring
        self.refuse(*ring)
        return None

    def refuse(self, line: int, problem: FieldError) -> None:
        """Tell what is wrong with a row."""
        self.bad += 1
        told = str(problem) if problem.option in ("", "-") else f"{problem.option}: {problem}"
        if self.talks:
            commands.output.talk(f"line {line}: {told}")
        self.bench.tell(BadRow(line, told, self.as_csv, self.own, self.names_only))

    def batch(self, one_machine: tuple[OfSeries, ...] = (), *, quiet: bool = True) -> Batch:
        """How it ended."""
        return Batch(self.found + self.none, self.found, self.none, self.bad, one_machine, quiet)


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


def _opened(path: str) -> BufferedIOBase:
    """The file's bytes."""
    if path == "-":
        return sys.stdin.buffer  # type: ignore[return-value]

    try:
        models.outside.looked_at(Path(path))
        return Path(path).open("rb")
    except models.errors.InvalidInputError as problem:
        raise FieldError(str(problem), "--batch") from problem
    except OSError as problem:
        why = problem.strerror or problem
        raise FieldError(f"{shown(path, 200)} cannot be read: {why}", "--batch") from problem


def _arrived(stream: BufferedIOBase) -> Iterator[list[tuple[int, str | None]]]:
    """Lines with their number from 1, blank ones left out; None for one too long to hold rings.

    What is there comes together, at most `BLOCK` lines, so that an instrument's ring is answered before the next one.
    Bytes that are no text become a sign that no reading holds, so the row is told as bad.
    """
    decoder = io.IncrementalNewlineDecoder(codecs.getincrementaldecoder("utf-8-sig")("replace"), translate=True)
    rest, number, too_long, ended = "", 0, False, False
    while not ended:
        chunk = stream.read1(CHUNK)
        ended = not chunk
        *lines, rest = (rest + decoder.decode(chunk, final=ended)).split("\n")
        if ended and (rest or too_long):
            lines.append(rest)
        found: list[tuple[int, str | None]] = []
        for line in lines:
            number += 1
            if too_long or len(line) >= LONGEST_LINE:
                found.append((number, None))
            elif line.strip(" \t\r,;"):
                found.append((number, line))
            too_long = False
        if len(rest) >= LONGEST_LINE:
            rest, too_long = "", True
        for start in range(0, len(found), BLOCK):
            yield found[start : start + BLOCK]


def _cells(line: str | None, delimiter: str) -> list[str]:
    """One row's cells. Each line is read by itself, so a quote left open spoils its own row and no other."""
    if line is None:
        raise FieldError(f"the line is longer than {LONGEST_LINE} characters", "-")
    try:
        cells = next(csv.reader([line], delimiter=delimiter, strict=True)) if '"' in line else line.split(delimiter)
        return [cell.strip() for cell in cells]
    except csv.Error as problem:
        raise FieldError(f"the row cannot be taken apart ({problem}); look at its quotes", "-") from problem


def _header(number: int, line: str | None) -> tuple[list[str], str]:
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


class _Reader:
    """Reads rows by the fields of one ring. What a row leaves out is as for all (`common`)."""

    def __init__(self, columns: list[str], delimiter: str, common: Values, bench: Bench) -> None:
        self.columns, self.delimiter, self.common = columns, delimiter, common
        self.unit = bench.units.length
        self.fields = [name for name in _FIELDS if name in columns]
        self.own = dict.fromkeys((column for column in columns if column not in _COLUMNS), "")
        self.readings = [name for name in _READINGS if name in columns]
        self.reads_all = not any(common[name] for name in _READINGS)

    def ring(self, number: int, line: str | None) -> _Ring | _Bad:
        """What a row says."""
        try:
            return self._ring(number, _cells(line, self.delimiter))
        except FieldError as problem:
            return _Bad(number, problem)

    def _ring(self, number: int, cells: list[str]) -> _Ring:
        if len(cells) > len(self.columns):
            raise FieldError(
                f"{len(cells)} values for {len(self.columns)} columns; "
                "with decimal commas put ; between the columns or the values in quotes",
                "-",
            )
        words: dict[str, str] = {}
        own = dict(self.own)
        for column, cell in zip(self.columns, cells, strict=False):
            if column in own:
                own[column] = cell
            elif cell:
                words[column] = f"{words[column]}\n{cell}" if column in words else cell
        unit = words.pop("unit", self.unit).lower()
        if unit not in CHOICES["length"]:
            raise FieldError(unknown(unit, CHOICES["length"]), "unit")
        values = dict(self.common)
        for name in self.fields:
            if name in words:
                values[name] = _read(name, words[name], unit)
        return _Ring(number, values, unit, own, self._evidence(words, values, unit) if self.reads_all else None)

    def _evidence(self, words: dict[str, str], values: Values, unit: str) -> Evidence | None:
        """What was measured, as `evidence_of` has it of these values; None where it has a word to say on it."""
        tools = values["tool"]
        readings: list[Reading] = []
        try:
            for name in self.readings:
                if name in words:
                    readings += _taken(name, words[name], unit, tools.of(name))
        except FieldError:
            return None
        if not readings or orings.contradiction.contradiction(readings) is not None:
            return None
        return orings.evidence.Evidence(tuple(readings), _look(values["condition"]))


@lru_cache(maxsize=20_000)
def _taken(name: str, text: str, unit: str, tool: str) -> tuple[Reading, ...]:
    """A column's readings."""
    return tuple(reading_of(name, typed, tool) for typed in _read(name, text, unit))


@lru_cache
def _look(word: str) -> Condition:
    return orings.evidence.Condition(word or orings.evidence.Condition.NOT_SAID)


@lru_cache(maxsize=20_000)
def _read(name: str, text: str, unit: str) -> Any:
    """A column's value, by its field. Boxes hold the same words and widths again and again."""
    one = _FIELDS[name]
    try:
        return one.from_words({name: text}, Asked(Units(length=unit)))
    except FieldError as problem:
        raise FieldError(str(problem), problem.option or one.called) from problem
