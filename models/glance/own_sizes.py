"""A shop's own tables of ring sizes."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import models
from catalog.orings.own_table import OwnRow, OwnTable, own_sizes
from catalog.orings.size_book import SizeBook, built_in, with_own
from models.glance.asking import Look, ask
from models.storage.address import Server

if TYPE_CHECKING:
    from catalog.orings.groove_book import GrooveBook

_OWN: Final = """
SELECT series_folded, series, source, designation, id_tenth_um, id_tol_tenth_um, cross_section_tenth_um,
       cross_section_tol_tenth_um
FROM own_sizes WHERE withdrawn_by_id IS NULL ORDER BY id
"""
_SEATED: Final = """
SELECT 1 FROM own_grooves WHERE withdrawn_by_id IS NULL
UNION ALL SELECT 1 FROM own_ports WHERE withdrawn_by_id IS NULL LIMIT 1
"""
"""Whether it has grooves or ports of its own: only then is what reads them loaded."""
TENTH_UM_PER_MM: Final = 10_000


def own_tables(place: Path | Server) -> tuple[OwnTable, ...] | None:
    """The tables that are loaded, oldest first; None where a glance can't tell."""
    return ask(place, tables_seen)


def size_book(place: Path | Server) -> SizeBook:
    """Every size there is, the shop's own among them; the built-in ones where a glance can't tell."""
    return ask(place, book_seen) or built_in()


def book_seen(look: Look) -> SizeBook:
    """The same, within a question; with the shop's own grooves, and the rings its own ports take."""
    grooves = models.glance.own_grooves.book_seen(look) if look(_SEATED) else None
    return _book_of(tables_seen(look), grooves)


@lru_cache(maxsize=4)
def _book_of(given: tuple[OwnTable, ...], grooves: GrooveBook | None) -> SizeBook:
    return with_own(own_sizes(given), grooves)


def tables_seen(look: Look) -> tuple[OwnTable, ...]:
    """The tables that are loaded, within a question."""
    by_name: dict[str, list[tuple[Any, ...]]] = {}
    for row in look(_OWN):
        by_name.setdefault(row[0], []).append(row)
    return tuple(
        OwnTable(
            some[0][1],
            some[0][2],
            tuple(OwnRow(row[3], *(figure / TENTH_UM_PER_MM for figure in row[4:])) for row in some),
        )
        for some in by_name.values()
    )
