"""Put a backup back into an empty place, and copy a workshop from one database to another; both compare afterwards."""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from sqlalchemy import LargeBinary, func, select, text
from sqlalchemy import Table as Listing
from sqlmodel import Session

from models import search
from models.database import Workshop, open_workshop
from models.errors import WorkshopError, WorkshopUnavailableError
from models.search import index
from models.storage import address, daily, leftovers, sqlite, upgrade, values
from models.storage.check import check
from models.tables import Table

ROWS_AT_ONCE = 5_000
LARGE_AT_ONCE = 20
"""Of a table with pictures, each of up to 200 kB."""
LISTED = "list_rows"


class RestoreFailedError(WorkshopError):
    """What was put back is not what the backup holds."""

    title = "The backup was not put back whole"


class Restored(NamedTuple):
    """What was put back: rows by table, compared with the backup one by one; and how `check` found it."""

    where: str
    rows: dict[str, int]
    findings: tuple[str, ...]


def restore(backup: Path, where: str | Path) -> Restored:
    """Put a backup (a SQLite file) back where no workshop is yet: a file that is not there, or an empty database.

    A backup of an older version is brought up to date on the way; the backup itself is not changed. Raises
    `WorkshopUnavailableError` where the place is taken or the backup can't be read, also for its revision, and
    `RestoreFailedError` where the comparison finds a difference.
    """
    if not backup.is_file():
        raise WorkshopUnavailableError(f"There is no backup {backup}.", "Name the file.")
    found = sqlite.revision(backup)
    if found is None:
        raise WorkshopUnavailableError(f"{backup} is empty: no workshop is in it.", "Name another file.")
    upgrade.is_behind(found, str(backup))
    if isinstance(where, str) and address.is_address(where):
        address.server(where)
    _must_be_empty(where)
    with tempfile.TemporaryDirectory(prefix=leftovers.LOOK) as folder:
        copy = Path(folder) / "backup.sqlite3"
        sqlite.back_up(backup, copy)
        _refuse_foreign(backup, copy)
        source = open_workshop(copy)
        try:
            _refuse_unreadable(backup, source)
            if isinstance(where, str) and address.is_address(where):
                target = open_workshop(where)
                try:
                    return copy_into(source, target)
                finally:
                    target.close()
            return _into_file(source, address.file(where))
        finally:
            source.close()


def _refuse_foreign(backup: Path, copy: Path) -> None:
    """Nothing of another's making runs while an older backup is brought up to date."""
    made = sqlite.engine(copy)
    try:
        with made.connect() as connection:
            found = next(values.foreign(connection), None)
    finally:
        made.dispose()
    if found is not None:
        raise RestoreFailedError(f"In {backup}, {found.where} {found.what}.", "Nothing was put back.")


def _refuse_unreadable(backup: Path, source: Workshop) -> None:
    with source.read() as session:
        found = values.findings(session)
    if found:
        others = f", and {len(found) - 1} more" if len(found) > 1 else ""
        raise RestoreFailedError(
            f"In {backup}, {found[0].where} {found[0].what}{others}.",
            "Nothing was put back; another backup may be whole.",
        )


def _into_file(source: Workshop, file: Path) -> Restored:
    """Fill a new file under another name, and give it its own once it is whole; nothing is left where that fails."""
    part = sqlite.beside(file)
    try:
        target = open_workshop(part)
        try:
            done = copy_into(source, target)
        finally:
            target.close()
        _must_be_empty(file)
        part.replace(file)
    except OSError as fault:
        raise WorkshopUnavailableError(
            f"{file} can't be written ({fault.strerror or fault}).", "Name another file or folder."
        ) from fault
    finally:
        _without(part)
    return done._replace(where=str(file))


def _without(part: Path) -> None:
    for one in (part, part.with_name(f"{part.name}-wal"), part.with_name(f"{part.name}-shm")):
        with suppress(OSError):
            one.unlink(missing_ok=True)


