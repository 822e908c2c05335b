"""A shop's own tables of ring sizes: what was loaded and what it says of ours, what is there, what is gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from catalog import orings
from tui.answers.own_rows import Corrected, RowsDropped, RowsExported, RowsLoaded, RowTables, own_table_of

if TYPE_CHECKING:
    from catalog.orings.own_table import Comparison
    from catalog.orings.sizes import RingSize
    from models.own_sizes import Kept, Loaded

MANY = "sizes"


@dataclass(frozen=True)
class SizesLoaded(RowsLoaded):
    """What came of loading. `unchanged`: tables that were there word for word; `problems`: then nothing was loaded.

    `to_confirm`: the rows of ours that would be corrected; nothing is loaded until somebody says yes to that.
    """

    SCHEMA: ClassVar[str] = "kitwright.sizes-loaded/2"
    MANY: ClassVar[str] = MANY


@dataclass(frozen=True)
class OwnTables(RowTables):
    """The tables that the shop has loaded, oldest first."""

    SCHEMA: ClassVar[str] = "kitwright.own-sizes/2"
    MANY: ClassVar[str] = MANY
    LOAD: ClassVar[str] = "kitwright sizes load FILE.csv --series NAME"


@dataclass(frozen=True)
class SizesDropped(RowsDropped):
    """A table that was dropped, and how many sizes it had."""

    SCHEMA: ClassVar[str] = "kitwright.sizes-dropped/2"
    MANY: ClassVar[str] = MANY


@dataclass(frozen=True)
class SizesExported(RowsExported):
    """How many tables and sizes of the shop's own were written where."""

    SCHEMA: ClassVar[str] = "kitwright.sizes-exported/2"
    MANY: ClassVar[str] = MANY


def sizes_loaded(loaded: Loaded) -> SizesLoaded:
    """What was loaded, as an answer."""
    kept = tuple(own_table_of(one, corrected_by(orings.own_table.told(one.table))) for one in loaded.tables)
    return SizesLoaded(kept, loaded.unchanged, ())


def own_tables(kept: Sequence[Kept]) -> OwnTables:
    """The tables that are loaded, as an answer."""
    return OwnTables(tuple(own_table_of(one, corrected_by(orings.own_table.told(one.table))) for one in kept))


def corrected_by(comparisons: Sequence[Comparison]) -> tuple[Corrected, ...]:
    """The rows of ours that others say something else of."""
    return tuple(
        Corrected(one.size.label, _figures(one.ours), _figures(one.size))
        for one in comparisons
        if one.word is orings.own_table.Word.CORRECTS and one.ours is not None
    )


def _figures(size: RingSize) -> str:
    return f"{size.id_mm:.4g} ± {size.id_tol_mm:.4g} × {size.cross_section_mm:.4g} ± {size.cross_section_tol_mm:.4g} mm"
