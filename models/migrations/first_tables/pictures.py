"""Pictures of items, bins, machines and positions."""

from __future__ import annotations

from typing import Final

import sqlalchemy as sa
from alembic import op

OF: Final = ("item_id", "bin_id", "machine_id", "position_id")


def create() -> None:
    """Make the table with its indexes."""
    one = " + ".join(f"CASE WHEN {column} IS NULL THEN 0 ELSE 1 END" for column in OF)
    op.create_table(
        "pictures",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        *(sa.Column(column, sa.Integer(), nullable=True) for column in OF),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(f"{one} = 1", name=op.f("ck_pictures_of_one_thing")),
        sa.CheckConstraint("height BETWEEN 1 AND 1280", name=op.f("ck_pictures_height_range")),
        sa.CheckConstraint("length(jpeg) BETWEEN 1 AND 200000", name=op.f("ck_pictures_jpeg_small")),
        sa.CheckConstraint("width BETWEEN 1 AND 1280", name=op.f("ck_pictures_width_range")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_pictures_action_id")),
        sa.ForeignKeyConstraint(["bin_id"], ["bins.id"], name=op.f("fk_pictures_bin_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_pictures_item_id")),
        sa.ForeignKeyConstraint(["machine_id"], ["machines.id"], name=op.f("fk_pictures_machine_id")),
        sa.ForeignKeyConstraint(["position_id"], ["positions.id"], name=op.f("fk_pictures_position_id")),
        sa.ForeignKeyConstraint(["withdrawn_by_id"], ["actions.id"], name=op.f("fk_pictures_withdrawn_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pictures")),
    )
    op.create_index(op.f("ix_pictures_action_id"), "pictures", ["action_id"])
    op.create_index(op.f("ix_pictures_withdrawn_by_id"), "pictures", ["withdrawn_by_id"])
    stands = sa.text("withdrawn_by_id IS NULL")
    for column in OF:
        op.create_index(
            f"uq_pictures_{column}", "pictures", [column], unique=True, sqlite_where=stands, postgresql_where=stands
        )
