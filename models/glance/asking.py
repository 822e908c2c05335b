"""Ask a workshop one question and let go of it again: read-only, one moment, no other schema than ours."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Protocol, TypeVar

from models.errors import PLAIN_FAULTS
from models.storage.address import Server, exact
from models.storage.schema import CURRENT
from models.storage.shares import on_network_share

if TYPE_CHECKING:
    import psycopg

Answer = TypeVar("Answer")


class Look(Protocol):
    """Rows of a statement: `look("SELECT … WHERE id = ?", 7)`. No other `?` and no `%` may stand in it."""

    def __call__(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """All of them."""

    def each(self, sql: str, *values: object) -> Iterator[tuple[Any, ...]]:
        """One after another, for a statement that finds a whole shop: no list of all is ever made."""


BUSY_SECONDS: Final = 0.5
"""A glance does not wait long: whoever asks has another way."""
CONNECT_SECONDS: Final = 2
"""The least that libpq takes."""
REVISION: Final = "SELECT version_num FROM alembic_version"
_IN_ONE_MOMENT: Final = (
    "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY;"
    " SET LOCAL lock_timeout = '500ms'; SET LOCAL statement_timeout = '2s'; SET LOCAL timezone = 'UTC'"
)


def ask(place: Path | Server, question: Callable[[Look], Answer]) -> Answer | None:
    """What the question finds; None where the ordinary way has to be taken. Nothing is made, changed or upgraded.

    A question raises a fault where a value is none of its column's; that, too, is left to the ordinary way.
    """
    try:
        return _ask_server(place, question) if isinstance(place, Server) else _ask_file(place, question)
    except (*PLAIN_FAULTS, OSError, sqlite3.Error):
        return None


def day(value: Any) -> date | None:
    """A day as either driver gives it. Raises ValueError."""
    return value if value is None or isinstance(value, date) else date.fromisoformat(value)


def moment(value: Any) -> datetime:
    """A moment as either driver gives it, in UTC and without its name. Raises ValueError."""
    return value if isinstance(value, datetime) else datetime.fromisoformat(value)


class _LookedInFile:
    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def __call__(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        return list(self.each(sql, *values))

    def each(self, sql: str, *values: object) -> Iterator[tuple[Any, ...]]:
        return self._connection.execute(sql, values)


class _LookedOnServer:
    def __init__(self, connection: psycopg.Connection) -> None:
        self._connection = connection

    def __call__(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        return list(self.each(sql, *values))

    def each(self, sql: str, *values: object) -> Iterator[tuple[Any, ...]]:
        return iter(self._connection.execute(sql.replace("?", "%s").encode(), values or None))


def _ask_file(file: Path, question: Callable[[Look], Answer]) -> Answer | None:
    # A log's shared memory two computers can't share, so a file on a network share is left to the ordinary way. Which
    # journal a file has is not looked up in its first bytes: on POSIX a program that closes a file, however it opened
    # it, lets go of all its locks on it, the database's too (sqlite.org, "How To Corrupt", 2.2). Another program then
    # takes itself for the last one and removes the log that this one still writes into.
    if on_network_share(file):
        return None
    connection = sqlite3.connect(
        f"{exact(file).as_uri()}?mode=ro", uri=True, timeout=BUSY_SECONDS, isolation_level=None
    )
    try:
        look = _LookedInFile(connection)
        connection.execute("PRAGMA query_only = ON")
        connection.execute("BEGIN")
        return question(look) if look(REVISION) == [(CURRENT.head,)] else None
    finally:
        connection.close()


def _ask_server(server: Server, question: Callable[[Look], Answer]) -> Answer | None:
    try:
        import psycopg  # 0.07 s, for those on a server only
        from psycopg.conninfo import make_conninfo
    except ImportError:
        return None
    settings = {"connect_timeout": str(CONNECT_SECONDS), **server.settings}
    try:
        with psycopg.connect(make_conninfo("", **settings), autocommit=True) as connection:
            look = _LookedOnServer(connection)
            connection.execute(_IN_ONE_MOMENT)
            return question(look) if look(REVISION) == [(CURRENT.head,)] else None
    except psycopg.Error:
        return None