def back_up(workshop: Workshop, target: Path, who: str = "backup") -> Restored:
    """Write the workshop to a new SQLite file while it is in use, and look through what was written.

    From a server every row is copied and compared. Raises `WorkshopUnavailableError` where the file is there already
    or can't be written, `RestoreFailedError` where the comparison finds a difference.
    """
    if workshop.file is not None:
        workshop.back_up(target)
    else:
        if target.exists():
            raise WorkshopUnavailableError(f"The backup {target} is already there.", "Name another file.")
        _into_file(workshop, target)
    with tempfile.TemporaryDirectory(prefix=leftovers.LOOK) as folder:
        # Looked through in a copy: what opens a workshop leaves its journal beside it.
        look = Path(folder) / "backup.sqlite3"
        sqlite.back_up(target, look)
        written = open_workshop(look)
        try:
            with written.read() as session:
                report = check(session)
                rows = {table.name: session.scalar(select(func.count()).select_from(table)) or 0 for table in _tables()}
        finally:
            written.close()
    if workshop.file is None:
        daily.note_on_server(workshop, who)
    return Restored(str(target), rows, tuple(f"{one.where}: {one.what}" for one in report.findings))


def copy_into(source: Workshop, target: Workshop) -> Restored:
    """Copy every row of one workshop into another that is empty, in one unit, and compare. Between any two databases.

    Raises as `restore` does; nothing is kept where it fails.
    """
    rows: dict[str, int] = {}
    with source.read() as read, target.write() as write:
        for table in _tables():
            if write.scalar(select(func.count()).select_from(table)):
                raise WorkshopUnavailableError(f"{target.name} is not empty.", "Name an empty place.")
        for table in _tables():
            rows[table.name] = _copy(read, write, table)
        _after(write)
        for table in _tables():
            if _digest(read, table) != _digest(write, table):
                raise RestoreFailedError(f"The table {table.name} differs from the backup.", "Nothing was kept.")
    with target.read() as session:
        report = check(session)
    return Restored(target.name, rows, tuple(f"{one.where}: {one.what}" for one in report.findings))


def _must_be_empty(where: str | Path) -> None:
    if isinstance(where, str) and address.is_address(where):
        return
    file = address.file(where)
    if file.exists() and file.stat().st_size:
        raise WorkshopUnavailableError(f"{file} is there already.", "Name a file that is not there yet.")


def _tables() -> list[Listing]:
    return [table for table in Table.metadata.sorted_tables if not index.is_made_here(table.name)]


def _ordered(table: Listing) -> Any:
    # By key: rows of one table that name each other name an earlier one.
    return select(table).order_by(*table.primary_key.columns)


def _at_once(table: Listing) -> int:
    return LARGE_AT_ONCE if any(isinstance(column.type, LargeBinary) for column in table.columns) else ROWS_AT_ONCE


def _copy(read: Session, write: Session, table: Listing) -> int:
    """All rows of one table. A supplier row's words are made anew: each database indexes them in its own form."""
    copied = 0
    words = _words(write) if table.name == LISTED else None
    found = read.connection().execute(_ordered(table).execution_options(yield_per=_at_once(table)))
    for part in found.mappings().partitions(_at_once(table)):
        rows = [dict(row) for row in part]
        if words is not None:
            rows = [{**row, "words": words(row)} for row in rows]
        write.connection().execute(table.insert(), rows)
        copied += len(part)
    return copied


def _words(write: Session) -> Callable[[dict[str, Any]], str | None]:
    """How the words of a supplier row are written in the database that is filled."""

    def plain(row: dict[str, Any]) -> str:
        return search.terms.indexed(row["number"], row["name"])

    def with_parts(row: dict[str, Any]) -> str | None:
        listed = row["withdrawn_list_id"] is None
        return search.terms.with_grams(plain(row), row["compact"]) if listed else None

    return with_parts if write.get_bind().dialect.name == "postgresql" else plain


def _after(write: Session) -> None:
    """SQLite's search is indexed anew; PostgreSQL counts on from where the copied numbers end."""
    if write.get_bind().dialect.name != "postgresql":
        for statement in index.fill_again():
            write.connection().exec_driver_sql(statement)
        return
    for table in _tables():
        if "id" in table.c:
            write.connection().execute(
                text(
                    f"SELECT setval(pg_get_serial_sequence('{table.name}', 'id'), "
                    f"(SELECT coalesce(max(id), 1) FROM {table.name}), (SELECT count(*) > 0 FROM {table.name}))"
                )
            )


def _digest(session: Session, table: Listing) -> str:
    seen = hashlib.sha256()
    shown = [column for column in table.columns if (table.name, column.name) != (LISTED, "words")]
    ordered = select(*shown).order_by(*table.primary_key.columns).execution_options(yield_per=_at_once(table))
    for row in session.connection().execute(ordered):
        seen.update(repr(tuple(row)).encode())
    return seen.hexdigest()
