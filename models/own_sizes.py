"""A shop's own tables of ring sizes: load, drop, list. What they say of our rows: `catalog.orings.own_table`."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Final, TypeAlias

from sqlmodel import Session

from catalog.orings import groove_book
from catalog.orings.groove_book import GrooveBook
from catalog.orings.own_table import LONGEST, Comparison, OwnRow, OwnTable, Word, full_name, own_sizes, told
from catalog.orings.own_table_csv import written
from catalog.orings.size_book import SizeBook, with_own
from catalog.orings.size_rules import folded
from models import own_grooves, own_rows
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.own_rows import TENTH_UM_PER_MM
from models.own_rows import as_typed as as_typed
from models.tables import OwnSize
from models.text import clean

Kept: TypeAlias = own_rows.Kept[OwnTable]
Loaded: TypeAlias = own_rows.Loaded[OwnTable]


def size_book(session: Session) -> SizeBook:
    """Every ring size there is, the shop's own among them, with its own grooves.

    The same book for as long as the tables stay the same.
    """
    grooves = own_grooves.groove_book(session)
    return _book_of(tables(session), None if grooves is groove_book.built_in() else grooves)


@lru_cache(maxsize=4)
def _book_of(given: tuple[OwnTable, ...], grooves: GrooveBook | None) -> SizeBook:
    return with_own(own_sizes(given), grooves)


def load(session: Session, act: Act, given: Sequence[OwnTable]) -> Loaded:
    """Keep these tables, all or none. One that is loaded already, word for word, is left alone.

    Raises `InvalidInputError` for words that can't be kept, `AlreadyThereError` where another table has the name.
    """
    given = [_cleaned(one) for one in given]
    made = claim(session, act, "own_sizes.load", own_rows.in_short(given))
    return KEEPING.load(session, made.action_id, given, first=made.first)


def corrections(session: Session, given: Sequence[OwnTable]) -> tuple[Comparison, ...]:
    """What these tables would correct of our rows, those left out that are loaded already, word for word.

    A person says yes to that before `load`.
    """
    return tuple(one for table in KEEPING.new(session, given) for one in told(table) if one.word is Word.CORRECTS)


def drop(session: Session, act: Act, series: str) -> OwnTable:
    """Withdraw a table; it stays on record, and undo puts it back. Raises `NotFoundError`."""
    made = claim(session, act, "own_sizes.drop", series[:200])
    return KEEPING.drop(session, made.action_id, series, first=made.first)


def to_csv(given: Sequence[OwnTable]) -> str:
    """The tables as CSV that `load` takes in another shop. No cell can run as a formula."""
    return own_rows.as_csv(written(given))


def _table(rows: Sequence[OwnSize]) -> OwnTable:
    return OwnTable(
        rows[0].series,
        rows[0].source,
        tuple(
            OwnRow(
                row.designation,
                row.id_tenth_um / TENTH_UM_PER_MM,
                row.id_tol_tenth_um / TENTH_UM_PER_MM,
                row.cross_section_tenth_um / TENTH_UM_PER_MM,
                row.cross_section_tol_tenth_um / TENTH_UM_PER_MM,
            )
            for row in rows
        ),
    )


def _row(action_id: int, table: OwnTable, row: OwnRow) -> OwnSize:
    inner, inner_tol, section, section_tol = map(own_rows.tenth_um, row[1:])
    return OwnSize(
        action_id=action_id,
        series=table.title,
        series_folded=folded(table.title),
        source=table.source,
        designation=row.designation,
        designation_folded=folded(row.designation),
        id_tenth_um=inner,
        id_tol_tenth_um=inner_tol,
        cross_section_tenth_um=section,
        cross_section_tol_tenth_um=section_tol,
    )


def _cleaned(table: OwnTable) -> OwnTable:
    rows = tuple(row._replace(designation=clean(row.designation, "designation", limit=LONGEST)) for row in table.rows)
    return OwnTable(*own_rows.table_words(table), rows)


def _words(table: OwnTable) -> list[Word]:
    return [one.word for one in told(table)]


def _refuse_mixed(all_of_them: Sequence[OwnTable]) -> None:
    """No two sizes may go by one name, also where the names of their tables run into their own."""
    seen: dict[str, str] = {}
    for table in all_of_them:
        for row in table.rows:
            name = full_name(table.title, row.designation)
            other = seen.setdefault(folded(name), table.title)
            if folded(other) != folded(table.title):
                raise InvalidInputError(
                    f"“{name}” would be a size of “{other}” and of “{table.title}”.", "Give the table another name."
                )


KEEPING: Final = own_rows.Keeping(OwnSize, _table, _row, _cleaned, _words, _refuse_mixed)
tables = KEEPING.tables
listed = KEEPING.listed
stands = KEEPING.stands
undo = KEEPING.undo
