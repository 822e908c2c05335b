"""What the search over the suppliers' rows stands on: an index in PostgreSQL, two full-text tables in SQLite.

SQLite's tables only index: the text stays in `list_rows`, so what is indexed and what is shown can't drift apart. The
rows themselves are indexed by `models.supplier_lists.bulk`, in batches; a trigger would cost twice the time.
"""

from __future__ import annotations

import re

TABLES = ("list_words", "list_numbers")
COLUMNS = ("words", "compact")
"""What of a row each of the tables indexes."""
INDEX = "ix_list_rows_words"
_OURS = re.compile(rf"{INDEX}|(?:{'|'.join(TABLES)})(?:_(?:data|idx|docsize|config|content))?")


def statements(dialect: str) -> list[str]:
    """The SQL that makes them, for `sqlite` or `postgresql`."""
    if dialect == "postgresql":
        return [f"CREATE INDEX {INDEX} ON list_rows USING gin (words)"]
    return [
        # The text is words and spaces already; the ascii tokenizer splits at spaces and leaves other letters whole.
        "CREATE VIRTUAL TABLE list_words USING fts5(words, content='list_rows', content_rowid='id',"
        " tokenize='ascii', prefix='1 2 3 4 5', detail=none, columnsize=0)",
        "CREATE VIRTUAL TABLE list_numbers USING fts5(compact, content='list_rows', content_rowid='id',"
        " tokenize='trigram case_sensitive 1', detail=none, columnsize=0)",
    ]


def fill_again() -> list[str]:
    """The SQL that fills SQLite's two tables from the rows, as they stand after an import: without withdrawn ones."""
    return [
        statement
        for table, column in zip(TABLES, COLUMNS, strict=True)
        for statement in (
            f"INSERT INTO {table} ({table}) VALUES ('rebuild')",
            f"INSERT INTO {table} ({table}, rowid, {column}) SELECT 'delete', id, {column} FROM list_rows"
            " WHERE withdrawn_list_id IS NOT NULL",
        )
    ]


def is_made_here(name: str | None) -> bool:
    """Whether a table or an index is one of these, or what SQLite keeps under them: no model describes it."""
    return name is not None and _OURS.fullmatch(name) is not None
