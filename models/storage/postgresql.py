"""PostgreSQL: how a shared database is opened and what its refusals mean in words."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Engine, create_engine, event, inspect, text
from sqlalchemy.engine import URL, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError, OperationalError, SQLAlchemyError
from sqlalchemy.pool import ConnectionPoolEntry

from models.errors import (
    AlreadyThereError,
    InvalidInputError,
    WorkshopBusyError,
    WorkshopError,
    WorkshopUnavailableError,
)

WAIT_SECONDS = 15


def is_address(where: str) -> bool:
    """Whether the text is a PostgreSQL address rather than a file."""
    return where.startswith(("postgresql://", "postgres://", "postgresql+psycopg://"))


def shown(where: str) -> str:
    """The address without its password."""
    return _url(where).render_as_string(hide_password=True).replace("+psycopg", "", 1)


def _url(where: str) -> URL:
    try:
        return make_url(where).set(drivername="postgresql+psycopg")
    except (ArgumentError, ValueError) as fault:
        raise InvalidInputError(
            "That is not an address of a PostgreSQL database.", "Type it as postgresql://user@host/database."
        ) from fault


def engine(where: str) -> Engine:
    """An engine on the address; nothing is opened yet. Raises `WorkshopUnavailableError` without the driver."""
    try:
        made = create_engine(_url(where), pool_pre_ping=True, connect_args={"connect_timeout": WAIT_SECONDS})
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
        reason = str(origin or fault).strip().splitlines()[0] if str(origin or fault).strip() else "no answer"
        return WorkshopUnavailableError(
            f"{where} can't be reached: {reason.rstrip('.')}.", "See that the server runs and the address is right."
        )
    return WorkshopUnavailableError(f"{where} refused: {origin or fault}.", "Nothing was changed.")
