"""What was read of one list, sorted by part number: a private database of SQLite's, in memory up to a bound.

What goes over the bound SQLite keeps in a temporary file of its own, which has no name and is gone with the program.
Entries are kept by the thousand, each thousand as one value: sorted runs as they come, which are merged at the end.
"""

from __future__ import annotations

import json
import marshal
import sqlite3
import tempfile
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain, islice
from types import TracebackType
from typing import Any, Final

from models.storage.sqlite import in_words
from models.supplier_lists.entries import Entry, Kept, RefusedLine, entry_of

_PRIVATE: Final = ""
"""A database without a name (sqlite.org, "In-Memory Databases", "Temporary Databases")."""
MOST_KB: Final = 40_000
"""Kept in memory; a list of 400,000 rows."""
RUN: Final = 40_000
"""Entries that are sorted at once, while they are at hand."""
BLOCK: Final = 1000
"""Entries that are kept as one value."""
_SETTINGS: Final = (
    "PRAGMA journal_mode = OFF",
    "PRAGMA synchronous = OFF",
    "PRAGMA locking_mode = EXCLUSIVE",
    f"PRAGMA cache_size = -{MOST_KB}",
    "PRAGMA temp_store = FILE",
)
_TABLES: Final = (
    "CREATE TABLE blocks (run INTEGER, at INTEGER, entries BLOB, PRIMARY KEY (run, at))",
    "CREATE TABLE refused (line INTEGER, reason, cells, number)",
)
_SORTED: Final = 0
"""The run that all others are merged into."""
_LONGEST_CELLS: Final = 2000


class Scratch:
    """Entries by part number, and the lines that were refused."""

    def __init__(self) -> None:
        self._file = sqlite3.connect(_PRIVATE, isolation_level=None, check_same_thread=False)
        for statement in (*_SETTINGS, *_TABLES):
            self._run(statement)
        self._run("BEGIN")
        self._gathered: list[Kept] = []
        self._runs = 0
        self.entries = 0
        """How many entries there are."""

    def __enter__(self) -> Scratch:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of everything."""
        self._file.close()

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
        self._gathered.extend(rows)
        if len(self._gathered) >= RUN:
            self._keep_run()

    def _keep_run(self) -> None:
        self._gathered.sort()
        self._runs += 1
        self._keep(self._runs, _blocks(self._gathered))
        self._gathered = []

    def _keep(self, run: int, blocks: Iterable[list[Kept]]) -> None:
        self._many(
            "INSERT INTO blocks VALUES (?, ?, ?)",
            ((run, at, marshal.dumps(block)) for at, block in enumerate(blocks)),
        )

    def _kept(self, run: int) -> Iterator[list[Kept]]:
        for (entries,) in self._run("SELECT entries FROM blocks WHERE run = ? ORDER BY at", (run,)):
            yield marshal.loads(entries)

    def add_refused(self, lines: Iterable[RefusedLine]) -> None:
        """Keep refused lines; what is shown of the cells is cut."""
        self._many(
            "INSERT INTO refused VALUES (?, ?, ?, ?)",
            (
                (line.line, line.reason, json.dumps([cell[:_LONGEST_CELLS] for cell in line.cells]), line.number)
                for line in map(_storable, lines)
            ),
        )

    def settle(self, look: Callable[[], object] = lambda: None) -> None:
        """All lines are in: sort them, and refuse every part number's second line. `look` is called again and again."""
        self._keep_run()
        merged = _merged([self._kept(run + 1) for run in range(self._runs)])
        self._keep(_SORTED, _blocks(chain.from_iterable(self._first_of_each(merged, look))))
        self._run("DELETE FROM blocks WHERE run > ?", (_SORTED,))
        self._run("CREATE INDEX refused_numbers ON refused (number)")

    def _first_of_each(self, merged: Iterable[list[Kept]], look: Callable[[], object]) -> Iterator[list[Kept]]:
        """The first line of each part number; the others are refused."""
        first: Kept = ("", 0)
        for some in merged:
            look()
            if some[0][0] == first[0] or len({entry[0] for entry in some}) < len(some):
                once: list[Kept] = []
                again: list[RefusedLine] = []
                for entry in some:
                    if entry[0] == first[0]:
                        said = f"line {first[1]} has the same part number"
                        again.append(RefusedLine(entry[1], said, (entry[0], entry[2]), entry[0]))
                    else:
                        first = entry
                        once.append(entry)
                self.add_refused(again)
            else:
                once, first = some, some[-1]
            self.entries += len(once)
            yield once

    def refused_count(self) -> int:
        """How many refused lines there are."""
        return int(self._run("SELECT count(*) FROM refused").fetchone()[0])

    def refused(self) -> Iterator[RefusedLine]:
        """Every refused line, in the order of the file."""
        for line, reason, cells, number in self._run("SELECT * FROM refused ORDER BY line"):
            yield RefusedLine(line, reason, tuple(json.loads(cells)), number)

    def in_order(self) -> Iterator[tuple[int, Entry]]:
        """Every entry after its line number, by part number."""
        for block in self.blocks():
            for row in block:
                yield row[1], entry_of(row)

    def blocks(self) -> Iterator[list[Kept]]:
        """The same as it is kept, some at once."""
        return self._kept(_SORTED)

    def forget(self) -> None:
        """What is at hand of all this in memory is let go of; it can be read again."""
        self._run("PRAGMA shrink_memory")

    def is_refused(self, number: str) -> bool:
        """Whether a line with this part number was refused: its old row stays as it is."""
        return self._run("SELECT 1 FROM refused WHERE number = ? LIMIT 1", (number,)).fetchone() is not None


def _storable(line: RefusedLine) -> RefusedLine:
    """Half a surrogate pair can't be stored, only said."""
    return line._replace(
        number=line.number.encode("utf-8", "replace").decode(),
        reason=line.reason.encode("utf-8", "replace").decode(),
    )


def _blocks(entries: Iterable[Kept]) -> Iterator[list[Kept]]:
    rest = iter(entries)
    while block := list(islice(rest, BLOCK)):
        yield block


def _merged(runs: Sequence[Iterator[list[Kept]]]) -> Iterator[list[Kept]]:
    """All runs' entries in one order. No more than a block of each run is held.

    What isn't after the first block to end can have nothing before it in any run.
    """
    held = [(block, run) for run in runs if (block := next(run, None)) is not None]
    while len(held) > 1:
        end = min(block[-1] for block, _ in held)
        some: list[Kept] = []
        left: list[tuple[list[Kept], Iterator[list[Kept]]]] = []
        for block, run in held:
            at = bisect_right(block, end)
            some += block[:at]
            if at < len(block):
                left.append((block[at:], run))
            elif (following := next(run, None)) is not None:
                left.append((following, run))
        some.sort()
        yield some
        held = left
    for block, run in held:
        yield block
        yield from run
