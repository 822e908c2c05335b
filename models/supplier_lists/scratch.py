"""A file of our own on the side, for one import: sorting a million rows takes disk, not memory. Gone when closed."""

from __future__ import annotations

import json
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager
from itertools import islice
from pathlib import Path
from types import TracebackType
from typing import Any, Final, NamedTuple

from models.storage import leftovers
from models.supplier_lists.claimed_parts import Claims
from models.supplier_lists.entries import Entry, RefusedLine
from models.supplier_lists.parts import Kept, packed, unpacked
from models.supplier_lists.progress import Progress, Watch, stoppable

_SETTINGS: Final = (
    "PRAGMA journal_mode = OFF",
    "PRAGMA synchronous = OFF",
    "PRAGMA locking_mode = EXCLUSIVE",
    "PRAGMA cache_size = -16000",
    "PRAGMA temp_store = FILE",
)
_TABLES: Final = (
    "CREATE TABLE entries (line INTEGER, number, name, others)",
    "CREATE TABLE refused (line INTEGER, reason, cells, number)",
    "CREATE TABLE present (row_id INTEGER, number, name, others, withdrawn, priced_list_id)",
)
_AGAIN: Final = (
    "(SELECT rowid AS place, line, number, name, min(line) OVER (PARTITION BY number) AS first FROM entries)"
    " WHERE line > first"
)
_LONGEST_CELLS: Final = 2000


class Run(NamedTuple):
    """Part numbers from `start` on, up to but without `before`; None: to the last."""

    start: str = ""
    before: str | None = None

    @property
    def bounds(self) -> tuple[str, ...]:
        """Those that there are."""
        return (self.start,) if self.before is None else (self.start, self.before)


ALL_NUMBERS: Final = Run()


