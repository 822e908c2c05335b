"""Standard ring sizes, as every answer tells them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final, Literal

import catalog
from catalog import orings
from tui.answers.answer import Answer, said
from tui.answers.reasons import Standing
from tui.answers.written_csv import WrittenCsv
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize

Standard = Literal["as568", "jis", "metric", "bs4518", "afnor", "stock", "own"]
MM_PER_INCH = 25.4
UNCHECKED: Final = "unchecked row"
"""What is said of a size whose row nobody here has seen in print."""


@dataclass(frozen=True)
class Size:
    """A standard size as made; lengths in mm. `standing`: how far its row is trusted, `source` where it is from."""

    standard: Standard
    designation: str
    name: str
    id_mm: float
    id_plus_minus_mm: float
    cross_section_mm: float
    cross_section_plus_minus_mm: float
    standing: Standing
    source: str
    note: str

    def dimensions(self, unit: str) -> str:
        """ID and width in both units."""
        return size_dimensions(self.id_mm, self.cross_section_mm, unit)

    @property
    def unchecked(self) -> str:
        """That nobody here has seen its row in print; "" where somebody has."""
        return "unchecked row" if self.standing == "memory" else ""

    @property
    def checked(self) -> str:
        """How far its row is trusted, in one word."""
        return catalog.standing.Standing(self.standing).word


def size_dimensions(id_mm: float, cross_section_mm: float, unit: str) -> str:
    """ID and width in both units."""
    inside, section = (catalog.quantity.both_units(one, first=unit) for one in (id_mm, cross_section_mm))
    return f"ID {inside}, width {section}"


def size_of(size: RingSize) -> Size:
    """A size of the catalog as answers tell it."""
    return Size(
        standard=size.series.value,
        designation=size.designation,
        name=size.label,
        id_mm=round(size.id_mm, 4),
        id_plus_minus_mm=round(size.id_tol_mm, 4),
        cross_section_mm=round(size.cross_section_mm, 4),
        cross_section_plus_minus_mm=round(size.cross_section_tol_mm, 4),
        standing=size.standing.value,
        source=size.source,
        note=size.note,
    )


@dataclass(frozen=True)
class SizeList(Answer):
    """The sizes that a text picks out, the one it names first."""

    SCHEMA: ClassVar[str] = "kitwright.sizes/2"

    sizes: tuple[Size, ...]

    def words(self) -> list[str]:
        """A table in both units; an unchecked row says so."""
        if not self.sizes:
            return ["No size in our tables matches. Try a piece of the name, or an ID in mm: kitwright sizes 24.99"]

        header = ("size", "ID mm", "width mm", "ID in", "width in", "standard", "row")
        rows = [
            (
                one.name,
                f"{one.id_mm:.2f} ±{one.id_plus_minus_mm:.2f}",
                f"{one.cross_section_mm:.2f} ±{one.cross_section_plus_minus_mm:.2f}",
                f"{one.id_mm / MM_PER_INCH:.3f}",
                f"{one.cross_section_mm / MM_PER_INCH:.3f}",
                orings.sizes.title(orings.sizes.Series(one.standard)),
                one.checked,
            )
            for one in self.sizes
        ]
        return table(header, rows, right=(1, 2, 3, 4))

    @property
    def found(self) -> bool:
        """Whether any was listed."""
        return bool(self.sizes)


@dataclass(frozen=True)
class SizesPage(WrittenCsv):
    """The page for a phone that was written: with so many sizes, of so many bytes."""

    SCHEMA: ClassVar[str] = "kitwright.sizes-page/2"
    OPTION: ClassVar[str] = "--html -"

    sizes: int
    file: str
    page_bytes: int
    text: str = said()

    @property
    def written(self) -> tuple[str, str]:
        """The file, and the page itself."""
        return self.file, self.text

    def how_many(self) -> str:
        """What was written."""
        return f"{self.sizes} sizes ({self.page_bytes / 1000:.0f} kB)"

    @property
    def found(self) -> bool:
        """Whether any was picked out."""
        return self.sizes > 0
