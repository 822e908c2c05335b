"""What a shop's own tables have in common, of sizes, ports or grooves: loaded whole or not at all, listed, dropped.

A row is never edited, only withdrawn, so undo puts back what was dropped and withdraws what was loaded.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, Generic, NamedTuple, Protocol, TypeVar

from sqlmodel import Session, col, select

from catalog.orings.own_csv import LONGEST_SERIES, LONGEST_SOURCE, delimiter_of
from catalog.orings.own_table import Word
from catalog.orings.size_rules import folded
from models.csv_cells import neutral, plain
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError, NotFoundError
from models.tables import Action, OwnGroove, OwnPort, OwnSize
from models.text import clean

TENTH_UM_PER_MM: Final = 10_000
MOST: Final = 20_000
"""No shop has more rows than this in all its tables of a kind: every answer goes over them."""


class Titled(Protocol):
    """A table of the shop's own, of whatever."""

    @property
    def title(self) -> str:
        """What it is called."""

    @property
    def source(self) -> str:
        """Where it is from."""

    @property
    def rows(self) -> tuple[Any, ...]:
        """What it says, in order."""


Own = TypeVar("Own", bound=Titled)


class Kept(NamedTuple, Generic[Own]):
    """A table that is loaded: who loaded it and when, and how many of its rows say what of ours."""

    table: Own
    who: str
    at: datetime
    confirms: int
    corrects: int
    new: int


class Loaded(NamedTuple, Generic[Own]):
    """What came of loading: the tables that are new, and the names of those that were loaded already, word for word."""

    tables: tuple[Kept[Own], ...]
    unchanged: tuple[str, ...]


