"""Watch a SQLite file: one connection that stays, asked again and again whether another one has written."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path
from typing import Any, Final

from models.storage.address import exact
from models.storage.schema import CURRENT
from models.storage.shares import on_network_share
from models.watching.heard import AwayError

POLL_S: Final = 0.2
"""Seconds between two looks at the file's counter; one takes some 10 µs."""
SHARED_POLL_S: Final = 0.5
"""On a network share each look asks the other computer."""
BUSY_SECONDS: Final = 2.0
REVISION: Final = "SELECT version_num FROM alembic_version"


class FileSource:
    """The file. `PRAGMA data_version` changes for a connection when another one has committed, and means nothing beside
    another connection's: so this one is never let go of, and compares the counter only with its own."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self._poll = SHARED_POLL_S if on_network_share(file) else POLL_S
        self._connection: sqlite3.Connection | None = None
        self._version = -1
        self._stop = threading.Event()

    def open(self) -> None:
        """Open the file, which must be there and of this program's schema. Raises `AwayError`."""
        try:
            # Not read-only: whoever closes last folds the log into the file.
            self._connection = sqlite3.connect(
                f"{exact(self._file).as_uri()}?mode=rw", uri=True, timeout=BUSY_SECONDS, isolation_level=None
            )
            self._connection.execute("PRAGMA query_only = ON")
            self._version = self._counter()
            if self.look(REVISION) != [(CURRENT.head,)]:
                raise AwayError
        except (sqlite3.Error, OSError, ValueError) as fault:
            raise AwayError from fault

    def look(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """Rows of a statement. Raises `AwayError`."""
        assert self._connection is not None
        try:
            return self._connection.execute(sql, values).fetchall()
        except sqlite3.Error as fault:
            raise AwayError from fault

    def wait(self) -> bool:
        """Rest; then whether another connection has written since the last call. Raises `AwayError`."""
        if self._stop.wait(self._poll):
            return False
        try:
            now = self._counter()
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorname.startswith("SQLITE_BUSY"):
                return False
            raise AwayError from fault
        except sqlite3.Error as fault:
            raise AwayError from fault
        before, self._version = self._version, now
        return now != before

    def _counter(self) -> int:
        assert self._connection is not None
        return int(self._connection.execute("PRAGMA data_version").fetchone()[0])

    def wake(self) -> None:
        """End a wait, now and from now on; from any thread."""
        self._stop.set()

    def close(self) -> None:
        """Let go of the file."""
        connection, self._connection = self._connection, None
        if connection is not None:
            connection.close()
