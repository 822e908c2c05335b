"""Change what SQLite's schema says of a table, where its rows may stay as they are: a million need not be copied."""

from __future__ import annotations

import sqlalchemy as sa


def replace(database: sa.Connection, table: str, before: str, after: str) -> None:
    """Put `after` where the table's definition says `before`.

    For a check that allows no less than it did, or a constraint that is taken away. The procedure is SQLite's own,
    "Making Other Kinds Of Table Schema Changes" (sqlite.org/lang_altertable.html). Raises RuntimeError where the table
    does not say that.
    """
    version = database.exec_driver_sql("PRAGMA schema_version").scalar_one()
    database.exec_driver_sql("PRAGMA writable_schema = ON")
    try:
        changed = database.execute(
            sa.text(
                "UPDATE sqlite_master SET sql = replace(sql, :before, :after)"
                " WHERE type = 'table' AND name = :table AND instr(sql, :before) > 0"
            ),
            {"table": table, "before": before, "after": after},
        )
        if changed.rowcount != 1:
            raise RuntimeError(f"the table {table} does not say {before!r}")
        database.exec_driver_sql(f"PRAGMA schema_version = {version + 1}")
    finally:
        database.exec_driver_sql("PRAGMA writable_schema = OFF")
