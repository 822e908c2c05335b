"""PostgreSQL: how a shared database is opened and what its refusals mean in words."""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import Engine, create_engine, event, inspect, text
from sqlalchemy.engine import URL
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import OperationalError, SQLAlchemyError
from sqlalchemy.pool import ConnectionPoolEntry

from models.errors import AlreadyThereError, WorkshopBusyError, WorkshopError, WorkshopUnavailableError
from models.storage import address
from models.storage.address import is_address

__all__ = ["engine", "in_words", "is_address", "revision", "shown"]

WAIT_SECONDS = 15


# What the server or its client said, and how we say it: their own words may repeat the address, its password among it.
_REASONS: Final = (
    ("password authentication failed", "it refused the user or the password"),
    ("no password supplied", "it asks for a password and none was given"),
    ("pg_hba.conf", "it lets nobody in from this computer under that name"),
    ("authentication failed", "it refused the user"),
    ('role "', "that user does not exist there, or may not log in"),
    ('database "', "that database does not exist there"),
    ("certificate", "its certificate is not trusted"),
    ("sslmode", "it doesn't speak the kind of SSL that was asked for"),
    ("ssl", "it doesn't speak the kind of SSL that was asked for"),
    ("connection refused", "nothing listens there (connection refused)"),
    ("could not translate host name", "no computer of that name is known"),
    ("name or service not known", "no computer of that name is known"),
    ("failed to resolve host", "no computer of that name is known"),
    ("timeout", "no answer in time"),
    ("no such file", "no server runs there"),
    ("service file", "its service file can't be read"),
    ("definition of service", "its service file has no such service"),
    ("too many clients", "it has as many connections as it takes"),
    ("starting up", "it is starting up"),
    ("shutting down", "it is shutting down"),
)


def shown(where: str) -> str:
    """The address as it may be said: its host, port, database and user."""
    return address.server(where).shown


def engine(where: str) -> Engine:
    """An engine on the address; nothing is opened yet. Raises `WorkshopUnavailableError` without the driver."""
    settings = {"connect_timeout": str(WAIT_SECONDS), **address.KEEP_ALIVE, **address.server(where).settings}
    try:
        # No part of the address goes into the engine's own, which messages and logs repeat.
        made = create_engine(URL.create("postgresql+psycopg"), pool_pre_ping=True, connect_args=settings)
    except ModuleNotFoundError as missing:
        raise WorkshopUnavailableError(
            "A PostgreSQL database needs a driver that is not installed.",
            "Install Kitwright with its postgresql extra.",
        ) from missing
    event.listen(made, "connect", _connected)
    return made


def _connected(connection: DBAPIConnection, _entry: ConnectionPoolEntry) -> None:
    cursor = connection.cursor()
    cursor.execute(f"SET lock_timeout = '{WAIT_SECONDS}s'")
    cursor.execute("SET timezone = 'UTC'")
    cursor.close()
    connection.commit()


def revision(made: Engine) -> str | None:
    """The schema revision in the database; None when there is no schema yet."""
    with made.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        found: Any = connection.scalar(text("SELECT version_num FROM alembic_version"))
        return str(found) if found is not None else ""


def in_words(fault: SQLAlchemyError, where: str) -> WorkshopError:
    """The server's refusal as what happened and what to do."""
    origin = getattr(fault, "orig", None)
    state = getattr(origin, "sqlstate", None) or ""
    if state in {"55P03", "40P01", "40001", "57014"}:
        return WorkshopBusyError(f"Others are writing to the same rows of {where}.", "Nothing was changed; try again.")
    if state in {"25006", "42501"}:
        return WorkshopUnavailableError(
            f"{where} may not be written to.", "Nothing was changed. Ask for the right to write."
        )
    if state in {"53100", "53200", "53300"}:
        return WorkshopUnavailableError(
            f"The server of {where} is out of room.", "Nothing was changed. Make room on it."
        )
    if state == "23505":
        return AlreadyThereError("Someone was quicker: that is there already.", "Refresh the list.")
    if (not state and isinstance(fault, OperationalError)) or state.startswith(("08", "57", "28", "3D")):
        return WorkshopUnavailableError(
            f"{where} can't be reached: {_reason(str(origin or ''))}.",
            "See that the server runs and the address is right.",
        )
    said = getattr(getattr(origin, "diag", None), "message_primary", None) if state else None
    return WorkshopUnavailableError(
        f"{where} refused: {str(said or type(origin or fault).__name__).rstrip('.')}.", "Nothing was changed."
    )


def _reason(said: str) -> str:
    low = said.lower()
    return next((ours for theirs, ours in _REASONS if theirs in low), "no answer")
