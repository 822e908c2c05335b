"""A shop's own tables of ring sizes."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from catalog.orings.own_table import OwnRow, OwnTable, own_sizes
from catalog.orings.size_book import SizeBook, built_in, with_own
from models.glance.asking import Look, ask
from models.storage.address import Server

_OWN: Final = """
SELECT series_folded, series, source, designation, id_tenth_um, id_tol_tenth_um, cross_section_tenth_um,
       cross_section_tol_tenth_um
FROM own_sizes WHERE withdrawn_by_id IS NULL ORDER BY id
"""
TENTH_UM_PER_MM: Final = 10_000


def own_tables(place: Path | Server) -> tuple[OwnTable, ...] | None:
    """The tables that are loaded, oldest first; None where a glance can't tell."""
    return ask(place, tables_seen)


def size_book(place: Path | Server) -> SizeBook:
    """Every size there is, the shop's own among them; the built-in ones where a glance can't tell."""
    found = own_tables(place)
    return with_own(own_sizes(found)) if found else built_in()


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
