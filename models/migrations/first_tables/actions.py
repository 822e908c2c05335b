"""What was done, by whom and when, and what it wrote over."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "actions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("who", sa.String(length=200), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("what", sa.String(length=40), nullable=False),
        sa.Column("about", sa.String(length=2000), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=True),
        sa.Column("undoes_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(key) > 0", name=op.f("ck_actions_key_not_blank")),
        sa.CheckConstraint("length(what) > 0", name=op.f("ck_actions_what_not_blank")),
        sa.CheckConstraint("length(who) > 0", name=op.f("ck_actions_who_not_blank")),
        sa.CheckConstraint("undoes_id IS NULL OR undoes_id < id", name=op.f("ck_actions_undoes_earlier")),
        sa.ForeignKeyConstraint(["undoes_id"], ["actions.id"], name=op.f("fk_actions_undoes_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_actions")),
        sa.UniqueConstraint("key", name=op.f("uq_actions_key")),
        sa.UniqueConstraint("undoes_id", name=op.f("uq_actions_undoes_id")),
    )
    op.create_index("ix_actions_who_id", "actions", ["who", "id"])
    op.create_table(
        "row_snapshots",
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("said", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_row_snapshots_action_id")),
        sa.PrimaryKeyConstraint("action_id", name=op.f("pk_row_snapshots")),
    )
