"""Runs migration steps on the connection it is handed, inside the caller's transaction."""

from __future__ import annotations

from alembic import context

from models.tables import Table

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Table.metadata,
    # SQLite can't alter most of a table in place: a step copies it.
    render_as_batch=True,
    compare_type=True,
    transactional_ddl=False,
)
context.run_migrations()
