"""The shelf: bins, items with what is known of them, lots, and what lies where."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "bins",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=200), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("folded", sa.String(length=4000), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(code) > 0", name=op.f("ck_bins_code_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_bins_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bins")),
    )
    _one_name("bins", "code")
    op.create_table(
        "items",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "ring",
                "filter",
                "fluid",
                "sealant",
                "fastener",
                "consumable",
                name="kind",
                native_enum=False,
                length=20,
            ),
            nullable=False,
        ),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("counted_in", sa.Enum("each", "ul", name="unit", native_enum=False, length=20), nullable=False),
        sa.Column("size_key", sa.String(length=60), nullable=True),
        sa.Column("rubber", sa.String(length=20), nullable=False),
        sa.Column("hardness_shore_a", sa.Integer(), nullable=True),
        sa.Column("spec_class", sa.String(length=200), nullable=False),
        sa.Column("spec_grade", sa.String(length=200), nullable=False),
        sa.Column("cure_minutes", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("folded", sa.String(length=4000), nullable=False),
        sa.Column("class_folded", sa.String(length=400), nullable=False),
        sa.Column("grade_folded", sa.String(length=400), nullable=False),
        sa.Column("element", sa.String(length=4000), nullable=True),
        sa.Column("container", sa.BigInteger(), nullable=True),
        sa.Column("reorder_at", sa.BigInteger(), nullable=True),
        sa.Column("reorder_up_to", sa.BigInteger(), nullable=True),
        sa.Column("reorder_lead_days", sa.Integer(), nullable=True),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("counted_in IN ('each', 'ul')", name=op.f("ck_items_counted_in_word")),
        sa.CheckConstraint("kind <> 'fluid' OR counted_in = 'ul'", name=op.f("ck_items_fluid_by_volume")),
        sa.CheckConstraint(
            "kind <> 'ring' OR (size_key IS NOT NULL AND counted_in = 'each')", name=op.f("ck_items_ring_has_size")
        ),
        sa.CheckConstraint(
            "kind = 'ring' OR (size_key IS NULL AND rubber = '')", name=op.f("ck_items_only_rings_have_size")
        ),
        sa.CheckConstraint(
            "kind IN ('ring', 'filter', 'fluid', 'sealant', 'fastener', 'consumable')", name=op.f("ck_items_kind_word")
        ),
        sa.CheckConstraint("size_key IS NULL OR size_key LIKE '_%\\:_%'", name=op.f("ck_items_size_key_form")),
        sa.CheckConstraint(
            "(reorder_at IS NULL) = (reorder_up_to IS NULL)", name=op.f("ck_items_reorder_at_and_up_to")
        ),
        sa.CheckConstraint("container > 0", name=op.f("ck_items_container_positive")),
        sa.CheckConstraint("cure_minutes >= 0", name=op.f("ck_items_cure_not_negative")),
        sa.CheckConstraint("hardness_shore_a BETWEEN 1 AND 100", name=op.f("ck_items_hardness_range")),
        sa.CheckConstraint("length(element) > 0", name=op.f("ck_items_element_not_blank")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_items_name_not_blank")),
        sa.CheckConstraint("reorder_at >= 0", name=op.f("ck_items_reorder_at_not_negative")),
        sa.CheckConstraint("reorder_lead_days >= 0", name=op.f("ck_items_reorder_lead_not_negative")),
        sa.CheckConstraint("reorder_up_to > reorder_at", name=op.f("ck_items_reorder_up_to_above")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_items_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_items")),
    )
    _one_name("items", "name")
    op.create_index("ix_items_kind_class_folded", "items", ["kind", "class_folded"])
    op.create_index(
        "ix_items_reorder_at",
        "items",
        ["reorder_at"],
        sqlite_where=sa.text("reorder_at IS NOT NULL"),
        postgresql_where=sa.text("reorder_at IS NOT NULL"),
    )
    op.create_index(op.f("ix_items_size_key"), "items", ["size_key"])
    op.create_table(
        "assortment_models",
        sa.Column("bin_id", sa.Integer(), nullable=False),
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.CheckConstraint("pieces > 0", name=op.f("ck_assortment_models_pieces_positive")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_assortment_models_action_id")),
        sa.ForeignKeyConstraint(["bin_id"], ["bins.id"], name=op.f("fk_assortment_models_bin_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_assortment_models_item_id")),
        sa.PrimaryKeyConstraint("bin_id", "item_id", name=op.f("pk_assortment_models")),
    )
    op.create_table(
        "item_claims",
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("claim", sa.String(length=200), nullable=False),
        sa.CheckConstraint("length(claim) > 0", name=op.f("ck_item_claims_claim_not_blank")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_item_claims_item_id")),
        sa.PrimaryKeyConstraint("item_id", "position", name=op.f("pk_item_claims")),
    )
    op.create_table(
        "item_gtins",
        sa.Column("gtin", sa.String(length=14), nullable=False),
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("length(gtin) = 14", name=op.f("ck_item_gtins_gtin_digits")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_item_gtins_action_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_item_gtins_item_id")),
        sa.PrimaryKeyConstraint("gtin", name=op.f("pk_item_gtins")),
    )
    op.create_index(op.f("ix_item_gtins_item_id"), "item_gtins", ["item_id"])
    op.create_table(
        "lots",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=200), nullable=False),
        sa.Column("expires_on", sa.Date(), nullable=True),
        sa.Column("cured_on", sa.Date(), nullable=True),
        sa.CheckConstraint("length(code) > 0", name=op.f("ck_lots_code_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_lots_action_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_lots_item_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lots")),
        sa.UniqueConstraint("id", "item_id", name=op.f("uq_lots_id_item_id")),
        sa.UniqueConstraint("item_id", "code", name=op.f("uq_lots_item_id_code")),
    )
    op.create_table(
        "stock",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("bin_id", sa.Integer(), nullable=False),
        sa.Column("lot_id", sa.Integer(), nullable=True),
        sa.Column("on_hand", sa.BigInteger(), nullable=False),
        sa.Column("promised", sa.BigInteger(), nullable=False),
        sa.CheckConstraint("on_hand >= promised", name=op.f("ck_stock_free_not_negative")),
        sa.CheckConstraint("promised >= 0", name=op.f("ck_stock_promised_not_negative")),
        sa.ForeignKeyConstraint(["bin_id"], ["bins.id"], name=op.f("fk_stock_bin_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_stock_item_id")),
        sa.ForeignKeyConstraint(
            ["lot_id", "item_id"], ["lots.id", "lots.item_id"], name=op.f("fk_stock_lot_id_item_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock")),
    )
    op.create_index(op.f("ix_stock_bin_id"), "stock", ["bin_id"])
    op.create_index(op.f("ix_stock_item_id"), "stock", ["item_id"])
    op.create_index(
        "uq_stock_item_bin",
        "stock",
        ["item_id", "bin_id"],
        unique=True,
        sqlite_where=sa.text("lot_id IS NULL"),
        postgresql_where=sa.text("lot_id IS NULL"),
    )
    op.create_index(
        "uq_stock_item_bin_lot",
        "stock",
        ["item_id", "bin_id", "lot_id"],
        unique=True,
        sqlite_where=sa.text("lot_id IS NOT NULL"),
        postgresql_where=sa.text("lot_id IS NOT NULL"),
    )


def _one_name(table: str, column: str) -> None:
    """No two rows have the same name; one whose adding was taken back left its name free."""
    there = sa.text("withdrawn_at IS NULL")
    op.create_index(f"uq_{table}_{column}", table, [column], unique=True, sqlite_where=there, postgresql_where=there)
