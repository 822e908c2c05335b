"""The triggers that keep tables append-only."""

from __future__ import annotations

from typing import Final

from alembic import op

APPEND_ONLY: Final = (
    "actions",
    "movements",
    "fit_records",
    "fit_readings",
    "fit_outcomes",
    "orders",
    "order_lines",
    "order_shares",
    "order_steps",
    "order_receipts",
    "fill_entries",
    "seal_notes",
    "row_snapshots",
)
WITHOUT_ID: Final = ("fit_readings", "order_shares", "row_snapshots")


def create() -> None:
    """Make the triggers of the database at hand."""
    for statement in _on_postgresql() if op.get_bind().dialect.name == "postgresql" else _on_sqlite():
        op.execute(statement)


def _on_postgresql() -> list[str]:
    return [
        "CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION USING "
        "MESSAGE = TG_TABLE_NAME || ' is append-only', ERRCODE = 'restrict_violation'; END $$",
        *(
            f"CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()"
            for table in APPEND_ONLY
        ),
    ]


def _on_sqlite() -> list[str]:
    statements = []
    for table in APPEND_ONLY:
        refused = f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
        statements += [
            f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} {refused}",
            f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} {refused}",
        ]
        if table not in WITHOUT_ID:
            # INSERT OR REPLACE removes the old row without firing its delete trigger.
            statements.append(
                f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
                f"WHEN EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id) {refused}"
            )
    return statements
