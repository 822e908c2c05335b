"""Tables the database itself keeps append-only: no program, ours or another, can change or remove a row."""

from __future__ import annotations

TABLES = (
    *("actions", "movements", "fit_records", "fit_readings", "fit_outcomes"),
    *("orders", "order_lines", "order_shares", "order_steps", "order_receipts"),
    *("fill_entries", "seal_notes", "row_snapshots"),
)
PARTS = ("fit_readings", "order_shares", "row_snapshots")
"""Those without an id of their own: they belong to a row of another table."""


def statements(dialect: str) -> list[str]:
    """The SQL that guards the tables, for `sqlite` or `postgresql`."""
    if dialect == "sqlite":
        refusals = [
            f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
            for table in TABLES
            for verb in ("UPDATE", "DELETE")
        ]
        # INSERT OR REPLACE removes the old row without firing its delete trigger.
        replacements = [
            f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} "
            f"WHEN EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id) "
            f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
            for table in TABLES
            if table not in PARTS
        ]
        return refusals + replacements
    return [
        "CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION USING MESSAGE = TG_TABLE_NAME || ' is append-only', "
        "ERRCODE = 'restrict_violation'; END $$",
        *(
            f"CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()"
            for table in TABLES
        ),
    ]
