"""A row of a supplier's list names its supplier without a foreign key: it was looked up a row, seconds a million."""

from alembic import op

from models.migrations import sqlite_schema

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

NAME = "fk_list_rows_supplier_id"
KEY = f"CONSTRAINT {NAME} FOREIGN KEY(supplier_id) REFERENCES suppliers (id), \n\t"


def upgrade() -> None:
    if op.get_bind().dialect.name == "postgresql":
        op.drop_constraint(op.f(NAME), "list_rows", type_="foreignkey")
    else:
        sqlite_schema.replace(op.get_bind(), "list_rows", KEY, "")


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
