"""SQLite: how a file is opened, how its units begin and end, and what its refusals mean in words."""

from __future__ import annotations

import os
import random
import sqlite3
import time
from contextlib import suppress
from pathlib import Path
from typing import Any
from uuid import uuid4

from sqlalchemy import URL, Engine, create_engine, event
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import OperationalError
from sqlalchemy.pool import ConnectionPoolEntry

from models.errors import AlreadyThereError, WorkshopBusyError, WorkshopError, WorkshopUnavailableError
from models.storage import leftovers, permissions
from models.storage.address import exact
from models.storage.shares import on_network_share

BUSY_SECONDS = 15
LOOK_AGAIN_SECONDS = (0.002, 0.01)
"""Between two looks whether the file is free to write."""
LONGEST_PATH = 511
"""Bytes of a path that SQLite opens (its MAX_PATHNAME is 512, with the ending NUL)."""
BEGIN = "BEGIN IMMEDIATE"
"""Takes the write lock at once, so waiting applies and nothing read inside can be stale."""
WAITING = f"PRAGMA busy_timeout = {BUSY_SECONDS * 1000}"
PRAGMAS = (
    # The ledger outlives a power cut: every commit reaches the disk before we say it is done.
    "PRAGMA synchronous = FULL",
    "PRAGMA foreign_keys = ON",
    "PRAGMA recursive_triggers = ON",
)


def engine(file: Path) -> Engine:
    """An engine on the file, which must exist or be creatable; nothing is opened yet."""
    # Built, not written: in a written address `?`, `#` and `%20` are no letters of the path.
    place = URL.create("sqlite", database=str(exact(file)))
    made = create_engine(place, connect_args={"timeout": BUSY_SECONDS})
    # Readers never wait for a writer. WAL shares memory between its programs, which two computers on one network share
    # can't: there the older journal works, only with waiting.
    journal = "PRAGMA journal_mode = DELETE" if on_network_share(file) else "PRAGMA journal_mode = WAL"

    def connected(connection: DBAPIConnection, _entry: ConnectionPoolEntry) -> None:
        _connected(connection, journal)

    event.listen(made, "connect", connected)
    event.listen(made, "begin", _begun)
    return made


def _connected(connection: Any, journal: str) -> None:
    # The driver's own transaction handling begins late and deferred, and loses updates without an error: switch it off.
    connection.isolation_level = None
    # Two programs that turn the journal over at once both hold the file to read: SQLite refuses one without waiting.
    _in_turn(connection, journal)
    cursor = connection.cursor()
    for pragma in PRAGMAS:
        cursor.execute(pragma)
    cursor.close()


def _begun(connection: Any) -> None:
    reading = connection.get_execution_options().get("kitwright_reading", False)
    connection.exec_driver_sql(f"PRAGMA query_only = {'ON' if reading else 'OFF'}")
    if reading:
        connection.exec_driver_sql("BEGIN")
    else:
        try:
            _in_turn(connection.connection.driver_connection, BEGIN)
        except sqlite3.Error as fault:
            raise OperationalError(BEGIN, None, fault) from fault


def _in_turn(driver: sqlite3.Connection, statement: str) -> None:
    """Run a statement that needs the file alone as soon as no other program holds it.

    SQLite's own waiting sleeps longer the longer it has waited: with eight programs writing all the time the newest won
    and one waited in vain. Here all look equally often. Raises the last `sqlite3.OperationalError` once we have waited
    as long as we wait, and any other at once.
    """
    until = time.monotonic() + BUSY_SECONDS
    driver.execute("PRAGMA busy_timeout = 0")
    try:
        while True:
            try:
                driver.execute(statement)
                return
            except sqlite3.OperationalError as fault:
                if not fault.sqlite_errorname.startswith("SQLITE_BUSY") or time.monotonic() >= until:
                    raise
            time.sleep(random.uniform(*LOOK_AGAIN_SECONDS))
    finally:
        driver.execute(WAITING)


def revision(file: Path) -> str | None:
    """The schema revision in the file; None when there is no file or no schema in it yet.

    Raises `WorkshopUnavailableError` when the file is not a database of ours.
    """
    if not file.exists() or file.stat().st_size == 0:
        return None
    try:
        try:
            return _revision(file, "ro")
        except sqlite3.OperationalError as fault:
            if not fault.sqlite_errorname.startswith("SQLITE_READONLY"):
                raise
            # A program that was killed left something to roll back, which SQLite does for whoever may write.
            return _revision(file, "rw")
    except (sqlite3.Error, UnicodeDecodeError) as fault:  # SQLite's own sentence may quote bytes that are no text
        raise in_words(fault, str(file)) from fault


