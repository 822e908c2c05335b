"""A shop's own tables of grooves: load, drop, list. What they say of our rows: `catalog.orings.own_groove`."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final, TypeAlias

from sqlmodel import Session

from catalog.orings.groove import Motion
from catalog.orings.groove_book import GrooveBook, with_own
from catalog.orings.groove_rules import row_key
from catalog.orings.own_groove import GrooveTold, OwnGrooves, own_grooves, told
from catalog.orings.own_groove_csv import LONGEST, written
from catalog.orings.own_table import Word
from catalog.orings.size_rules import folded
from catalog.orings.span import between
from catalog.orings.standard_grooves import FACE, RADIAL, GrooveRow
from catalog.standing import Standing
from models import own_ports, own_rows
from models.actions import claim
from models.acts import Act
from models.own_rows import TENTH_UM_PER_MM
from models.tables import OwnGroove
from models.text import clean

Kept: TypeAlias = own_rows.Kept[OwnGrooves]
Loaded: TypeAlias = own_rows.Loaded[OwnGrooves]


def groove_book(session: Session) -> GrooveBook:
    """Every groove there is, the shop's own among them, with the rings its own ports take; the same book for as long as
    the tables stay the same.
    """
    return _book_of(tables(session), own_ports.port_book(session).own_ring_keys)


@lru_cache(maxsize=4)
def _book_of(given: tuple[OwnGrooves, ...], port_keys: frozenset[str]) -> GrooveBook:
    return with_own(own_grooves(given), port_keys)


def load(session: Session, act: Act, given: Sequence[OwnGrooves]) -> Loaded:
    """Keep these tables, all or none. One that is loaded already, word for word, is left alone.

    Raises `InvalidInputError` for words that can't be kept, `AlreadyThereError` where another table has the name.
    """
    given = [_cleaned(one) for one in given]
    made = claim(session, act, "own_grooves.load", own_rows.in_short(given))
    return KEEPING.load(session, made.action_id, given, first=made.first)


def corrections(session: Session, given: Sequence[OwnGrooves]) -> tuple[GrooveTold, ...]:
    """What these tables would correct of our rows, those left out that are loaded already, word for word.

    A person says yes to that before `load`.
    """
    return tuple(one for table in KEEPING.new(session, given) for one in told(table) if one.word is Word.CORRECTS)


def drop(session: Session, act: Act, series: str) -> OwnGrooves:
    """Withdraw a table; it stays on record, and undo puts it back. Raises `NotFoundError`."""
    made = claim(session, act, "own_grooves.drop", series[:200])
    return KEEPING.drop(session, made.action_id, series, first=made.first)


def to_csv(given: Sequence[OwnGrooves]) -> str:
    """The tables as CSV that `load` takes in another shop. No cell can run as a formula."""
    return own_rows.as_csv(written(given))


def _table(rows: Sequence[OwnGroove]) -> OwnGrooves:
    return OwnGrooves(rows[0].series, rows[0].source, tuple(map(_read, rows)))


def _mm(length: int) -> float:
    return length / TENTH_UM_PER_MM


def _may(length: int | None) -> float | None:
    return None if length is None else length / TENTH_UM_PER_MM


def _read(row: OwnGroove) -> GrooveRow:
    moves = ((Motion.STATIC, row.stands), (Motion.RECIPROCATING, row.reciprocates), (Motion.PNEUMATIC, row.pneumatic))
    least, most = _may(row.squeeze_min_tenth_um), _may(row.squeeze_max_tenth_um)
    return GrooveRow(
        row.series,
        FACE if row.is_face else RADIAL,
        tuple(motion for motion, said in moves if said),
        row.medium,
        row.sizes,
        _mm(row.section_tenth_um),
        _may(row.section_tol_tenth_um),
        between(_mm(row.depth_min_tenth_um), _mm(row.depth_max_tenth_um)),
        between(_mm(row.width_min_tenth_um), _mm(row.width_max_tenth_um)),
        _may(row.width_one_backup_tenth_um),
        _may(row.width_two_backups_tenth_um),
        _may(row.clearance_max_tenth_um),
        None if least is None or most is None else (least, most),
        None,
        "",
        Standing.SHOP,
        row.note,
    )


def _row(action_id: int, table: OwnGrooves, row: GrooveRow) -> OwnGroove:
    def may(length: float | None) -> int | None:
        return None if length is None else own_rows.tenth_um(length)

    squeeze = row.printed_squeeze_mm or (None, None)
    return OwnGroove(
        action_id=action_id,
        series=table.title,
        series_folded=folded(table.title),
        source=table.source,
        groove_folded="|".join(map(str, row_key(row)[1:])),
        is_face=row.use == FACE,
        stands=Motion.STATIC in row.motions,
        reciprocates=Motion.RECIPROCATING in row.motions,
        pneumatic=Motion.PNEUMATIC in row.motions,
        medium=row.medium,
        sizes=row.series,
        section_tenth_um=own_rows.tenth_um(row.section_mm),
        section_tol_tenth_um=may(row.section_tol_mm),
        depth_min_tenth_um=own_rows.tenth_um(row.depth.minimum),
        depth_max_tenth_um=own_rows.tenth_um(row.depth.maximum),
        width_min_tenth_um=own_rows.tenth_um(row.width.minimum),
        width_max_tenth_um=own_rows.tenth_um(row.width.maximum),
        width_one_backup_tenth_um=may(row.width_one_backup_mm),
        width_two_backups_tenth_um=may(row.width_two_backups_mm),
        clearance_max_tenth_um=may(row.clearance_max_mm),
        squeeze_min_tenth_um=may(squeeze[0]),
        squeeze_max_tenth_um=may(squeeze[1]),
        note=row.note,
    )


def _cleaned(table: OwnGrooves) -> OwnGrooves:
    title, source = own_rows.table_words(table)

    def text(what: str, said: str) -> str:
        return clean(said, what, limit=LONGEST[what], empty=True)

    rows = tuple(
        row._replace(
            table=title,
            medium=text("medium", row.medium),
            series=text("sizes", row.series),
            note=text("note", row.note),
        )
        for row in table.rows
    )
    return OwnGrooves(title, source, rows)


def _words(table: OwnGrooves) -> list[Word]:
    return [one.word for one in told(table)]


def _refuse_mixed(_: Sequence[OwnGrooves]) -> None:
    """Any tables of grooves stand together: of two that speak of one groove the later holds."""


KEEPING: Final = own_rows.Keeping(OwnGroove, _table, _row, _cleaned, _words, _refuse_mixed)
tables = KEEPING.tables
listed = KEEPING.listed
stands = KEEPING.stands
undo = KEEPING.undo