@dataclass(frozen=True)
class Keeping(Generic[Own]):
    """How tables of one kind are kept. `rows`: the database's table of them.

    `table_of` and `row_of` read and make its rows; `cleaned`: a table with its texts as they are kept, or
    `InvalidInputError`; `words`: what each row says of ours; `refuse_mixed`: raises where tables can't stand together.
    """

    rows: type[OwnSize] | type[OwnPort] | type[OwnGroove]
    table_of: Callable[[Sequence[Any]], Own]
    row_of: Callable[[int, Own, Any], OwnSize | OwnPort | OwnGroove]
    cleaned: Callable[[Own], Own]
    words: Callable[[Own], Iterable[Word]]
    refuse_mixed: Callable[[Sequence[Own]], None]

    def tables(self, session: Session) -> tuple[Own, ...]:
        """The tables that are loaded, oldest first."""
        return tuple(table for table, _ in self._standing(session))

    def listed(self, session: Session) -> tuple[Kept[Own], ...]:
        """The tables that are loaded, oldest first, with who loaded them and what they say."""
        found = self._standing(session)
        actions = {one: session.get_one(Action, one) for one in {action_id for _, action_id in found}}
        return tuple(self._kept(table, actions[action_id]) for table, action_id in found)

    def new(self, session: Session, given: Sequence[Own]) -> list[Own]:
        """Those of the tables that are not loaded already, word for word."""
        standing = {folded(one.title): one for one in self.tables(session)}
        return [one for one in map(self.cleaned, given) if one != standing.get(folded(one.title))]

    def load(self, session: Session, action_id: int, given: Sequence[Own], *, first: bool) -> Loaded[Own]:
        """Keep these tables, all or none; `first`: the action was not done before.

        Raises `InvalidInputError` for words that can't be kept, `AlreadyThereError` where another table has the name.
        """
        if first:
            standing = {folded(one.title): one for one in self.tables(session)}
            new = self.new(session, given)
            for one in new:
                if folded(one.title) in standing:
                    raise AlreadyThereError(
                        f"The shop has another table “{one.title}” already.", "Drop that one first."
                    )
            together = [*standing.values(), *new]
            if sum(len(one.rows) for one in together) > MOST:
                raise InvalidInputError(f"That would be more than {MOST:,} rows in all.", "Drop a table first.")
            self.refuse_mixed(together)
            session.add_all([self.row_of(action_id, one, row) for one in new for row in one.rows])
            session.flush()
        mine = [table for table, by in self._standing(session) if by == action_id]
        loaded = {folded(table.title) for table in mine}
        action = session.get_one(Action, action_id)
        titles = (clean(one.title, "series", limit=LONGEST_SERIES) for one in given)
        return Loaded(
            tuple(self._kept(table, action) for table in mine),
            tuple(title for title in titles if folded(title) not in loaded),
        )

    def drop(self, session: Session, action_id: int, series: str, *, first: bool) -> Own:
        """Withdraw a table; it stays on record, and undo puts it back. Raises `NotFoundError`."""
        rows = self.rows
        if not first:
            gone = session.exec(select(rows).where(col(rows.withdrawn_by_id) == action_id).order_by(col(rows.id)))
            return self.table_of(gone.all())
        known = {folded(table.title): table for table, _ in self._standing(session)}
        found = known.get(folded(series))
        if found is None:
            names = ", ".join(f"“{table.title}”" for table in known.values())
            raise NotFoundError(
                f"The shop has no table “{series}” of its own.", f"It has {names}." if names else "None is loaded."
            )
        for row in self._rows(session):
            if row.series_folded == folded(series):
                row.withdrawn_by_id = action_id
        session.flush()
        return found

    def stands(self, session: Session, done: Action) -> bool:
        """Whether a table that an action loaded still stands, or one it dropped is still dropped by it."""
        rows = self.rows
        said = (col(rows.action_id) == done.id) & col(rows.withdrawn_by_id).is_(None)
        wanted = said | (col(rows.withdrawn_by_id) == done.id)
        return session.exec(select(rows.id).where(wanted).limit(1)).first() is not None

    def undo(self, session: Session, action_id: int, done: Action, what: str) -> None:
        """Take back the action: what it loaded is withdrawn by the undo, what it dropped stands again.

        Raises `CannotUndoError` where that was dropped since, or another table took its name.
        """
        rows = self.rows
        loaded: Sequence[Any] = session.exec(select(rows).where(col(rows.action_id) == done.id)).all()
        if any(row.withdrawn_by_id is not None for row in loaded):
            raise CannotUndoError(f"Undoing {what}: it was dropped since.", "List the tables again.")
        for row in loaded:
            row.withdrawn_by_id = action_id
        session.flush()
        dropped = session.exec(select(rows).where(col(rows.withdrawn_by_id) == done.id).order_by(col(rows.id))).all()
        if not dropped:
            return
        back = self.table_of(dropped)
        standing = self.tables(session)
        if any(folded(one.title) == folded(back.title) for one in standing):
            raise CannotUndoError(f"Undoing {what}: the shop has another table “{back.title}” now.", "Drop that first.")
        try:
            self.refuse_mixed([*standing, back])
        except InvalidInputError as problem:
            raise CannotUndoError(f"Undoing {what}: {problem.happened}", problem.to_do) from problem
        for row in dropped:
            row.withdrawn_by_id = None
        session.flush()

    def _rows(self, session: Session) -> Sequence[Any]:
        rows = self.rows
        return session.exec(select(rows).where(col(rows.withdrawn_by_id).is_(None)).order_by(col(rows.id))).all()

    def _standing(self, session: Session) -> list[tuple[Own, int]]:
        """The tables with the action that loaded each."""
        by_name: dict[str, list[Any]] = {}
        for row in self._rows(session):
            by_name.setdefault(row.series_folded, []).append(row)
        return [(self.table_of(some), some[0].action_id) for some in by_name.values()]

    def _kept(self, table: Own, action: Action) -> Kept[Own]:
        words = list(self.words(table))
        counts = (words.count(word) for word in (Word.CONFIRMS, Word.CORRECTS, Word.NEW))
        return Kept(table, action.who, action.at, *counts)


def in_short(given: Sequence[Titled]) -> str:
    """The tables for the log: each with how many rows it has."""
    return ", ".join(f"{one.title} ({len(one.rows)})" for one in given)[:200]


def table_words(table: Titled) -> tuple[str, str]:
    """A table's name and source as they are kept. Raises `InvalidInputError`."""
    return (
        clean(table.title, "series", limit=LONGEST_SERIES),
        clean(table.source, "source", limit=LONGEST_SOURCE, empty=True),
    )


def tenth_um(length_mm: float) -> int:
    """A length as it is kept."""
    return round(length_mm * TENTH_UM_PER_MM)


def as_csv(lines: Iterable[Sequence[str]]) -> str:
    """These lines as CSV. No cell can run as a formula."""
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows([[neutral(cell) for cell in line] for line in lines])
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