class Scratch:
    """What was read from a file, sorted by part number, beside what the database has."""

    def __init__(self, lent: Path | None = None) -> None:
        """A new one; or, for a process beside, only to read, the one that was lent."""
        self._lent = lent is not None
        if lent is None:
            leftovers.clear()
        self._folder = Path(tempfile.mkdtemp(prefix=leftovers.list_prefix())) if lent is None else lent.parent
        self._path = self._folder / "rows"
        if lent is not None:
            try:
                self._file = sqlite3.connect(f"{lent.absolute().as_uri()}?mode=ro&immutable=1", uri=True)
            except sqlite3.Error as fault:
                raise _in_words(fault, self._folder) from fault
            return
        self._file = sqlite3.connect(self._path, isolation_level=None, check_same_thread=False)
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
        """Remove the file, unless it was only lent."""
        self._file.close()
        if not self._lent:
            shutil.rmtree(self._folder, ignore_errors=True)

    def claims(self, of: str) -> Claims:
        """Claims of the parts of one step, which two processes share."""
        return Claims(Path(tempfile.mkdtemp(prefix=f"{of}-", dir=self._folder)))

    def lent(self) -> Path:
        """Put everything into the file and let another process read it. Nothing is added from now on."""
        if self._file.in_transaction:
            self._run("COMMIT")
        return self._path

    def stoppable(self, watch: Watch | None, at: Callable[[], Progress]) -> AbstractContextManager[None]:
        """While the block runs, long statements here ask the watcher too."""
        return stoppable(self._file, watch, at)

    def _run(self, statement: str, values: Sequence[Any] = ()) -> sqlite3.Cursor:
        try:
            return self._file.execute(statement, values)
        except sqlite3.Error as fault:
            raise _in_words(fault, self._folder) from fault

    def _many(self, statement: str, rows: Iterable[Sequence[Any]]) -> None:
        try:
            self._file.executemany(statement, rows)
        except sqlite3.Error as fault:
            raise _in_words(fault, self._folder) from fault

    def add_entries(self, rows: Iterable[Kept]) -> None:
        """Keep entries."""
        self._many("INSERT INTO entries VALUES (?, ?, ?, ?)", rows)

    def add_refused(self, lines: Iterable[RefusedLine]) -> None:
        """Keep refused lines; what is shown of the cells is cut."""
        self._many(
            "INSERT INTO refused VALUES (?, ?, ?, ?)",
            (
                (line.line, line.reason, json.dumps([cell[:_LONGEST_CELLS] for cell in line.cells]), line.number)
                for line in _storable(lines)
            ),
        )

    def settle(self) -> None:
        """All lines are in: refuse every part number's second line and sort."""
        self._run("CREATE INDEX by_number ON entries (number, line)")
        if self._run("SELECT 1 FROM entries GROUP BY number HAVING count(*) > 1 LIMIT 1").fetchone() is not None:
            reason = "'line ' || first || ' has the same part number'"
            self._run(f"INSERT INTO refused SELECT line, {reason}, json_array(number, name), number FROM {_AGAIN}")
            self._run(f"DELETE FROM entries WHERE rowid IN (SELECT place FROM {_AGAIN})")
        self._run("CREATE INDEX refused_numbers ON refused (number)")

    def count(self, table: str) -> int:
        """How many entries or refused lines there are."""
        return int(self._run(f"SELECT count(*) FROM {table}").fetchone()[0])

    def refused(self) -> Iterator[RefusedLine]:
        """Every refused line, in the order of the file."""
        for line, reason, cells, number in self._run("SELECT * FROM refused ORDER BY line"):
            yield RefusedLine(line, reason, tuple(json.loads(cells)), number)

    def forget_present(self) -> None:
        """Make room to hold what the database has now."""
        self._run("DROP INDEX IF EXISTS by_held_number")
        self._run("DELETE FROM present")
        if not self._file.in_transaction:
            self._run("BEGIN")

    def add_present(self, rows: Iterable[tuple[int, Entry, bool, int]]) -> None:
        """Hold rows of the database: id, the entry, whether withdrawn, and the list of its price."""
        self._many(
            "INSERT INTO present VALUES (?, ?, ?, ?, ?, ?)",
            (
                (row_id, entry.number, entry.name, packed(entry), withdrawn, priced)
                for row_id, entry, withdrawn, priced in rows
            ),
        )

    def sort_present(self) -> None:
        """All that the database has is held: sort it."""
        self._run("CREATE INDEX by_held_number ON present (number)")

    def runs(self, length: int) -> Iterator[Run]:
        """All part numbers in runs, in each so many entries and rows held, or one less or more."""
        start = ""
        numbers = self._run("SELECT number FROM entries UNION ALL SELECT number FROM present ORDER BY number")
        for (number,) in islice(numbers, length, None, length):
            yield Run(start, number)
            start = number
        yield Run(start)

    def entries_in_order(self, run: Run) -> Iterator[tuple[int, Entry]]:
        """Every entry in the run after its line number, by part number."""
        for line, number, name, others in self._run(_in_order("entries", run), run.bounds):
            yield line, unpacked(number, name, others)

    def present_in_order(self, run: Run) -> Iterator[tuple[int, Entry, bool, int]]:
        """Every row held in the run, by part number."""
        rows = self._run(_in_order("present", run), run.bounds)
        for row_id, number, name, others, withdrawn, priced in rows:
            yield row_id, unpacked(number, name, others), bool(withdrawn), priced

    def is_refused(self, number: str) -> bool:
        """Whether a line with this part number was refused: its old row stays as it is."""
        return self._run("SELECT 1 FROM refused WHERE number = ? LIMIT 1", (number,)).fetchone() is not None


def _in_order(table: str, run: Run) -> str:
    before = "" if run.before is None else " AND number < ?"
    return f"SELECT * FROM {table} WHERE number >= ?{before} ORDER BY number"


def _in_words(fault: sqlite3.Error, folder: Path) -> Exception:
    from models.storage.sqlite import in_words  # a process beside starts in half the time without

    return in_words(fault, str(folder))


def _storable(lines: Iterable[RefusedLine]) -> Iterator[RefusedLine]:
    """Half a surrogate pair can't be stored, only said."""
    for line in lines:
        yield line._replace(
            number=line.number.encode("utf-8", "replace").decode(),
            reason=line.reason.encode("utf-8", "replace").decode(),
        )
