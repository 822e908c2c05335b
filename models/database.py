"""Open a workshop's database, SQLite file or PostgreSQL address, and give out units that read or write it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine
from sqlalchemy.exc import DBAPIError, SQLAlchemyError
from sqlmodel import Session

from models import storage
from models.acts import Clock, now
from models.errors import PLAIN_FAULTS, WorkshopError, WorkshopUnavailableError, may_be_kept
from models.storage import address, leftovers, locations, permissions, postgresql, sqlite, upgrade
from models.storage.shares import on_network_share
from models.storage.upgrade import CURRENT, Schema

__all__ = ["Session", "Workshop", "open_workshop"]
"""`Session` is what a unit gives: those who pass it on to the models' functions name its type from here."""


_UNREAD = "Could not decode to UTF-8"
"""What SQLite's driver says of text that is none."""


class Workshop:
    """One open database. Units are short: parse and ask first, then `with workshop.write() as session`.

    A read unit sees one moment and can't write. A write unit commits when its block ends and keeps nothing when the
    block raises. Both raise a `WorkshopError` in words where the database refuses.
    """

    def __init__(self, engine: Engine, name: str, *, file: Path | None, clock: Clock) -> None:
        self.name = name
        self.file = file
        self.clock = clock
        self.commits = 0
        """How many units wrote and committed since it was opened."""
        self._engine = engine
        reading: dict[str, object] = {"kitwright_reading": True}
        if file is None:
            reading |= {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
        self._reading = engine.execution_options(**reading)

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A unit that only reads."""
        with self._words(), Session(self._reading, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A unit that writes: all of it or nothing."""
        with self._turn(), self._words(), Session(self._engine, expire_on_commit=False) as session:
            yield session
            session.commit()
        self.commits += 1

    def _turn(self) -> AbstractContextManager[None]:
        """Programs that write to one file do so in the order they came; a server sees to that itself."""
        if sys.platform != "win32":
            if self.file is not None:
                return storage.turns.turn(self.file, sqlite.BUSY_SECONDS)
        return nullcontext()

    @property
    def note(self) -> str:
        """What a person should know of where the data lies; mostly nothing."""
        if self.file is None or not on_network_share(self.file):
            return ""
        return (
            f"{self.file} lies on a network share. It works there, with waiting, and only as safely as the share locks "
            "files. For several computers use a PostgreSQL server."
        )

    def back_up(self, target: Path) -> None:
        """Copy the database to a new file while it is in use. SQLite only; a server has backups of its own."""
        if self.file is None:
            raise WorkshopUnavailableError(f"{self.name} is on a server.", "Back it up there, with pg_dump.")
        sqlite.back_up(self.file, target)

    def wrong_value(self) -> WorkshopUnavailableError | None:
        """The first value that can't be where it stands, with its table, row and column; None where all can.

        To be asked where a fault may come of such a value: it goes through all there is.
        """
        try:
            with Session(self._reading) as session:
                found = next(iter(storage.values.findings(session)), None)
        except (SQLAlchemyError, *PLAIN_FAULTS):
            return None
        if found is None:
            return None
        return WorkshopUnavailableError(
            f"{self.name} holds what Kitwright never writes: {found.where} {found.what}.",
            "Have all of it told with: kitwright check. Put it right, or put a backup back.",
        )

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    @contextmanager
    def _words(self) -> Iterator[None]:
        try:
            yield
        except SQLAlchemyError as fault:
            unread = _UNREAD in str(fault) and self.wrong_value()
            raise unread or _in_words(fault, self.name, self.file) from fault
        except PLAIN_FAULTS as fault:
            wrong = self.wrong_value() if may_be_kept(fault) else None
            if wrong is None:
                raise
            raise wrong from fault


def _in_words(fault: SQLAlchemyError, name: str, file: Path | None) -> WorkshopError:
    if file is None:
        return postgresql.in_words(fault, name)
    origin = fault.orig if isinstance(fault, DBAPIError) else None
    return sqlite.in_words(origin or fault, name)


def open_workshop(where: str | Path, *, clock: Clock = now, schema: Schema = CURRENT) -> Workshop:
    """Open, and where needed make or upgrade, the workshop in a file or at a `postgresql://` address.

    A SQLite file is copied beside itself before an upgrade. Raises `WorkshopUnavailableError` (folder missing,
    read-only, server away, not a workshop), `WorkshopBusyError`, `WorkshopOlderError` or
    `WorkshopNewerError`; the message says what to do.
    """
    if isinstance(where, str) and address.is_address(where):
        return _open_address(where, clock, schema)
    return _open_file(address.file(where), clock, schema)


def _open_file(file: Path, clock: Clock, schema: Schema) -> Workshop:
    try:
        _look_at(file)
        permissions.secure(file, locations.own_folder_of(file))
        found = sqlite.revision(file)
    except OSError as fault:
        raise WorkshopUnavailableError(
            f"{file} can't be looked at ({fault.strerror or fault}).", "See that you may read and write in its folder."
        ) from fault
    behind = upgrade.is_behind(found, str(file), schema)
    if found and behind:
        sqlite.back_up(file, _backup_beside(file, found, clock()))
    workshop = Workshop(sqlite.engine(file), str(file), file=file, clock=clock)
    if not found:
        permissions.make_file(file)
    if behind:
        _bring_up(workshop, found, schema)
    leftovers.clear(file.parent)
    return workshop


def _look_at(file: Path) -> None:
    if not file.parent.is_dir():
        raise WorkshopUnavailableError(f"The folder {file.parent} is not there.", "Make it, or name another file.")
    if file.is_dir():
        raise WorkshopUnavailableError(f"{file} is a folder.", "Name a file in it.")


def _open_address(where: str, clock: Clock, schema: Schema) -> Workshop:
    name = postgresql.shown(where)
    workshop = Workshop(postgresql.engine(where), name, file=None, clock=clock)
    try:
        found = postgresql.revision(workshop._engine)
    except SQLAlchemyError as fault:
        raise postgresql.in_words(fault, name) from fault
    if upgrade.is_behind(found, name, schema):
        _bring_up(workshop, found, schema)
    return workshop


def _bring_up(workshop: Workshop, found: str | None, schema: Schema) -> None:
    with workshop.write() as session:
        if found is None:
            upgrade.create(session.connection(), schema)
        else:
            upgrade.to_head(session.connection(), schema)


def _backup_beside(file: Path, revision: str, at: datetime) -> Path:
    return file.with_name(f"{file.stem}.before-upgrade-from-{revision}.{at:%Y%m%dT%H%M%S%f}{file.suffix}")
