"""What was read of one list, sorted by part number: a private database of SQLite's, in memory up to a bound.

What goes over the bound SQLite keeps in a temporary file of its own, which has no name and is gone with the program.
"""

from __future__ import annotations

import json
import sqlite3
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager
from types import TracebackType
from typing import Any, Final

from models.storage.sqlite import in_words
from models.supplier_lists.entries import Entry, RefusedLine
from models.supplier_lists.parts import Kept, unpacked
from models.supplier_lists.progress import Progress, Watch, stoppable

_PRIVATE: Final = ""
"""A database without a name (sqlite.org, "In-Memory Databases", "Temporary Databases")."""
MOST_KB: Final = 40_000
"""Kept in memory; a list of 300,000 rows."""
_SETTINGS: Final = (
    "PRAGMA journal_mode = OFF",
    "PRAGMA synchronous = OFF",
    "PRAGMA locking_mode = EXCLUSIVE",
    f"PRAGMA cache_size = -{MOST_KB}",
    "PRAGMA temp_store = FILE",
)
_TABLES: Final = (
    "CREATE TABLE entries (number, line INTEGER, others)",
    "CREATE TABLE refused (line INTEGER, reason, cells, number)",
)
_TWICE: Final = """
SELECT place, line, first, number, others FROM (
    SELECT rowid AS place, line, number, others, min(line) OVER (PARTITION BY number) AS first FROM entries
    WHERE number IN (SELECT number FROM entries GROUP BY number HAVING count(*) > 1)
) WHERE line > first
"""
_LONGEST_CELLS: Final = 2000


class Scratch:
    """Entries by part number, and the lines that were refused."""

    def __init__(self) -> None:
        self._file = sqlite3.connect(_PRIVATE, isolation_level=None, check_same_thread=False)
        for statement in (*_SETTINGS, *_TABLES):
            self._run(statement)
        self._run("BEGIN")

    def __enter__(self) -> Scratch:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of everything."""
        self._file.close()

    def stoppable(self, watch: Watch | None, at: Callable[[], Progress]) -> AbstractContextManager[None]:
        """While the block runs, long statements here ask the watcher too."""
        return stoppable(self._file, watch, at)

    def _run(self, statement: str, values: Sequence[Any] = ()) -> sqlite3.Cursor:
        try:
            return self._file.execute(statement, values)
        except sqlite3.Error as fault:
            raise in_words(fault, tempfile.gettempdir()) from fault

    def _many(self, statement: str, rows: Iterable[Sequence[Any]]) -> None:
        try:
            self._file.executemany(statement, rows)
        except sqlite3.Error as fault:
            raise in_words(fault, tempfile.gettempdir()) from fault

    def add_entries(self, rows: Iterable[Kept]) -> None:
        """Keep entries."""
        self._many("INSERT INTO entries VALUES (?, ?, ?)", rows)

    def add_refused(self, lines: Iterable[RefusedLine]) -> None:
        """Keep refused lines; what is shown of the cells is cut."""
        self._many(
            "INSERT INTO refused VALUES (?, ?, ?, ?)",
            (
                (line.line, line.reason, json.dumps([cell[:_LONGEST_CELLS] for cell in line.cells]), line.number)
                for line in map(_storable, lines)
            ),
        )

    def settle(self) -> None:
        """All lines are in: sort them, and refuse every part number's second line."""
        self._run("CREATE INDEX by_number ON entries (number, line)")
        twice = self._run(_TWICE).fetchall()
        self._many("DELETE FROM entries WHERE rowid = ?", ((place,) for place, *_ in twice))
        self.add_refused(
            RefusedLine(line, f"line {first} has the same part number", (number, unpacked(number, others).name), number)
            for _, line, first, number, others in twice
        )
        self._run("CREATE INDEX refused_numbers ON refused (number)")

    def count(self, table: str) -> int:
        """How many entries or refused lines there are."""
        return int(self._run(f"SELECT count(*) FROM {table}").fetchone()[0])

    def refused(self) -> Iterator[RefusedLine]:
        """Every refused line, in the order of the file."""
        for line, reason, cells, number in self._run("SELECT * FROM refused ORDER BY line"):
            yield RefusedLine(line, reason, tuple(json.loads(cells)), number)

    def in_order(self) -> Iterator[tuple[int, Entry]]:
        """Every entry after its line number, by part number."""
        for number, line, others in self._run("SELECT number, line, others FROM entries ORDER BY number"):
            yield line, unpacked(number, others)

    def is_refused(self, number: str) -> bool:
        """Whether a line with this part number was refused: its old row stays as it is."""
        return self._run("SELECT 1 FROM refused WHERE number = ? LIMIT 1", (number,)).fetchone() is not None


def _storable(line: RefusedLine) -> RefusedLine:
    """Half a surrogate pair can't be stored, only said."""
    return line._replace(
        number=line.number.encode("utf-8", "replace").decode(),
        reason=line.reason.encode("utf-8", "replace").decode(),
    )
