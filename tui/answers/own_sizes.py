"""A shop's own tables of ring sizes: what was loaded and what it says of ours, what is there, what is gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar, Final

import models
from catalog import orings
from tui.answers.answer import Answer, said
from tui.answers.written_csv import WrittenCsv
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.orings.own_table import Comparison
    from models.own_sizes import Kept, Loaded

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

    @property
    def told(self) -> str:
        """The table in a line."""
        parts = [
            f"{count} {word}"
            for count, word in ((self.confirms, "confirm ours"), (self.corrects, "correct ours"), (self.new, "new"))
            if count
        ]
        return f"“{self.series}”: {self.rows} {'size' if self.rows == 1 else 'sizes'} ({', '.join(parts)})"


def own_table_of(kept: Kept) -> OwnTable:
    """A table as answers tell it."""
    corrected = _corrected(orings.own_table.told(kept.table))
    rows = len(kept.table.rows)
    return OwnTable(
        kept.table.title, kept.table.source, rows, kept.confirms, kept.corrects, kept.new, corrected, kept.who, kept.at
    )


def _corrected(comparisons: Sequence[Comparison]) -> tuple[Corrected, ...]:
    return tuple(
        Corrected(one.size.label, _figures(one.ours), _figures(one.size))
        for one in comparisons
        if one.word is orings.own_table.Word.CORRECTS and one.ours is not None
    )


def _figures(size: object) -> str:
    assert isinstance(size, orings.sizes.RingSize)
    return f"{size.id_mm:.4g} ± {size.id_tol_mm:.4g} × {size.cross_section_mm:.4g} ± {size.cross_section_tol_mm:.4g} mm"


@dataclass(frozen=True)
class SizesLoaded(Answer):
    """What came of loading. `unchanged`: tables that were there word for word; `problems`: then nothing was loaded.

    `to_confirm`: the rows of ours that would be corrected; nothing is loaded until somebody says yes to that.
    """

    SCHEMA: ClassVar[str] = "kitwright.sizes-loaded/2"

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
        lines = [f"Loaded {one.told}." for one in self.tables]
        lines += [f"“{one}” was loaded before, word for word." for one in self.unchanged]
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


def sizes_loaded(loaded: Loaded) -> SizesLoaded:
    """What was loaded, as an answer."""
    return SizesLoaded(tuple(map(own_table_of, loaded.tables)), loaded.unchanged, ())


def refusal(problems: Sequence[str]) -> SizesLoaded:
    """A file of which nothing was loaded, and why."""
    return SizesLoaded((), (), tuple(problems))


def to_confirm(corrections: Sequence[Comparison]) -> SizesLoaded:
    """A file that would correct rows of ours: nothing of it is loaded yet."""
    return SizesLoaded((), (), (), _corrected(corrections))


def _first(lines: list[str]) -> list[str]:
    left = len(lines) - SHOWN
    return [*lines[:SHOWN], *([f"… and {left} more"] if left > 0 else [])]


@dataclass(frozen=True)
class OwnTables(Answer):
    """The tables that the shop has loaded, oldest first."""

    SCHEMA: ClassVar[str] = "kitwright.own-sizes/2"

    tables: tuple[OwnTable, ...]

    def words(self) -> list[str]:
        """A line a table."""
        if not self.tables:
            return ["The shop has no table of its own. Load one: kitwright sizes load FILE.csv --series NAME"]

        header = ("table", "sizes", "confirm", "correct", "new", "source", "loaded")
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
class SizesDropped(Answer):
    """A table that was dropped, and how many sizes it had."""

    SCHEMA: ClassVar[str] = "kitwright.sizes-dropped/2"

    series: str
    rows: int

    def words(self) -> list[str]:
        """What is gone."""
        return [f"Dropped “{self.series}” with its {self.rows} {'size' if self.rows == 1 else 'sizes'}."]


@dataclass(frozen=True)
class SizesExported(WrittenCsv):
    """How many tables and sizes of the shop's own were written where."""

    SCHEMA: ClassVar[str] = "kitwright.sizes-exported/2"

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
        return f"{self.exported} sizes of {self.tables} own tables"

    @property
    def found(self) -> bool:
        """Whether there was one."""
        return self.exported > 0
