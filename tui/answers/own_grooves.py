"""A shop's own tables of grooves: what was loaded and what it says of ours, what is there, what is gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from catalog import orings
from tui.answers.own_rows import Corrected, RowsDropped, RowsExported, RowsLoaded, RowTables, own_table_of

if TYPE_CHECKING:
    from catalog.orings.own_groove import GrooveTold
    from models.own_grooves import Kept, Loaded

MANY = "grooves"


@dataclass(frozen=True)
class GroovesLoaded(RowsLoaded):
    """What came of loading. `unchanged`: tables that were there word for word; `problems`: then nothing was loaded.

    `to_confirm`: the rows of ours that would be corrected; nothing is loaded until somebody says yes to that.
    """

    SCHEMA: ClassVar[str] = "kitwright.grooves-loaded/2"
    MANY: ClassVar[str] = MANY


@dataclass(frozen=True)
class OwnGrooveTables(RowTables):
    """The tables of grooves that the shop has loaded, oldest first."""

    SCHEMA: ClassVar[str] = "kitwright.own-grooves/2"
    MANY: ClassVar[str] = MANY
    LOAD: ClassVar[str] = "kitwright groove load FILE.csv --series NAME"


@dataclass(frozen=True)
class GroovesDropped(RowsDropped):
    """A table that was dropped, and how many grooves it had."""

    SCHEMA: ClassVar[str] = "kitwright.grooves-dropped/2"
    MANY: ClassVar[str] = MANY


@dataclass(frozen=True)
class GroovesExported(RowsExported):
    """How many tables and grooves of the shop's own were written where."""

    SCHEMA: ClassVar[str] = "kitwright.grooves-exported/2"
    MANY: ClassVar[str] = MANY


def grooves_loaded(loaded: Loaded) -> GroovesLoaded:
    """What was loaded, as an answer."""
    kept = tuple(own_table_of(one, corrected_by(orings.own_groove.told(one.table))) for one in loaded.tables)
    return GroovesLoaded(kept, loaded.unchanged, ())


def own_tables(kept: Sequence[Kept]) -> OwnGrooveTables:
    """The tables that are loaded, as an answer."""
    return OwnGrooveTables(tuple(own_table_of(one, corrected_by(orings.own_groove.told(one.table))) for one in kept))


def corrected_by(said: Sequence[GrooveTold]) -> tuple[Corrected, ...]:
    """The rows of ours that others say something else of."""
    return tuple(
        Corrected(
            f"{one.ours.table}, {orings.own_groove.called(one.ours)}",
            orings.own_groove.figures(one.ours),
            orings.own_groove.figures(one.row),
        )
        for one in said
        if one.word is orings.own_table.Word.CORRECTS and one.ours is not None
    )
