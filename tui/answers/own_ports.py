"""A shop's own tables of ports: what was loaded and what it says of ours, what is there, what is gone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from catalog import orings
from tui.answers.own_rows import Corrected, RowsDropped, RowsExported, RowsLoaded, RowTables, own_table_of

if TYPE_CHECKING:
    from catalog.orings.own_port import PortTold
    from models.own_ports import Kept, Loaded

MANY = "ports"


@dataclass(frozen=True)
class PortsLoaded(RowsLoaded):
    """What came of loading. `unchanged`: tables that were there word for word; `problems`: then nothing was loaded.

    `to_confirm`: the rows of ours that would be corrected; nothing is loaded until somebody says yes to that.
    """

    SCHEMA: ClassVar[str] = "kitwright.ports-loaded/2"
    MANY: ClassVar[str] = MANY


@dataclass(frozen=True)
class OwnPortTables(RowTables):
    """The tables of ports that the shop has loaded, oldest first."""

    SCHEMA: ClassVar[str] = "kitwright.own-ports/2"
    MANY: ClassVar[str] = MANY
    LOAD: ClassVar[str] = "kitwright port load FILE.csv --series NAME"


@dataclass(frozen=True)
class PortsDropped(RowsDropped):
    """A table that was dropped, and how many ports it had."""

    SCHEMA: ClassVar[str] = "kitwright.ports-dropped/2"
    MANY: ClassVar[str] = MANY


@dataclass(frozen=True)
class PortsExported(RowsExported):
    """How many tables and ports of the shop's own were written where."""

    SCHEMA: ClassVar[str] = "kitwright.ports-exported/2"
    MANY: ClassVar[str] = MANY


def ports_loaded(loaded: Loaded) -> PortsLoaded:
    """What was loaded, as an answer."""
    kept = tuple(own_table_of(one, corrected_by(orings.own_port.told(one.table))) for one in loaded.tables)
    return PortsLoaded(kept, loaded.unchanged, ())


def own_tables(kept: Sequence[Kept]) -> OwnPortTables:
    """The tables that are loaded, as an answer."""
    return OwnPortTables(tuple(own_table_of(one, corrected_by(orings.own_port.told(one.table))) for one in kept))


def corrected_by(said: Sequence[PortTold]) -> tuple[Corrected, ...]:
    """The rows of ours that others say something else of."""
    return tuple(
        Corrected(_name(one), orings.own_port.figures(one.ours), orings.own_port.figures(one.port))
        for one in said
        if one.word is orings.own_table.Word.CORRECTS and one.ours is not None
    )


def _name(one: PortTold) -> str:
    return f"{one.port.title}{f', tube {one.port.tube}' if one.port.tube else ''}"
