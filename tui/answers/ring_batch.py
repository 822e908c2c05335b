"""What is said of a box of rings beside each one's answer: the columns of its table, bad rows, how it ended."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, ClassVar, Final

from catalog import orings
from tui.answers.answer import Answer, said
from tui.answers.chances import percent
from tui.answers.ring import CSV_COLUMNS, csv_line, no_size
from tui.answers.sizes import Standard

if TYPE_CHECKING:
    from collections.abc import Iterable

    from catalog.orings.sizes import RingSize
    from tui.answers.ring import BatchRow


NAMES_COLUMNS: Final = ("was", "probability", "or_was", "or_probability", "trouble")
"""What a list of rings says of each where only the sizes that they were are asked for."""


def columns_of(names_only: bool) -> tuple[str, ...]:
    """What a list of rings says of each, beside its line and the user's own columns."""
    return NAMES_COLUMNS if names_only else CSV_COLUMNS


@dataclass(frozen=True)
class CsvHead(Answer):
    """The first line of a list of rings as CSV; `own`: the user's columns."""

    SCHEMA: ClassVar[str] = "kitwright.ring-columns/2"

    own: tuple[str, ...]
    names_only: bool = said(False)

    def words(self) -> list[str]:
        """The names of the columns."""
        return [csv_line(["line", *self.own, *columns_of(self.names_only)])]


@dataclass(frozen=True)
class SizeName:
    """A size that a ring can be, and how likely."""

    standard: Standard
    designation: str
    name: str
    probability: float


@dataclass(frozen=True)
class RingNames(Answer):
    """Only the sizes that a ring of a batch can be, likeliest first, and not which ring to fit.

    `line`: of the file; `own`: its columns that are the user's own. `none_probability`: that it is none of the sizes in
    our tables. `conflict`: that the readings can't be of one ring; then nothing else is said.
    """

    SCHEMA: ClassVar[str] = "kitwright.ring-names/2"

    line: int
    own: dict[str, str]
    matches: tuple[SizeName, ...]
    none_probability: float
    conflict: str | None
    as_csv: bool = said(False)

    @property
    def found(self) -> bool:
        """Whether some standard size is likelier than none of them."""
        return bool(self.matches) and self.none_probability < 0.5

    def words(self) -> list[str]:
        """One line."""
        if self.as_csv:
            return [csv_line([str(self.line), *self.own.values(), *self._cells()])]
        own = ", ".join(value for value in self.own.values() if value)
        return [f"line {self.line}{f' ({own})' if own else ''}: {self._in_one_line}"]

    def json_text(self) -> str:
        """The answer as JSON, of parts that are written once."""
        own = json.dumps(self.own) if self.own else "{}"
        sizes = ", ".join(
            [f"{_as_json(one.standard, one.designation, one.name)}{one.probability!r}}}" for one in self.matches]
        )
        conflict = "null" if self.conflict is None else json.dumps(self.conflict)
        return (
            f'{{"schema": "{self.SCHEMA}", "line": {self.line}, "own": {own}, "matches": [{sizes}], '
            f'"none_probability": {self.none_probability!r}, "conflict": {conflict}}}'
        )

    @property
    def _in_one_line(self) -> str:
        if self.conflict is not None:
            return self.conflict
        if not self.found:
            return f"{no_size(None)} ({percent(self.none_probability)})"
        return " or ".join(f"{one.name} ({percent(one.probability)})" for one in self.matches[:2])

    def _cells(self) -> list[str]:
        first, second = (*self.matches[:2], None, None)[:2]
        if self.conflict is not None:
            return ["", "", "", "", self.conflict]
        if first is None or not self.found:
            first = None
        return [
            "none of our sizes" if first is None else first.name,
            f"{self.none_probability if first is None else first.probability:.4f}",
            "" if second is None else second.name,
            "" if second is None else f"{second.probability:.4f}",
            "",
        ]


@lru_cache(maxsize=10_000)
def _as_json(standard: str, designation: str, name: str) -> str:
    """A size's JSON up to its probability."""
    whole = json.dumps({"standard": standard, "designation": designation, "name": name, "probability": 0})
    return whole.removesuffix("0}")


@dataclass(frozen=True)
class BadRow(Answer):
    """A row of a batch that could not be read, and why; standard error says it too."""

    SCHEMA: ClassVar[str] = "kitwright.ring-error/2"

    line: int
    error: str
    as_csv: bool = said(False)
    own: int = said(0)
    names_only: bool = said(False)

    def words(self) -> list[str]:
        """Nothing: it is said on standard error; in a table its line and what is wrong with it."""
        if not self.as_csv:
            return []
        return [csv_line([str(self.line), *[""] * (self.own + len(columns_of(self.names_only)) - 1), self.error])]


@dataclass(frozen=True)
class OfSeries(Answer):
    """About how many rings of a box from one machine are of a series."""

    SCHEMA: ClassVar[str] = "kitwright.rings-of-series/2"

    standard: Standard
    rings: float


@dataclass(frozen=True)
class Batch(Answer):
    """How a batch ended: rings in all, those of a standard size, those of none, and rows that could not be read.

    `one_machine`: of a box from one machine, about how many rings are of each series, which counted for the others.
    """

    SCHEMA: ClassVar[str] = "kitwright.ring-batch/2"

    rings: int
    standard: int
    none: int
    bad_rows: int
    one_machine: tuple[OfSeries, ...]
    quiet: bool = said(True)

    def words(self) -> list[str]:
        """Each ring was told as it was read; of a box from one machine, what the rings told of each other."""
        if self.quiet or not self.one_machine:
            return []

        counted = ", ".join(
            f"about {one.rings:.1f} of {orings.sizes.title(orings.sizes.Series(one.standard))}"
            for one in self.one_machine
        )
        return [f"Of these {self.rings} rings, {counted}: each ring counted as evidence for the others."]

    @property
    def found(self) -> bool:
        """Whether every ring is of a standard size."""
        return not self.none

    @property
    def refused(self) -> bool:
        """Whether some row could not be read."""
        return self.bad_rows > 0


def names_answer(
    row: BatchRow, sizes: Iterable[tuple[RingSize, float]], none_probability: float, conflict: str | None = None
) -> RingNames:
    """The sizes that a ring can be, as an answer."""
    return RingNames(
        row.line,
        row.own,
        tuple([SizeName(one.series.value, one.designation, one.label, round(chance, 6)) for one, chance in sizes]),
        round(none_probability, 6),
        conflict,
        row.as_csv,
    )
