"""A shop's own tables of grooves."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from catalog.orings.groove import Motion
from catalog.orings.groove_book import GrooveBook, built_in, with_own
from catalog.orings.own_groove import OwnGrooves, own_grooves
from catalog.orings.span import between
from catalog.orings.standard_grooves import FACE, RADIAL, GrooveRow
from catalog.standing import Standing
from models.glance import own_ports
from models.glance.asking import Look, ask
from models.storage.address import Server

_OWN: Final = """
SELECT series_folded, series, source, is_face, stands, reciprocates, pneumatic, medium, sizes, note, section_tenth_um,
       depth_min_tenth_um, depth_max_tenth_um, width_min_tenth_um, width_max_tenth_um, section_tol_tenth_um,
       width_one_backup_tenth_um, width_two_backups_tenth_um, clearance_max_tenth_um, squeeze_min_tenth_um,
       squeeze_max_tenth_um
FROM own_grooves WHERE withdrawn_by_id IS NULL ORDER BY id
"""
TENTH_UM_PER_MM: Final = 10_000


def own_groove_tables(place: Path | Server) -> tuple[OwnGrooves, ...] | None:
    """The tables that are loaded, oldest first; None where a glance can't tell."""
    return ask(place, tables_seen)


def groove_book(place: Path | Server) -> GrooveBook:
    """Every groove there is, with the shop's own and the rings its own ports take; the built-in ones where a glance
    can't tell.
    """
    return ask(place, book_seen) or built_in()


def book_seen(look: Look) -> GrooveBook:
    """The same, within a question."""
    return _book_of(tables_seen(look), own_ports.book_seen(look).own_ring_keys)


@lru_cache(maxsize=4)
def _book_of(given: tuple[OwnGrooves, ...], port_keys: frozenset[str]) -> GrooveBook:
    return with_own(own_grooves(given), port_keys)


def tables_seen(look: Look) -> tuple[OwnGrooves, ...]:
    """The tables that are loaded, within a question."""
    by_name: dict[str, list[tuple[Any, ...]]] = {}
    for row in look(_OWN):
        by_name.setdefault(row[0], []).append(row)
    return tuple(OwnGrooves(some[0][1], some[0][2], tuple(map(_row, some))) for some in by_name.values())


def _row(row: tuple[Any, ...]) -> GrooveRow:
    title, is_face, moves = row[1], row[3], zip(Motion, row[4:7], strict=True)
    medium, sizes, note = row[7:10]
    section, depth_min, depth_max, width_min, width_max = (one / TENTH_UM_PER_MM for one in row[10:15])
    section_tol, one_backup, two_backups, clearance, least, most = (
        None if one is None else one / TENTH_UM_PER_MM for one in row[15:]
    )
    return GrooveRow(
        title,
        FACE if is_face else RADIAL,
        tuple(motion for motion, said in moves if said),
        medium,
        sizes,
        section,
        section_tol,
        between(depth_min, depth_max),
        between(width_min, width_max),
        one_backup,
        two_backups,
        clearance,
        None if least is None or most is None else (least, most),
        None,
        "",
        Standing.SHOP,
        note,
    )
