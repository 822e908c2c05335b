"""Suppliers and their lists."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from models.migrations.first_tables.types import PLAIN_ORDER, WORDS


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "suppliers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("freight_minor", sa.BigInteger(), nullable=True),
        sa.Column("free_from_minor", sa.BigInteger(), nullable=True),
        sa.Column("minimum_order_minor", sa.BigInteger(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("language", sa.String(length=2), nullable=False),
        sa.Column("layout", sa.Text(), nullable=True),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("free_from_minor >= 0", name=op.f("ck_suppliers_free_from_not_negative")),
        sa.CheckConstraint("freight_minor >= 0", name=op.f("ck_suppliers_freight_not_negative")),
        sa.CheckConstraint("lead_days >= 0", name=op.f("ck_suppliers_lead_days_not_negative")),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_suppliers_currency_code")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_suppliers_name_not_blank")),
        sa.CheckConstraint("minimum_order_minor >= 0", name=op.f("ck_suppliers_minimum_order_not_negative")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_suppliers_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_suppliers")),
        sa.UniqueConstraint("name", name=op.f("uq_suppliers_name")),
    )
    op.create_table(
        "supplier_lists",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("supplier_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("file_name", sa.String(length=200), nullable=False),
        sa.Column("loaded_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("added", sa.Integer(), nullable=False),
        sa.Column("changed", sa.Integer(), nullable=False),
        sa.Column("withdrawn", sa.Integer(), nullable=False),
        sa.Column("unchanged", sa.Integer(), nullable=False),
        sa.Column("refused", sa.Integer(), nullable=False),
        sa.Column("listed", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "added >= 0 AND changed >= 0 AND withdrawn >= 0 AND unchanged >= 0 AND refused >= 0",
            name=op.f("ck_supplier_lists_counts"),
        ),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_supplier_lists_action_id")),
        sa.ForeignKeyConstraint(["supplier_id"], ["suppliers.id"], name=op.f("fk_supplier_lists_supplier_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supplier_lists")),
        sa.UniqueConstraint("action_id", name=op.f("uq_supplier_lists_action_id")),
    )
    op.create_index(op.f("ix_supplier_lists_supplier_id"), "supplier_lists", ["supplier_id"])
    op.create_table(
        "list_rows",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("supplier_id", sa.Integer(), nullable=False),
        sa.Column("number", PLAIN_ORDER, nullable=False),
        sa.Column("compact", PLAIN_ORDER, nullable=False),
        sa.Column("name", sa.String(length=400), nullable=False),
        sa.Column("words", WORDS, nullable=True),
        sa.Column("pack_quantity", sa.BigInteger(), nullable=False),
        sa.Column("counted_in", sa.Enum("each", "ul", name="unit", native_enum=False, length=20), nullable=False),
        sa.Column("min_packs", sa.Integer(), nullable=False),
        sa.Column("price_minor", sa.BigInteger(), nullable=True),
        sa.Column("price_per", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("breaks", sa.String(length=200), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.Column("gtin", sa.String(length=14), nullable=False),
        sa.Column("size_key", sa.String(length=60), nullable=True),
        sa.Column("ring_id_100nm", sa.Integer(), nullable=True),
        sa.Column("ring_width_100nm", sa.Integer(), nullable=True),
        sa.Column("rubber", sa.String(length=20), nullable=False),
        sa.Column("hardness_shore_a", sa.Integer(), nullable=True),
        sa.Column("thread", sa.String(length=60), nullable=False),
        sa.Column("volume_ul", sa.BigInteger(), nullable=True),
        sa.Column("reading_ppm", sa.Integer(), nullable=True),
        sa.Column(
            "reading_state",
            sa.Enum("none", "read", "confirmed", "refused", name="readingstate", native_enum=False, length=20),
            nullable=False,
        ),
        sa.Column("added_list_id", sa.Integer(), nullable=False),
        sa.Column("priced_list_id", sa.Integer(), nullable=False),
        sa.Column("withdrawn_list_id", sa.Integer(), nullable=True),
        sa.Column("fluids", sa.Text(), nullable=True),
        sa.CheckConstraint("counted_in IN ('each', 'ul')", name=op.f("ck_list_rows_counted_in_word")),
        sa.CheckConstraint(
            "reading_state = 'none' OR reading_state = 'read' OR reading_state = 'confirmed' "
            "OR reading_state = 'refused'",
            name=op.f("ck_list_rows_reading_state_word"),
        ),
        sa.CheckConstraint("length(number) > 0", name=op.f("ck_list_rows_number_not_blank")),
        sa.CheckConstraint("pack_quantity > 0 AND min_packs > 0", name=op.f("ck_list_rows_pack")),
        sa.CheckConstraint("price_minor >= 0 AND price_per > 0", name=op.f("ck_list_rows_price")),
        sa.ForeignKeyConstraint(
            ["withdrawn_list_id"], ["supplier_lists.id"], name=op.f("fk_list_rows_withdrawn_list_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_list_rows")),
        sa.UniqueConstraint("supplier_id", "number", name=op.f("uq_list_rows_supplier_id_number")),
    )
    op.create_index(
        "ix_list_rows_compact_id",
        "list_rows",
        ["compact", "id"],
        sqlite_where=sa.text("withdrawn_list_id IS NULL"),
        postgresql_where=sa.text("withdrawn_list_id IS NULL"),
    )
    op.create_index(
        "ix_list_rows_fluids",
        "list_rows",
        ["fluids"],
        sqlite_where=sa.text("fluids IS NOT NULL"),
        postgresql_where=sa.text("fluids IS NOT NULL"),
    )
    op.create_index(
        "ix_list_rows_ring",
        "list_rows",
        ["ring_width_100nm", "ring_id_100nm"],
        sqlite_where=sa.text("ring_width_100nm IS NOT NULL"),
        postgresql_where=sa.text("ring_width_100nm IS NOT NULL"),
    )
    op.create_table(
        "old_prices",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("price_minor", sa.BigInteger(), nullable=True),
        sa.Column("price_per", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("breaks", sa.String(length=200), nullable=False),
        sa.Column("from_list_id", sa.Integer(), nullable=False),
        sa.Column("until_list_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("until_list_id > from_list_id", name=op.f("ck_old_prices_until_later")),
        sa.ForeignKeyConstraint(["row_id"], ["list_rows.id"], name=op.f("fk_old_prices_row_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_old_prices")),
    )
    op.create_index(op.f("ix_old_prices_row_id"), "old_prices", ["row_id"])
    op.create_table(
        "row_items",
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_row_items_action_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_row_items_item_id")),
        sa.ForeignKeyConstraint(["row_id"], ["list_rows.id"], name=op.f("fk_row_items_row_id")),
        sa.PrimaryKeyConstraint("row_id", name=op.f("pk_row_items")),
    )
    op.create_index(op.f("ix_row_items_item_id"), "row_items", ["item_id"])
