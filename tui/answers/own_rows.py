"""A shop's own tables, of sizes or of ports: what was loaded and what it says of ours, what is there, what is gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, ClassVar, Final

import models
from tui.answers.answer import Answer, said
from tui.answers.written_csv import WrittenCsv
from tui.commands.output import table

if TYPE_CHECKING:
    from models.own_rows import Kept

SHOWN: Final = 20
"""So many sentences of one kind are told; the JSON has all of them."""


@dataclass(frozen=True)
class Corrected:
    """A row of ours that a table says something else of: its name, what ours says, what holds now."""

    name: str
    ours: str
    now: str

    @property
    def words(self) -> str:
        """`corrects JIS V950: 944 ± 6 × 10 ± 0.3 mm, where ours has 940.5 ± 6.06 × 10 ± 0.3 mm`."""
        return f"corrects {self.name}: {self.now}, where ours has {self.ours}"


@dataclass(frozen=True)
class OwnTable:
    """A table that the shop has loaded, and how many of its rows confirm ours, correct ours, or are new."""

    series: str
    source: str
    rows: int
    confirms: int
    corrects: int
    new: int
    corrected: tuple[Corrected, ...]
    who: str
    at: datetime

    def told(self, many: str) -> str:
        """The table in a line; `many`: what its rows are."""
        parts = [
            f"{count} {word}"
            for count, word in ((self.confirms, "confirm ours"), (self.corrects, "correct ours"), (self.new, "new"))
            if count
        ]
        return f"“{self.series}”: {counted(self.rows, many)} ({', '.join(parts)})"


def counted(number: int, many: str) -> str:
    """`1 size`, `2 sizes`."""
    return f"{number} {many[:-1] if number == 1 else many}"


def own_table_of(kept: Kept[Any], corrected: tuple[Corrected, ...]) -> OwnTable:
    """A table as answers tell it."""
    rows = len(kept.table.rows)
    return OwnTable(
        kept.table.title, kept.table.source, rows, kept.confirms, kept.corrects, kept.new, corrected, kept.who, kept.at
    )


@dataclass(frozen=True)
class RowsLoaded(Answer):
    """What came of loading. `unchanged`: tables that were there word for word; `problems`: then nothing was loaded.

    `to_confirm`: the rows of ours that would be corrected; nothing is loaded until somebody says yes to that.
    """

    MANY: ClassVar[str]

    tables: tuple[OwnTable, ...]
    unchanged: tuple[str, ...]
    problems: tuple[str, ...]
    to_confirm: tuple[Corrected, ...] = ()

    def words(self) -> list[str]:
        """Each table with what it says of ours; or why nothing was loaded."""
        if self.to_confirm:
            # The first with its figures: a screen says the first line alone.
            first, *more = [row.words for row in self.to_confirm]
            also = f", and {len(more)} more" if more else ""
            return [
                f"Nothing was loaded yet. It {first}{also}. Say yes to “Correct ours” (--yes), or leave it.",
                *_first(more),
            ]
        if self.problems:
            # The first with its reason: a screen says the first line alone.
            first, *more = self.problems
            return [f"Nothing was loaded. {first}", *_first(more)]
        lines = [f"Loaded {one.told(self.MANY)}." for one in self.tables]
        lines += [f"“{one}” is loaded already, unchanged." for one in self.unchanged]
        for one in self.tables:
            lines += _first([row.words for row in one.corrected])
        return lines

    @property
    def refused(self) -> bool:
        """Whether the file could not be taken."""
        return bool(self.problems or self.to_confirm)

    @property
    def answered_in(self) -> str:
        """Where a yes to the corrections is typed."""
        return "yes" if self.to_confirm else ""


def _first(lines: Sequence[str]) -> list[str]:
    left = len(lines) - SHOWN
    return [*lines[:SHOWN], *([f"… and {left} more"] if left > 0 else [])]


@dataclass(frozen=True)
class RowTables(Answer):
    """The tables that the shop has loaded, oldest first."""

    MANY: ClassVar[str]
    LOAD: ClassVar[str]

    tables: tuple[OwnTable, ...]

    def words(self) -> list[str]:
        """A line a table."""
        if not self.tables:
            return [f"The shop has no table of its own. Load one: {self.LOAD}"]

        header = ("table", self.MANY, "confirm", "correct", "new", "source", "loaded")
        rows = [
            (
                one.series,
                str(one.rows),
                str(one.confirms),
                str(one.corrects),
                str(one.new),
                one.source,
                f"{one.at.astimezone(models.moments.WALL):%Y-%m-%d} {one.who}",
            )
            for one in self.tables
        ]
        return table(header, rows, right=(1, 2, 3, 4))

    @property
    def found(self) -> bool:
        """Whether there is one."""
        return bool(self.tables)


@dataclass(frozen=True)
class RowsDropped(Answer):
    """A table that was dropped, and how many rows it had."""

    MANY: ClassVar[str]

    series: str
    rows: int

    def words(self) -> list[str]:
        """What is gone."""
        return [f"Dropped “{self.series}” with its {counted(self.rows, self.MANY)}."]


@dataclass(frozen=True)
class RowsExported(WrittenCsv):
    """How many tables and rows of the shop's own were written where."""

    MANY: ClassVar[str]

    tables: int
    exported: int
    file: str
    text: str = said()

    @property
    def written(self) -> tuple[str, str]:
        """The file, and the CSV itself."""
        return self.file, self.text

    def how_many(self) -> str:
        """What was written."""
        return f"{self.exported} {self.MANY} of {self.tables} own tables"

    @property
    def found(self) -> bool:
        """Whether there was one."""
        return self.exported > 0
