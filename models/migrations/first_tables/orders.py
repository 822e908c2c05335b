"""Orders: what is ordered for what, and what came."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "orders",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("supplier_id", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("goods_minor", sa.BigInteger(), nullable=False),
        sa.Column("freight_minor", sa.BigInteger(), nullable=True),
        sa.CheckConstraint("freight_minor >= 0", name=op.f("ck_orders_freight_not_negative")),
        sa.CheckConstraint("goods_minor >= 0", name=op.f("ck_orders_goods_not_negative")),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_orders_currency_code")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_orders_action_id")),
        sa.ForeignKeyConstraint(["supplier_id"], ["suppliers.id"], name=op.f("fk_orders_supplier_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_orders")),
    )
    op.create_index(op.f("ix_orders_action_id"), "orders", ["action_id"])
    op.create_index(op.f("ix_orders_supplier_id"), "orders", ["supplier_id"])
    op.create_table(
        "order_lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=200), nullable=False),
        sa.Column("name", sa.String(length=400), nullable=False),
        sa.Column("packs", sa.Integer(), nullable=False),
        sa.Column("pack_quantity", sa.BigInteger(), nullable=False),
        sa.Column("counted_in", sa.Enum("each", "ul", name="unit", native_enum=False, length=20), nullable=False),
        sa.Column("price_minor", sa.BigInteger(), nullable=False),
        sa.Column("price_per", sa.Integer(), nullable=False),
        sa.Column("cost_minor", sa.BigInteger(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.CheckConstraint("counted_in IN ('each', 'ul')", name=op.f("ck_order_lines_counted_in_word")),
        sa.CheckConstraint("lead_days >= 0", name=op.f("ck_order_lines_lead_days_not_negative")),
        sa.CheckConstraint("length(number) > 0", name=op.f("ck_order_lines_number_not_blank")),
        sa.CheckConstraint("packs > 0 AND pack_quantity > 0", name=op.f("ck_order_lines_packs")),
        sa.CheckConstraint("price_minor >= 0 AND price_per > 0 AND cost_minor >= 0", name=op.f("ck_order_lines_price")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_order_lines_item_id")),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_order_lines_order_id")),
        sa.ForeignKeyConstraint(["row_id"], ["list_rows.id"], name=op.f("fk_order_lines_row_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_order_lines")),
        sa.UniqueConstraint("order_id", "position", name=op.f("uq_order_lines_order_id_position")),
    )
    op.create_index(op.f("ix_order_lines_item_id"), "order_lines", ["item_id"])
    op.create_table(
        "order_steps",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column(
            "step", sa.Enum("ordered", "called off", name="orderstepword", native_enum=False, length=20), nullable=False
        ),
        sa.Column("expected_on", sa.Date(), nullable=True),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.CheckConstraint("step IN ('ordered', 'called off')", name=op.f("ck_order_steps_step_word")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_order_steps_action_id")),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_order_steps_order_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_order_steps")),
        sa.UniqueConstraint("action_id", "order_id", name=op.f("uq_order_steps_action_id_order_id")),
    )
    op.create_index(op.f("ix_order_steps_order_id"), "order_steps", ["order_id"])
    op.create_table(
        "order_receipts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("order_line_id", sa.Integer(), nullable=False),
        sa.Column("packs", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.BigInteger(), nullable=False),
        sa.Column("stock_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("packs > 0 AND quantity > 0", name=op.f("ck_order_receipts_packs")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_order_receipts_action_id")),
        sa.ForeignKeyConstraint(["order_line_id"], ["order_lines.id"], name=op.f("fk_order_receipts_order_line_id")),
        sa.ForeignKeyConstraint(["stock_id"], ["stock.id"], name=op.f("fk_order_receipts_stock_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_order_receipts")),
    )
    op.create_index(op.f("ix_order_receipts_action_id"), "order_receipts", ["action_id"])
    op.create_index(op.f("ix_order_receipts_order_line_id"), "order_receipts", ["order_line_id"])
    op.create_table(
        "order_shares",
        sa.Column("order_line_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("need_id", sa.Integer(), nullable=True),
        sa.Column("reorder_item_id", sa.Integer(), nullable=True),
        sa.Column("quantity", sa.BigInteger(), nullable=False),
        sa.Column("caution", sa.String(length=2000), nullable=False),
        sa.CheckConstraint("(need_id IS NULL) <> (reorder_item_id IS NULL)", name=op.f("ck_order_shares_one_purpose")),
        sa.CheckConstraint("quantity > 0", name=op.f("ck_order_shares_quantity_positive")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_order_shares_need_id")),
        sa.ForeignKeyConstraint(["order_line_id"], ["order_lines.id"], name=op.f("fk_order_shares_order_line_id")),
        sa.ForeignKeyConstraint(["reorder_item_id"], ["items.id"], name=op.f("fk_order_shares_reorder_item_id")),
        sa.PrimaryKeyConstraint("order_line_id", "position", name=op.f("pk_order_shares")),
    )
    op.create_index(op.f("ix_order_shares_need_id"), "order_shares", ["need_id"])
