"""Runs migration steps on the connection it is handed, inside the caller's transaction."""

from __future__ import annotations

from typing import Any

from alembic import context

from models.search.index import is_made_here
from models.tables import Table


def _described(_object: Any, name: str | None, *_rest: Any) -> bool:
    """What autogenerate compares: not what the search stands on, which no model describes."""
    return not is_made_here(name)


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Table.metadata,
    # SQLite can't alter most of a table in place: a step copies it.
    render_as_batch=True,
    compare_type=True,
    include_object=_described,
    transactional_ddl=False,
)
context.run_migrations()
