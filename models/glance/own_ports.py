"""A shop's own tables of ports."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from catalog.orings.joints import PortSeal
from catalog.orings.own_port import OwnPorts, PortRow, own_ports
from catalog.orings.port_book import PortBook, built_in, with_own
from models.glance.asking import Look, ask
from models.storage.address import Server

_OWN: Final = """
SELECT series_folded, series, source, thread, seal, standard, tube, ring_key, plug, ring_sits, note,
       chamfer_thousandth_deg, ring_id_tenth_um, ring_id_tol_tenth_um, ring_section_tenth_um, ring_section_tol_tenth_um
FROM own_ports WHERE withdrawn_by_id IS NULL ORDER BY id
"""
TENTH_UM_PER_MM: Final = 10_000
THOUSANDTHS: Final = 1000


def own_port_tables(place: Path | Server) -> tuple[OwnPorts, ...] | None:
    """The tables that are loaded, oldest first; None where a glance can't tell."""
    return ask(place, tables_seen)


def port_book(place: Path | Server) -> PortBook:
    """Every port there is, the shop's own among them; the built-in ones where a glance can't tell."""
    return ask(place, book_seen) or built_in()


def book_seen(look: Look) -> PortBook:
    """The same, within a question."""
    return _book_of(tables_seen(look))


@lru_cache(maxsize=4)
def _book_of(given: tuple[OwnPorts, ...]) -> PortBook:
    return with_own(own_ports(given))


def tables_seen(look: Look) -> tuple[OwnPorts, ...]:
    """The tables that are loaded, within a question. Raises ValueError for a word that is none of its column's."""
    by_name: dict[str, list[tuple[Any, ...]]] = {}
    for row in look(_OWN):
        by_name.setdefault(row[0], []).append(row)
    return tuple(OwnPorts(some[0][1], some[0][2], tuple(map(_row, some))) for some in by_name.values())


def _row(row: tuple[Any, ...]) -> PortRow:
    thread, seal, standard, tube, ring_key, plug, ring_sits, note, degrees = row[3:12]
    figures = [one / TENTH_UM_PER_MM for one in row[12:] if one is not None]
    return PortRow(
        thread,
        PortSeal(seal),
        standard,
        tube,
        ring_key,
        (figures[0], figures[1], figures[2], figures[3]) if len(figures) == len(row[12:]) else None,
        None if degrees is None else degrees / THOUSANDTHS,
        plug,
        ring_sits,
        note,
    )
