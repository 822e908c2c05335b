"""What the shop says itself: fluid classes and rules, sizes of rings."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "shop_fluid_classes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=200), nullable=False),
        sa.Column("code_folded", sa.String(length=400), nullable=False),
        sa.Column("description", sa.String(length=2000), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(code) > 0", name=op.f("ck_shop_fluid_classes_code_not_blank")),
        sa.CheckConstraint("length(description) > 0", name=op.f("ck_shop_fluid_classes_description_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_shop_fluid_classes_action_id")),
        sa.ForeignKeyConstraint(
            ["withdrawn_by_id"], ["actions.id"], name=op.f("fk_shop_fluid_classes_withdrawn_by_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_fluid_classes")),
    )
    op.create_index(op.f("ix_shop_fluid_classes_action_id"), "shop_fluid_classes", ["action_id"])
    op.create_index(op.f("ix_shop_fluid_classes_withdrawn_by_id"), "shop_fluid_classes", ["withdrawn_by_id"])
    op.create_index(
        "uq_shop_fluid_classes_code",
        "shop_fluid_classes",
        ["code_folded"],
        unique=True,
        sqlite_where=sa.text("withdrawn_by_id IS NULL"),
        postgresql_where=sa.text("withdrawn_by_id IS NULL"),
    )
    op.create_table(
        "shop_fluid_rules",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("required", sa.String(length=400), nullable=False),
        sa.Column("offered", sa.String(length=400), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "upgrade",
                "allowed",
                "caution",
                "partial",
                "downgrade",
                "lacks",
                "never",
                name="rulekind",
                native_enum=False,
                length=20,
            ),
            nullable=False,
        ),
        sa.Column("condition", sa.String(length=2000), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('upgrade', 'allowed', 'caution', 'partial', 'downgrade', 'lacks', 'never')",
            name=op.f("ck_shop_fluid_rules_kind_word"),
        ),
        sa.CheckConstraint("length(offered) > 0", name=op.f("ck_shop_fluid_rules_offered_not_blank")),
        sa.CheckConstraint("length(required) > 0", name=op.f("ck_shop_fluid_rules_required_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_shop_fluid_rules_action_id")),
        sa.ForeignKeyConstraint(["withdrawn_by_id"], ["actions.id"], name=op.f("fk_shop_fluid_rules_withdrawn_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_fluid_rules")),
    )
    op.create_index(op.f("ix_shop_fluid_rules_action_id"), "shop_fluid_rules", ["action_id"])
    op.create_index(op.f("ix_shop_fluid_rules_withdrawn_by_id"), "shop_fluid_rules", ["withdrawn_by_id"])
    op.create_index(
        "uq_shop_fluid_rules_pair",
        "shop_fluid_rules",
        ["required", "offered"],
        unique=True,
        sqlite_where=sa.text("withdrawn_by_id IS NULL"),
        postgresql_where=sa.text("withdrawn_by_id IS NULL"),
    )
    op.create_table(
        "own_sizes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("series", sa.String(length=30), nullable=False),
        sa.Column("series_folded", sa.String(length=60), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("designation", sa.String(length=50), nullable=False),
        sa.Column("designation_folded", sa.String(length=100), nullable=False),
        sa.Column("id_tenth_um", sa.Integer(), nullable=False),
        sa.Column("id_tol_tenth_um", sa.Integer(), nullable=False),
        sa.Column("cross_section_tenth_um", sa.Integer(), nullable=False),
        sa.Column("cross_section_tol_tenth_um", sa.Integer(), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "cross_section_tol_tenth_um > 0 AND cross_section_tol_tenth_um < cross_section_tenth_um",
            name=op.f("ck_own_sizes_cross_section_tol_within"),
        ),
        sa.CheckConstraint(
            "id_tol_tenth_um > 0 AND id_tol_tenth_um < id_tenth_um", name=op.f("ck_own_sizes_id_tol_within")
        ),
        sa.CheckConstraint("length(designation) > 0", name=op.f("ck_own_sizes_designation_not_blank")),
        sa.CheckConstraint("length(series) > 0", name=op.f("ck_own_sizes_series_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_own_sizes_action_id")),
        sa.ForeignKeyConstraint(["withdrawn_by_id"], ["actions.id"], name=op.f("fk_own_sizes_withdrawn_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_sizes")),
    )
    op.create_index(op.f("ix_own_sizes_action_id"), "own_sizes", ["action_id"])
    op.create_index(op.f("ix_own_sizes_withdrawn_by_id"), "own_sizes", ["withdrawn_by_id"])
    op.create_index(
        "uq_own_sizes_name",
        "own_sizes",
        ["series_folded", "designation_folded"],
        unique=True,
        sqlite_where=sa.text("withdrawn_by_id IS NULL"),
        postgresql_where=sa.text("withdrawn_by_id IS NULL"),
    )
