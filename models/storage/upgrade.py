"""The schema's revision: make it new, bring it up to date, refuse one that the code doesn't know."""

from __future__ import annotations

from sqlalchemy import Connection, inspect, text

from models.errors import WorkshopNewerError, WorkshopOlderError
from models.search import index
from models.storage import append_only
from models.storage.schema import CURRENT, UNRELEASED, Schema
from models.tables import Table

__all__ = ["CURRENT", "Schema", "create", "is_behind", "to_head"]


def is_behind(found: str | None, where: str, schema: Schema = CURRENT) -> bool:
    """Whether the database needs steps.

    Raises `WorkshopOlderError` when it is from before the first release, `WorkshopNewerError` when the code doesn't
    know its revision.
    """
    if found == schema.head:
        return False
    if found and UNRELEASED.fullmatch(found) and found not in schema.earlier:
        raise WorkshopOlderError(
            f"{where} was made by a Kitwright from before the first release and can't be opened.",
            "Nothing was changed. Keep it and take what it holds out with the program that made it, or begin a new "
            "workshop at another place with --data.",
        )
    if found and found not in schema.earlier:
        raise WorkshopNewerError(
            f"{where} was written by a newer Kitwright: its schema is {found}, this program knows {schema.head}.",
            "Update Kitwright. Nothing was changed.",
        )
    return True


def create(connection: Connection, schema: Schema = CURRENT) -> None:
    """Make every table at once and note the revision; nothing happens if another program was quicker.

    The same schema as all migration steps give (a test compares them), without their 0.3 s of import.
    """
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(7164209)"))
    if inspect(connection).has_table("alembic_version"):
        return
    Table.metadata.create_all(connection)
    dialect = connection.dialect.name
    for statement in (*append_only.statements(dialect), *index.statements(dialect)):
        connection.exec_driver_sql(statement)
    connection.exec_driver_sql(
        "CREATE TABLE alembic_version "
        "(version_num VARCHAR(32) NOT NULL, CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
    )
    connection.execute(text("INSERT INTO alembic_version VALUES (:head)"), {"head": schema.head})


def to_head(connection: Connection, schema: Schema = CURRENT) -> None:
    """Run the migration steps the database lacks, all in the caller's transaction."""
    from alembic import command  # 0.3 s, needed only by a database that is behind
    from alembic.config import Config

    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(7164209)"))
    config = Config()
    config.set_main_option("script_location", schema.steps)
    config.attributes["connection"] = connection
    command.upgrade(config, schema.head)
