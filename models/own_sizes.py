"""A shop's own tables of ring sizes: load, drop, list. What they say of our rows: `catalog.orings.own_table`."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import datetime
from functools import lru_cache
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from catalog.orings.own_table import LONGEST, Comparison, OwnRow, OwnTable, Word, full_name, own_sizes, told
from catalog.orings.own_table_csv import LONGEST_SERIES, LONGEST_SOURCE, delimiter_of, written
from catalog.orings.size_book import SizeBook, with_own
from catalog.orings.size_rules import folded
from models.actions import claim
from models.acts import Act
from models.csv_cells import neutral, plain
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError, NotFoundError
from models.tables import Action, OwnSize
from models.text import clean

TENTH_UM_PER_MM: Final = 10_000
MOST: Final = 20_000
"""No shop has more rows than this in all its tables: every answer goes over them."""


class Kept(NamedTuple):
    """A table that is loaded: who loaded it and when, and how many of its rows say what of ours."""

    table: OwnTable
    who: str
    at: datetime
    confirms: int
    corrects: int
    new: int


class Loaded(NamedTuple):
    """What came of loading: the tables that are new, and the names of those that were loaded already, word for word."""

    tables: tuple[Kept, ...]
    unchanged: tuple[str, ...]


def tables(session: Session) -> tuple[OwnTable, ...]:
    """The tables that are loaded, oldest first."""
    return tuple(table for table, _ in _standing(session))


def size_book(session: Session) -> SizeBook:
    """Every ring size there is, the shop's own among them; the same book for as long as the tables stay the same."""
    return _book_of(tables(session))


@lru_cache(maxsize=4)
def _book_of(given: tuple[OwnTable, ...]) -> SizeBook:
    return with_own(own_sizes(given))


def listed(session: Session) -> tuple[Kept, ...]:
    """The tables that are loaded, oldest first, with who loaded them and what they say."""
    found = _standing(session)
    actions = {one: session.get_one(Action, one) for one in {action_id for _, action_id in found}}
    return tuple(_kept(table, actions[action_id]) for table, action_id in found)


def load(session: Session, act: Act, given: Sequence[OwnTable]) -> Loaded:
    """Keep these tables, all or none. One that is loaded already, word for word, is left alone.

    Raises `InvalidInputError` for words that can't be kept, `AlreadyThereError` where another table has the name.
    """
    given = [_cleaned(one) for one in given]
    names = ", ".join(f"{one.title} ({len(one.rows)})" for one in given)
    made = claim(session, act, "own_sizes.load", names[:200])
    if made.first:
        standing = {folded(one.title): one for one in tables(session)}
        new = [one for one in given if one != standing.get(folded(one.title))]
        for one in new:
            if folded(one.title) in standing:
                raise AlreadyThereError(f"The shop has another table “{one.title}” already.", "Drop that one first.")
        _refuse_mixed([*standing.values(), *new])
        session.add_all([_row(made.action_id, one, row) for one in new for row in one.rows])
        session.flush()
    mine = tuple(one for one in _standing(session) if one[1] == made.action_id)
    loaded = {folded(table.title) for table, _ in mine}
    action = session.get_one(Action, made.action_id)
    return Loaded(
        tuple(_kept(table, action) for table, _ in mine),
        tuple(one.title for one in given if folded(one.title) not in loaded),
    )


def corrections(session: Session, given: Sequence[OwnTable]) -> tuple[Comparison, ...]:
    """What these tables would correct of our rows, those left out that are loaded already, word for word.

    A person says yes to that before `load`.
    """
    standing = {folded(one.title): one for one in tables(session)}
    new = [one for one in map(_cleaned, given) if one != standing.get(folded(one.title))]
    return tuple(one for table in new for one in told(table) if one.word is Word.CORRECTS)


def drop(session: Session, act: Act, series: str) -> OwnTable:
    """Withdraw a table; it stays on record, and undo puts it back. Raises `NotFoundError`."""
    known = {folded(table.title): (table, action_id) for table, action_id in _standing(session)}
    found = known.get(folded(series))
    made = claim(session, act, "own_sizes.drop", series[:200])
    if not made.first:
        rows = session.exec(select(OwnSize).where(OwnSize.withdrawn_by_id == made.action_id).order_by(col(OwnSize.id)))
        return _table(rows.all())
    if found is None:
        names = ", ".join(f"“{table.title}”" for table, _ in known.values())
        raise NotFoundError(
            f"The shop has no table “{series}” of its own.", f"It has {names}." if names else "None is loaded."
        )
    for row in _rows(session):
        if row.series_folded == folded(series):
            row.withdrawn_by_id = made.action_id
    session.flush()
    return found[0]


