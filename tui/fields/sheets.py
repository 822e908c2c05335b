"""What is asked of a sheet for paper: which paper, which labels, into which file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

import catalog
from models import inventory
from tui import sheets
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Count, File, Several
from tui.fields.rows import look_of
from tui.fields.trade import RingSize
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.languages.tongue import Tongue
    from models.inventory.bins import BinRow
    from tui.sheets.label_grids import Grid
    from tui.sheets.paper import Paper as Sheet

MOST_BINS = 10_000
MOST_RINGS = 500


@dataclass(frozen=True)
class PdfFile(File):
    """The PDF's file, or "-" for a pipe; none where the sheet comes as text."""

    METAVAR: ClassVar[str] = "FILE|-"

    must: bool = False

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> str:
        """The file's name. Raises `FieldError` for an option without one."""
        if words.get(self.name) == "":
            raise FieldError("That is not a file name; type one, as job-2.pdf.")
        return super().from_words(words, asked)


@dataclass(frozen=True)
class Paper(Field["Sheet"]):
    """The paper by its name; A4 unless somebody says otherwise."""

    METAVAR: ClassVar[str] = "NAME"

    must: bool = False

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "A4 or Letter"

    def from_text(self, text: str, asked: Asked) -> Sheet:
        """The paper. Raises `FieldError`."""
        return self.read(text if text.strip() else "A4", asked)

    def read(self, text: str, asked: Asked) -> Sheet:
        """The paper. Raises `FieldError`."""
        try:
            return sheets.paper.paper_named(text)
        except ValueError as problem:
            raise FieldError(str(problem)) from problem


@dataclass(frozen=True)
class Language(Field["Tongue | None"]):
    """The language of a sheet, by its code; None where nobody says one."""

    METAVAR: ClassVar[str] = "CODE"

    must: bool = False

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return ", ".join(catalog.languages.tongue.NAMES)

    def read(self, text: str, asked: Asked) -> Tongue:
        """The language. Raises `FieldError`."""
        try:
            return catalog.languages.tongue.tongue(text.casefold())
        except ValueError as problem:
            raise FieldError(str(problem)) from problem

    def arguments(self, value: Tongue | None) -> dict[str, Any]:
        """Its code, as it is kept."""
        return {} if value is None else {self.parameter or self.name: value.code}


@dataclass(frozen=True)
class LabelGrid(Field["Grid"]):
    """The label paper by its name; the first there is unless somebody says otherwise."""

    METAVAR: ClassVar[str] = "NAME"

    must: bool = False

    def from_text(self, text: str, asked: Asked) -> Grid:
        """The grid. Raises `FieldError`."""
        return self.read(text, asked) if text.strip() else sheets.label_grids.GRIDS[0]

    def read(self, text: str, asked: Asked) -> Grid:
        """The grid. Raises `FieldError`."""
        try:
            return sheets.label_grids.grid_named(text)
        except ValueError as problem:
            raise FieldError(str(problem)) from problem


@dataclass(frozen=True)
class Skipped(Count):
    """How many labels of the sheet were used before: fewer than it has, which the grid read before says."""

    must: bool = False
    empty: int = 0
    least: int = 0

    def read(self, text: str, asked: Asked) -> int:
        """How many. Raises `FieldError`."""
        grid = asked.values.get("grid")
        if grid is not None and grid.roll:
            raise FieldError("a roll has no labels used before; leave it out")
        most = self.most if grid is None else grid.per_page - 1
        return Count(self.name, self.label, least=0, most=most).read(text, asked)


@dataclass(frozen=True)
class LabelBins(Several):
    """The bins to label, in the order named; all of them in walking order where none is."""

    LOOKS: ClassVar[bool] = True

    placed: bool = True
    metavar: str = "BIN"

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Any:
        """The bins. Raises `FieldError`."""
        known = look_of(asked)(lambda session: inventory.bins.page(session, limit=MOST_BINS))
        by_code: dict[str, BinRow] = {row.code.casefold(): row for row in known}
        codes = [code for code in (words.get(self.name) or "").split("\n") if code] or [row.code for row in known]
        return tuple(_bin(code, by_code) for code in codes)


def _bin(code: str, by_code: Mapping[str, BinRow]) -> BinRow:
    row = by_code.get(" ".join(code.split()).casefold())
    if row is None:
        if not by_code:
            raise FieldError("there is no bin yet", "-")
        known = [one.code for one in by_code.values()]
        codes = ", ".join(map(shown, known[:12])) + (" …" if len(known) > 12 else "")
        raise FieldError(f"there is no bin {shown(code)}; there are: {codes}", "-")
    return row


@dataclass(frozen=True)
class Jobs(Field[tuple[int, ...]]):
    """Jobs by their numbers, each once, in the order named."""

    METAVAR: ClassVar[str] = "JOB"

    placed: bool = True

    def options(self) -> tuple[Option, ...]:
        """All in its place."""
        return (Option(self.name, self.name, self.METAVAR, self.help, required=True, takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "jobs' numbers, as 2"

    def read(self, text: str, asked: Asked) -> tuple[int, ...]:
        """The one job. Raises `FieldError`."""
        if not (text.isascii() and text.isdigit() and len(text) <= 9):
            raise FieldError(f"{shown(text)} is not a job's number; list them with: kitwright jobs", "-")
        return (int(text),)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[int, ...]:
        """The jobs. Raises `FieldError`."""
        told = (words.get(self.name) or "").split("\n")
        return tuple(dict.fromkeys(number for text in told for number in self.from_text(text, asked)))


@dataclass(frozen=True)
class RingSizes(Field[tuple[str, ...]]):
    """Standard sizes by any of their names, each once; kept as their keys."""

    METAVAR: ClassVar[str] = "SIZE"

    placed: bool = True
    empty: Any = ()

    def options(self) -> tuple[Option, ...]:
        """All in its place."""
        return (Option(self.name, self.name, self.METAVAR, self.help, required=self.must, takes="many"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return RingSize(self.name, self.label).hint(asked)

    def read(self, text: str, asked: Asked) -> tuple[str, ...]:
        """The one size. Raises `FieldError`."""
        key = RingSize(self.name, self.label).read(text, asked)
        return () if key is None else (key,)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[str, ...]:
        """The sizes. Raises `FieldError`."""
        told = [text for text in (words.get(self.name) or "").split("\n") if text or self.must]
        if len(told) > MOST_RINGS:
            raise FieldError(f"{len(told)} sizes are too many for one sheet; give {MOST_RINGS} at most", "-")
        return tuple(dict.fromkeys(key for text in told for key in self.from_text(text, asked)))
