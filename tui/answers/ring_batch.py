"""What is said of a box of rings beside each one's answer: the columns of its table, bad rows, how it ended."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from catalog import orings
from tui.answers.answer import Answer, said
from tui.answers.ring import CSV_COLUMNS, csv_line
from tui.answers.sizes import Standard


@dataclass(frozen=True)
class CsvHead(Answer):
    """The first line of a list of rings as CSV; `own`: the user's columns."""

    SCHEMA: ClassVar[str] = "kitwright.ring-columns/2"

    own: tuple[str, ...]

    def words(self) -> list[str]:
        """The names of the columns."""
        return [csv_line(["line", *self.own, *CSV_COLUMNS])]


@dataclass(frozen=True)
class BadRow(Answer):
    """A row of a batch that could not be read, and why; standard error says it too."""

    SCHEMA: ClassVar[str] = "kitwright.ring-error/2"

    line: int
    error: str
    as_csv: bool = said(False)
    own: int = said(0)

    def words(self) -> list[str]:
        """Nothing: it is said on standard error; in a table its line and what is wrong with it."""
        if not self.as_csv:
            return []
        return [csv_line([str(self.line), *[""] * (self.own + len(CSV_COLUMNS) - 1), self.error])]


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
        return [f"Of these {self.rings} rings, {counted}: each counted for the others."]

    @property
    def found(self) -> bool:
        """Whether every ring is of a standard size."""
        return not self.none

    @property
    def refused(self) -> bool:
        """Whether some row could not be read."""
        return self.bad_rows > 0
