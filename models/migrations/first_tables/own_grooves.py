"""What the shop says itself of grooves."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create() -> None:
    """Make the table with its indexes."""
    op.create_table(
        "own_grooves",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("series", sa.String(length=30), nullable=False),
        sa.Column("series_folded", sa.String(length=60), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("groove_folded", sa.String(length=300), nullable=False),
        sa.Column("is_face", sa.Boolean(), nullable=False),
        sa.Column("stands", sa.Boolean(), nullable=False),
        sa.Column("reciprocates", sa.Boolean(), nullable=False),
        sa.Column("pneumatic", sa.Boolean(), nullable=False),
        sa.Column("medium", sa.String(length=30), nullable=False),
        sa.Column("sizes", sa.String(length=60), nullable=False),
        sa.Column("section_tenth_um", sa.Integer(), nullable=False),
        sa.Column("section_tol_tenth_um", sa.Integer(), nullable=True),
        sa.Column("depth_min_tenth_um", sa.Integer(), nullable=False),
        sa.Column("depth_max_tenth_um", sa.Integer(), nullable=False),
        sa.Column("width_min_tenth_um", sa.Integer(), nullable=False),
        sa.Column("width_max_tenth_um", sa.Integer(), nullable=False),
        sa.Column("width_one_backup_tenth_um", sa.Integer(), nullable=True),
        sa.Column("width_two_backups_tenth_um", sa.Integer(), nullable=True),
        sa.Column("clearance_max_tenth_um", sa.Integer(), nullable=True),
        sa.Column("squeeze_min_tenth_um", sa.Integer(), nullable=True),
        sa.Column("squeeze_max_tenth_um", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=300), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "(squeeze_min_tenth_um IS NULL) = (squeeze_max_tenth_um IS NULL)", name=op.f("ck_own_grooves_squeeze_whole")
        ),
        sa.CheckConstraint("NOT is_face OR NOT (reciprocates OR pneumatic)", name=op.f("ck_own_grooves_face_stands")),
        sa.CheckConstraint("clearance_max_tenth_um >= 0", name=op.f("ck_own_grooves_clearance_not_less")),
        sa.CheckConstraint("depth_max_tenth_um < section_tenth_um", name=op.f("ck_own_grooves_depth_within_section")),
        sa.CheckConstraint(
            "depth_min_tenth_um > 0 AND depth_min_tenth_um <= depth_max_tenth_um",
            name=op.f("ck_own_grooves_depth_order"),
        ),
        sa.CheckConstraint("length(series) > 0", name=op.f("ck_own_grooves_series_not_blank")),
        sa.CheckConstraint(
            "section_tol_tenth_um > 0 AND section_tol_tenth_um < section_tenth_um",
            name=op.f("ck_own_grooves_section_tol_within"),
        ),
        sa.CheckConstraint("stands OR reciprocates OR pneumatic", name=op.f("ck_own_grooves_motion_said")),
        sa.CheckConstraint(
            "width_min_tenth_um > 0 AND width_min_tenth_um <= width_max_tenth_um",
            name=op.f("ck_own_grooves_width_order"),
        ),
        sa.CheckConstraint(
            "width_one_backup_tenth_um > width_min_tenth_um", name=op.f("ck_own_grooves_one_backup_wider")
        ),
        sa.CheckConstraint(
            "width_two_backups_tenth_um > width_min_tenth_um", name=op.f("ck_own_grooves_two_backups_wider")
        ),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_own_grooves_action_id")),
        sa.ForeignKeyConstraint(["withdrawn_by_id"], ["actions.id"], name=op.f("fk_own_grooves_withdrawn_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_grooves")),
    )
    op.create_index(op.f("ix_own_grooves_action_id"), "own_grooves", ["action_id"])
    op.create_index(op.f("ix_own_grooves_withdrawn_by_id"), "own_grooves", ["withdrawn_by_id"])
    op.create_index(
        "uq_own_grooves_groove",
        "own_grooves",
        ["series_folded", "groove_folded"],
        unique=True,
        sqlite_where=sa.text("withdrawn_by_id IS NULL"),
        postgresql_where=sa.text("withdrawn_by_id IS NULL"),
    )