def stands(session: Session, done: Action) -> bool:
    """Whether a table that an action loaded still stands, or one it dropped is still dropped by it."""
    said = (col(OwnSize.action_id) == done.id) & col(OwnSize.withdrawn_by_id).is_(None)
    wanted = said | (col(OwnSize.withdrawn_by_id) == done.id)
    return session.exec(select(OwnSize.id).where(wanted).limit(1)).first() is not None


def undo(session: Session, action_id: int, done: Action, what: str) -> None:
    """Take back the action: what it loaded is withdrawn by the undo, what it dropped stands again.

    Raises `CannotUndoError` where that was dropped since, or another table took its name.
    """
    loaded = session.exec(select(OwnSize).where(OwnSize.action_id == done.id)).all()
    if any(row.withdrawn_by_id is not None for row in loaded):
        raise CannotUndoError(f"Undoing {what}: it was dropped since.", "List the tables again.")
    for row in loaded:
        row.withdrawn_by_id = action_id
    session.flush()
    dropped = session.exec(select(OwnSize).where(OwnSize.withdrawn_by_id == done.id).order_by(col(OwnSize.id))).all()
    if dropped:
        back = _table(dropped)
        standing = tables(session)
        if any(folded(one.title) == folded(back.title) for one in standing):
            raise CannotUndoError(f"Undoing {what}: the shop has another table “{back.title}” now.", "Drop that first.")
        try:
            _refuse_mixed([*standing, back])
        except InvalidInputError as problem:
            raise CannotUndoError(f"Undoing {what}: {problem.happened}", problem.to_do) from problem
        for row in dropped:
            row.withdrawn_by_id = None
        session.flush()


def _rows(session: Session) -> Sequence[OwnSize]:
    found = select(OwnSize).where(col(OwnSize.withdrawn_by_id).is_(None)).order_by(col(OwnSize.id))
    return session.exec(found).all()


def _standing(session: Session) -> list[tuple[OwnTable, int]]:
    """The tables with the action that loaded each."""
    by_name: dict[str, list[OwnSize]] = {}
    for row in _rows(session):
        by_name.setdefault(row.series_folded, []).append(row)
    return [(_table(rows), rows[0].action_id) for rows in by_name.values()]


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
    inner, inner_tol, section, section_tol = (round(figure * TENTH_UM_PER_MM) for figure in row[1:])
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
    title = clean(table.title, "series", limit=LONGEST_SERIES)
    source = clean(table.source, "source", limit=LONGEST_SOURCE, empty=True)
    rows = tuple(row._replace(designation=clean(row.designation, "designation", limit=LONGEST)) for row in table.rows)
    return OwnTable(title, source, rows)


def _refuse_mixed(all_of_them: Sequence[OwnTable]) -> None:
    """No two sizes may go by one name, also where the names of their tables run into their own; nor too many."""
    if sum(len(one.rows) for one in all_of_them) > MOST:
        raise InvalidInputError(f"That would be more than {MOST:,} rows in all.", "Drop a table first.")
    seen: dict[str, str] = {}
    for table in all_of_them:
        for row in table.rows:
            name = full_name(table.title, row.designation)
            other = seen.setdefault(folded(name), table.title)
            if folded(other) != folded(table.title):
                raise InvalidInputError(
                    f"“{name}” would be a size of “{other}” and of “{table.title}”.", "Give the table another name."
                )


def _kept(table: OwnTable, action: Action) -> Kept:
    words = [one.word for one in told(table)]
    counts = (words.count(word) for word in (Word.CONFIRMS, Word.CORRECTS, Word.NEW))
    return Kept(table, action.who, action.at, *counts)


def to_csv(given: Sequence[OwnTable]) -> str:
    """The tables as CSV that `load` takes in another shop. No cell can run as a formula."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows([[neutral(cell) for cell in line] for line in written(given)])
    return text.getvalue()


def as_typed(text: str) -> str:
    """The same CSV, its cells without what keeps a spreadsheet from running them."""
    if "'" not in text:
        return text  # untouched, so that a problem is told with the line it stands on
    delimiter = delimiter_of(text)
    out = io.StringIO(newline="")
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))
    except csv.Error:
        return text
    csv.writer(out, delimiter=delimiter, lineterminator="\n").writerows([[plain(cell) for cell in row] for row in rows])
    return out.getvalue()
