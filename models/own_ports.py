"""A shop's own tables of ports: load, drop, list. What they say of our rows: `catalog.orings.own_port`."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final, TypeAlias

from sqlmodel import Session

from catalog.orings.own_port import OwnPorts, PortRow, PortTold, own_ports, told
from catalog.orings.own_port_csv import LONGEST, written
from catalog.orings.own_table import Word
from catalog.orings.port_book import PortBook, with_own
from catalog.orings.size_rules import folded
from models import own_rows
from models.actions import claim
from models.acts import Act
from models.own_rows import TENTH_UM_PER_MM
from models.tables import OwnPort
from models.text import clean

Kept: TypeAlias = own_rows.Kept[OwnPorts]
Loaded: TypeAlias = own_rows.Loaded[OwnPorts]
THOUSANDTHS: Final = 1000


def port_book(session: Session) -> PortBook:
    """Every port there is, the shop's own among them; the same book for as long as the tables stay the same."""
    return _book_of(tables(session))


@lru_cache(maxsize=4)
def _book_of(given: tuple[OwnPorts, ...]) -> PortBook:
    return with_own(own_ports(given))


def load(session: Session, act: Act, given: Sequence[OwnPorts]) -> Loaded:
    """Keep these tables, all or none. One that is loaded already, word for word, is left alone.

    Raises `InvalidInputError` for words that can't be kept, `AlreadyThereError` where another table has the name.
    """
    given = [_cleaned(one) for one in given]
    made = claim(session, act, "own_ports.load", own_rows.in_short(given))
    return KEEPING.load(session, made.action_id, given, first=made.first)


def corrections(session: Session, given: Sequence[OwnPorts]) -> tuple[PortTold, ...]:
    """What these tables would correct of our rows, those left out that are loaded already, word for word.

    A person says yes to that before `load`.
    """
    return tuple(one for table in KEEPING.new(session, given) for one in told(table) if one.word is Word.CORRECTS)


def drop(session: Session, act: Act, series: str) -> OwnPorts:
    """Withdraw a table; it stays on record, and undo puts it back. Raises `NotFoundError`."""
    made = claim(session, act, "own_ports.drop", series[:200])
    return KEEPING.drop(session, made.action_id, series, first=made.first)


def to_csv(given: Sequence[OwnPorts]) -> str:
    """The tables as CSV that `load` takes in another shop. No cell can run as a formula."""
    return own_rows.as_csv(written(given))


def _table(rows: Sequence[OwnPort]) -> OwnPorts:
    return OwnPorts(rows[0].series, rows[0].source, tuple(map(_read, rows)))


def _read(row: OwnPort) -> PortRow:
    kept = (row.ring_id_tenth_um, row.ring_id_tol_tenth_um, row.ring_section_tenth_um, row.ring_section_tol_tenth_um)
    figures = [one / TENTH_UM_PER_MM for one in kept if one is not None]
    return PortRow(
        row.thread,
        row.seal,
        row.standard,
        row.tube,
        row.ring_key,
        (figures[0], figures[1], figures[2], figures[3]) if len(figures) == len(kept) else None,
        None if row.chamfer_thousandth_deg is None else row.chamfer_thousandth_deg / THOUSANDTHS,
        row.plug,
        row.ring_sits,
        row.note,
    )


def _row(action_id: int, table: OwnPorts, row: PortRow) -> OwnPort:
    figures: Sequence[int | None] = (None,) * 4 if row.ring_mm is None else [*map(own_rows.tenth_um, row.ring_mm)]
    inner, inner_tol, section, section_tol = figures
    return OwnPort(
        action_id=action_id,
        series=table.title,
        series_folded=folded(table.title),
        source=table.source,
        joint_folded=row.folded,
        standard=row.standard,
        thread=row.thread,
        seal=row.seal,
        tube=row.tube,
        ring_key=row.ring_key,
        ring_id_tenth_um=inner,
        ring_id_tol_tenth_um=inner_tol,
        ring_section_tenth_um=section,
        ring_section_tol_tenth_um=section_tol,
        chamfer_thousandth_deg=None if row.chamfer_deg is None else round(row.chamfer_deg * THOUSANDTHS),
        plug=row.plug,
        ring_sits=row.ring_sits,
        note=row.note,
    )


def _cleaned(table: OwnPorts) -> OwnPorts:
    def text(what: str, said: str) -> str:
        return clean(said, what.replace("_", " "), limit=LONGEST[what], empty=what != "thread")

    rows = tuple(
        row._replace(
            thread=text("thread", row.thread),
            standard=text("standard", row.standard),
            tube=text("tube", row.tube),
            plug=text("plug", row.plug),
            ring_sits=text("ring_sits", row.ring_sits),
            note=text("note", row.note),
            chamfer_deg=None if row.chamfer_deg is None else round(row.chamfer_deg, 3),
        )
        for row in table.rows
    )
    return OwnPorts(*own_rows.table_words(table), rows)


def _words(table: OwnPorts) -> list[Word]:
    return [one.word for one in told(table)]


def _refuse_mixed(_: Sequence[OwnPorts]) -> None:
    """Any tables of ports stand together: of two that speak of one joint the later holds."""


KEEPING: Final = own_rows.Keeping(OwnPort, _table, _row, _cleaned, _words, _refuse_mixed)
tables = KEEPING.tables
listed = KEEPING.listed
stands = KEEPING.stands
undo = KEEPING.undo
