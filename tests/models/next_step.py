"""An invented second revision: what a later program's step may do to a workshop of ours.

`tests.models.ahead` puts it behind our own steps. It adds a column, works through every row of a table, allows a word
more and makes a table.
"""

# The names and the form are Alembic's.

import sqlalchemy as sa
from alembic import op

from models.migrations import sqlite_schema
from models.storage.upgrade import CURRENT
from models.supplier_lists.words import ReadingState

revision = "9999"
down_revision = CURRENT.head
branch_labels = None
depends_on = None

CHECK = "ck_list_rows_reading_state_word"
BEFORE = " OR ".join(f"reading_state = '{word.value}'" for word in ReadingState)
AFTER = f"{BEFORE} OR reading_state = 'doubted'"


def upgrade() -> None:
    op.add_column("bins", sa.Column("walk", sa.Integer(), nullable=False, server_default="7"))
    op.add_column("list_rows", sa.Column("shouted", sa.Text(), nullable=True))
    op.execute("UPDATE list_rows SET shouted = upper(name)")
    if op.get_bind().dialect.name == "postgresql":
        op.drop_constraint(op.f(CHECK), "list_rows", type_="check")
        op.create_check_constraint(op.f(CHECK), "list_rows", AFTER)
    else:
        sqlite_schema.replace(op.get_bind(), "list_rows", BEFORE, AFTER)
    op.create_table(
        "walks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("bin_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["bin_id"], ["bins.id"], name=op.f("fk_walks_bin_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_walks")),
    )
    op.execute("INSERT INTO walks (bin_id) SELECT id FROM bins")