def _revision(file: Path, mode: str) -> str | None:
    connection = sqlite3.connect(f"{exact(file).as_uri()}?mode={mode}", uri=True, timeout=BUSY_SECONDS)
    try:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        if not tables:
            return None
        if "alembic_version" not in tables:
            raise WorkshopUnavailableError(
                f"The file {file} is a database, but not one of Kitwright's.", "Name another file."
            )
        row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        return str(row[0]) if row else ""
    finally:
        connection.close()


def beside(file: Path) -> Path:
    """A name nobody has yet in the file's folder, for what becomes the file once it is whole."""
    return file.with_name(f".kitwright-{uuid4().hex}.part")


def back_up(file: Path, target: Path) -> None:
    """Copy the database, whole and consistent even while in use, to a file that must not exist yet.

    The file has another name until it is whole: whoever finds the backup by its name can trust it.
    """
    if target.exists():
        raise WorkshopUnavailableError(f"The backup {target} is already there.", "Name another file.")
    leftovers.clear(target.parent)
    part = beside(target)
    try:
        permissions.make_file(part)
        source = sqlite3.connect(exact(file), timeout=BUSY_SECONDS)
        copy = sqlite3.connect(exact(part))
        try:
            source.backup(copy)
            # One file that can be read where nothing may be written beside it; opening it for work turns WAL on again.
            copy.execute("PRAGMA journal_mode=DELETE")
        finally:
            copy.close()
            source.close()
        part.replace(target)
    except sqlite3.Error as fault:
        raise in_words(fault, str(target)) from fault
    except OSError as fault:
        raise WorkshopUnavailableError(
            f"The backup {target} can't be written ({fault.strerror or fault}).", "Name another file or folder."
        ) from fault
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def _is_read_only(file: Path) -> bool:
    """Whether the file is there, and it or its folder may not be written: beside it SQLite keeps its journal."""
    return file.exists() and not (os.access(file, os.W_OK) and os.access(file.parent, os.W_OK))


def in_words(fault: BaseException, where: str) -> WorkshopError:
    """SQLite's refusal as what happened and what to do."""
    code = getattr(fault, "sqlite_errorname", None) or ""
    if code.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return WorkshopBusyError(
            f"Another program has held {where} for over {BUSY_SECONDS} seconds.", "Nothing was changed; try again."
        )
    if code.startswith("SQLITE_READONLY") or (code.startswith("SQLITE_CANTOPEN") and _is_read_only(Path(where))):
        return WorkshopUnavailableError(
            f"{where} is read-only.", "Nothing was changed. Allow writing to the file and its folder, or name another."
        )
    if code.startswith("SQLITE_FULL"):
        return WorkshopUnavailableError(
            f"The disk that holds {where} is full.", "Nothing was changed. Make room and try again."
        )
    if code.startswith("SQLITE_IOERR"):
        return WorkshopUnavailableError(
            f"The disk that holds {where} can't be written or read.",
            "Nothing was changed. See that it is there, has room and allows files of that size.",
        )
    if code.startswith("SQLITE_CANTOPEN") and len(os.fsencode(exact(Path(where)))) > LONGEST_PATH:
        return WorkshopUnavailableError(
            f"The path of {Path(where).name} is too long: the database takes {LONGEST_PATH} bytes.",
            "Keep it in a folder nearer the top.",
        )
    if code.startswith("SQLITE_CANTOPEN"):
        return WorkshopUnavailableError(
            f"{where} can't be opened.", "See that its folder is there and that you may read and write in it."
        )
    if code.startswith(("SQLITE_NOTADB", "SQLITE_CORRUPT")) or isinstance(fault, UnicodeDecodeError):
        return WorkshopUnavailableError(
            f"{where} is damaged or not a database.", "Name another file, or put back a backup."
        )
    if code == "SQLITE_CONSTRAINT_UNIQUE":
        return AlreadyThereError("Someone was quicker: that is there already.", "Refresh the list.")
    return WorkshopUnavailableError(f"{where} refused: {fault}.", "Nothing was changed.")
