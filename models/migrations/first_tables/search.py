"""What the search in suppliers' lists stands on."""

from __future__ import annotations

from alembic import op


def create() -> None:
    """Make the index of words of the database at hand; on SQLite the one of part numbers too."""
    if op.get_bind().dialect.name == "postgresql":
        op.execute("CREATE INDEX ix_list_rows_words ON list_rows USING gin (words)")
        return
    op.execute(
        "CREATE VIRTUAL TABLE list_words USING fts5(words, content='list_rows', content_rowid='id', tokenize='ascii', "
        "prefix='1 2 3 4 5', detail=none, columnsize=0)"
    )
    op.execute(
        "CREATE VIRTUAL TABLE list_numbers USING fts5(compact, content='list_rows', content_rowid='id', "
        "tokenize='trigram case_sensitive 1', detail=none, columnsize=0)"
    )
