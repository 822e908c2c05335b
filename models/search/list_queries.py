"""The ways to look into the suppliers' rows, for SQLite and for PostgreSQL. Each gives ids in one and the same order.

None ranks all hits: each walks an index in row order and stops at its limit.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from models.search.asking import Asking
from models.search.sizes import Near
from models.search.terms import GRAM_MARK, LONGEST_INDEXED_START, asked, grams

LAST: Final = "\U0010ffff"
"""Sorts after every other character."""
_LISTED: Final = "withdrawn_list_id IS NULL"
_NOT_RETIRED: Final = " AND list_rows.supplier_id NOT IN (SELECT id FROM suppliers WHERE retired_at IS NOT NULL)"
_FIRST_WIDTH: Final = (
    "(SELECT ring_width_100nm FROM list_rows WHERE ring_width_100nm IS NOT NULL AND ring_width_100nm {}"
    " ORDER BY ring_width_100nm LIMIT 1)"
)
_NEAR: Final = (
    f"WITH RECURSIVE widths (width) AS (SELECT {_FIRST_WIDTH.format('>= ?')}"
    f" UNION ALL SELECT {_FIRST_WIDTH.format('> widths.width')} FROM widths WHERE widths.width <= ?),"
    " near AS MATERIALIZED (SELECT abs(ring_id_100nm - ?) + abs(ring_width_100nm - ?) AS off, id"
    " FROM widths CROSS JOIN list_rows WHERE ring_width_100nm = widths.width AND widths.width <= ?"
    " AND ring_id_100nm BETWEEN ? AND ?"
)
_TO_SPARE: Final = 4
"""Times the rings asked for that the index gives first: some of them are no longer listed, or of another rubber."""
_PROBE: Final = 3000
_FURTHEST: Final = 50_000
"""Rows that are walked in about the time in which the index gives some thousand rows to sort."""
_DENSE: Final = 20_000
_OFTEN: Final = 4
"""A word that begins so many times the rows of the rarest is looked for in the rows that the rarer ones give."""
_FEW: Final = 4000
"""Rows, no more, that the rarer words may give for that."""

TEXTS_AT_ONCE: Final = 400
"""Texts looked for in one statement: SQLite joins 500 questions at most."""


class ListQueries:
    """Looks into the listed rows of all suppliers, or of one."""

    def __init__(self, ask: Asking, supplier_id: int | None) -> None:
        self._ask = ask
        self._mine: tuple[int, ...] = () if supplier_id is None else (supplier_id,)
        self._only = _NOT_RETIRED if supplier_id is None else " AND list_rows.supplier_id = ?"

    def exact(self, squeezed: str, limit: int) -> list[int]:
        """Rows with this very number, dashes and the like apart."""
        return self._ask.column(
            f"SELECT id FROM list_rows WHERE {_LISTED} AND compact = ?{self._only} ORDER BY id LIMIT ?",
            (squeezed, *self._mine, limit),
        )

    def prefix(self, squeezed: str, limit: int) -> list[int]:
        """Rows whose number begins so, by number."""
        return self._ask.column(
            f"SELECT id FROM list_rows WHERE {_LISTED} AND compact >= ? AND compact < ?{self._only}"
            " ORDER BY compact, id LIMIT ?",
            (squeezed, squeezed + LAST, *self._mine, limit),
        )

    def near(self, wanted: Near, rubber: str, limit: int) -> list[tuple[int, int]]:
        """Rows read as rings of about these dimensions: (distance, id), nearest first.

        Every width there is within reach is looked up in the index first, one jump each: they are few, and between
        their own bounds the IDs can then be read straight off it.
        """
        only = self._only + (" AND list_rows.rubber = ?" if rubber else "")
        listed = f"{_LISTED} AND reading_state <> 'refused'{only}"
        mine = (*self._mine, *([rubber] if rubber else []))
        least, most = wanted.width_100nm - wanted.width_off, wanted.width_100nm + wanted.width_off
        within = (
            *(least, most, wanted.id_100nm, wanted.width_100nm, most),
            *(wanted.id_100nm - wanted.id_off, wanted.id_100nm + wanted.id_off),
        )
        # The nearest in the index, some to spare, are looked at in the table; all, where too few of those are listed.
        # Not by a join: SQLite would read through the whole table first to know which of the few are in it.
        rows = self._ask.rows(
            f"{_NEAR} ORDER BY off, id LIMIT ?) SELECT off, id FROM near"
            f" WHERE (SELECT {listed} FROM list_rows WHERE list_rows.id = near.id) ORDER BY off, id LIMIT ?",
            (*within, limit * _TO_SPARE, *mine, limit),
        )
        if len(rows) < limit:
            rows = self._ask.rows(
                f"{_NEAR} AND {listed} ORDER BY off, id LIMIT ?) SELECT off, id FROM near ORDER BY off, id",
                (*within, *mine, limit),
            )
        return [(int(off), int(row_id)) for off, row_id in rows]

    def words(self, words: Sequence[str], limit: int) -> list[int]:
        """Rows in which every word begins some word, in row order."""
        if self._ask.postgresql:
            return self._indexed([asked(word) for word in words], "", (), limit)
        part, values = self._each(words)
        return self._ask.column(f"SELECT {part} LIMIT ?", (*values, limit))

    def words_each(self, asked_for: Sequence[Sequence[str]], limit: int, *, unread: bool = False) -> list[list[int]]:
        """`words` for many texts, in a statement for every few hundred; `unread`: of rows that name no fluid class."""
        found: list[list[int]] = [[] for _ in asked_for]
        for start in range(0, len(asked_for), TEXTS_AT_ONCE):
            parts, values = [], []
            for at, words in enumerate(asked_for[start : start + TEXTS_AT_ONCE], start):
                if not words:
                    continue
                part, given = self._each(words, unread=unread)
                parts.append(f"SELECT * FROM (SELECT {at} AS at, {part} LIMIT {limit}) AS found_{at}")
                values += given
            if parts:
                for at, row_id in self._ask.rows(" UNION ALL ".join(parts), values):
                    found[at].append(row_id)
        return [sorted(ids) for ids in found]

    def _each(self, words: Sequence[str], *, unread: bool = False) -> tuple[str, list[Any]]:
        """What `words` asks for one text, from its rows' ids on; and the values in it."""
        only = self._only + (" AND list_rows.fluids IS NULL" if unread else "")
        if self._ask.postgresql:
            full = " & ".join(sorted((asked(word) for word in words), key=len, reverse=True))
            return f"id FROM list_rows WHERE words @@ ?::tsquery{only} ORDER BY id", [full, *self._mine]
        long = [f" {word}" for word in words if len(word) > LONGEST_INDEXED_START]
        rows = " CROSS JOIN list_rows ON list_rows.id = list_words.rowid" if long or only else ""
        also = " AND instr(' ' || list_rows.words, ?) > 0" * len(long)
        match = " AND ".join(f'"{word[:LONGEST_INDEXED_START]}"*' for word in words)
        return (
            f"list_words.rowid FROM list_words{rows} WHERE list_words MATCH ?{also}{only} ORDER BY list_words.rowid",
            [match, *long, *self._mine],
        )

    def part(self, squeezed: str, limit: int) -> list[int]:
        """Rows with this run of at least three characters in their number, in row order."""
        pieces = grams(squeezed)
        if not pieces:
            return []
        if self._ask.postgresql:
            wanted = [f"'{GRAM_MARK}{piece}'" for piece in pieces]
            return self._indexed(wanted, " AND strpos(compact, ?) > 0", (squeezed,), limit)
        return self._ask.column(
            "SELECT list_numbers.rowid FROM list_numbers CROSS JOIN list_rows ON list_rows.id = list_numbers.rowid"
            f" WHERE list_numbers MATCH ? AND instr(list_rows.compact, ?) > 0{self._only}"
            " ORDER BY list_numbers.rowid LIMIT ?",
            (" AND ".join(f'"{piece}"' for piece in pieces), squeezed, *self._mine, limit),
        )

    def _indexed(self, wanted: Sequence[str], also: str, values: tuple[Any, ...], limit: int) -> list[int]:
        """The first rows, in row order, with all words as wanted. PostgreSQL's planner can't tell common from rare.

        So: look whether the first rows already hold enough (a common word), or so much that not many more would; else
        ask the index and sort what it gives, unless it gives very much; else walk the rows, where what is common comes
        soon. A row is looked through for the longest word first, which it is the least likely to have.
        """
        wanted = sorted(wanted, key=len, reverse=True)
        full = " & ".join(wanted)
        test = f"words @@ ?::tsquery{also}{self._only}"
        given = (full, *values, *self._mine)
        reach = _PROBE
        while reach <= _FURTHEST:
            first = self._ask.column(
                f"SELECT id FROM (SELECT * FROM list_rows ORDER BY id LIMIT {reach}) AS list_rows WHERE {test} LIMIT ?",
                (*given, limit),
            )
            if len(first) == limit:
                return first
            # As far as it should take, and half as far again, for they do not lie evenly.
            reach = _FURTHEST + 1 if reach > _PROBE or not first else reach * limit * 3 // (len(first) * 2)
        rare = self._rare(wanted)
        for some, most in ((rare, _FEW), (full, _DENSE)) if rare != full else ((full, _DENSE),):
            found = self._from_index(full, f"words @@ ?::tsquery{also}", (some, *values), limit, most)
            if found is not None:
                return found
        return self._ask.column(
            f"SELECT id FROM (SELECT * FROM list_rows ORDER BY id OFFSET 0) AS list_rows WHERE {test} LIMIT ?",
            (*given, limit),
        )

    def _rare(self, wanted: Sequence[str]) -> str:
        """Those of the words, some or all, by which few enough rows are found; the planner guesses from its samples.

        Words that begin many rows are dear to ask for: the index gathers every row of each before it has the first.
        """
        some = wanted
        if len(wanted) > 1:
            one = "SELECT 1 FROM list_rows WHERE words @@ ?::tsquery"
            plan = self._ask.column(f"EXPLAIN (FORMAT JSON) {' UNION ALL '.join([one] * len(wanted))}", wanted)[0]
            guesses = [each["Plan Rows"] for each in plan[0]["Plan"]["Plans"]]
            # Fewer, where it would share the rows out among processes: it counts them otherwise then.
            if len(guesses) == len(wanted):
                most = min(guesses) * _OFTEN
                some = [word for word, guess in zip(wanted, guesses, strict=True) if guess <= most]
        return " & ".join(some)

    def _from_index(self, full: str, test: str, given: tuple[Any, ...], limit: int, most: int) -> list[int] | None:
        """The first rows with all the words among those that the index has for a test; None where it has `most`."""
        self._switch(on=False)
        found = self._ask.rows(
            "WITH found AS MATERIALIZED (SELECT id, words @@ ?::tsquery AS fits FROM list_rows"
            f" WHERE {test}{self._only} LIMIT {most}) SELECT (SELECT count(*) FROM found),"
            " ARRAY(SELECT id FROM found WHERE fits ORDER BY id LIMIT ?)",
            (full, *given, *self._mine, limit),
        )
        self._switch(on=True)
        count, ids = found[0]
        return list(ids) if count < most else None

    def _switch(self, *, on: bool) -> None:
        to = "on" if on else "off"
        self._ask.rows(
            f"SELECT set_config('enable_seqscan', '{to}', true), set_config('enable_indexscan', '{to}', true)", ()
        )

    def listed(self, limit: int, offset: int, after: tuple[str, int] | None) -> list[int]:
        """All rows, by number: a window anywhere in a million. `after` a (number squeezed, id) is found at once."""
        beyond, values = ("", ()) if after is None else (" AND (compact, id) > (?, ?)", after)
        return self._ask.column(
            f"SELECT id FROM list_rows WHERE {_LISTED}{beyond}{self._only} ORDER BY compact, id LIMIT ? OFFSET ?",
            (*values, *self._mine, limit, offset),
        )
