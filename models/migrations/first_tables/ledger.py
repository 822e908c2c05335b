"""The ledger: every movement of stock."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "movements",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("position_in_action", sa.Integer(), nullable=False),
        sa.Column("stock_id", sa.Integer(), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "received",
                "counted",
                "promised",
                "released",
                "used",
                "scrapped",
                name="moved",
                native_enum=False,
                length=20,
            ),
            nullable=False,
        ),
        sa.Column("on_hand_change", sa.BigInteger(), nullable=False),
        sa.Column("promised_change", sa.BigInteger(), nullable=False),
        sa.Column("kit_line_id", sa.Integer(), nullable=True),
        sa.Column("reason", sa.String(length=2000), nullable=False),
        sa.Column("reverses_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('received', 'counted', 'promised', 'released', 'used', 'scrapped')",
            name=op.f("ck_movements_kind_word"),
        ),
        sa.CheckConstraint(
            "reverses_id IS NOT NULL OR (kind = 'received' AND on_hand_change > 0 AND promised_change = 0) "
            "OR (kind = 'counted' AND promised_change = 0) "
            "OR (kind = 'promised' AND on_hand_change = 0 AND promised_change > 0) "
            "OR (kind = 'released' AND on_hand_change = 0 AND promised_change < 0) "
            "OR (kind = 'used' AND on_hand_change < 0 AND promised_change IN (0, on_hand_change)) "
            "OR (kind = 'scrapped' AND on_hand_change < 0 AND promised_change = 0)",
            name=op.f("ck_movements_signs"),
        ),
        sa.CheckConstraint(
            "promised_change = 0 OR kit_line_id IS NOT NULL", name=op.f("ck_movements_promise_names_line")
        ),
        sa.CheckConstraint("reverses_id IS NULL OR reverses_id < id", name=op.f("ck_movements_reverses_earlier")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_movements_action_id")),
        sa.ForeignKeyConstraint(["kit_line_id"], ["kit_lines.id"], name=op.f("fk_movements_kit_line_id")),
        sa.ForeignKeyConstraint(["reverses_id"], ["movements.id"], name=op.f("fk_movements_reverses_id")),
        sa.ForeignKeyConstraint(["stock_id"], ["stock.id"], name=op.f("fk_movements_stock_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_movements")),
        sa.UniqueConstraint("action_id", "position_in_action", name=op.f("uq_movements_action_id_position_in_action")),
        sa.UniqueConstraint("reverses_id", name=op.f("uq_movements_reverses_id")),
    )
    op.create_index(op.f("ix_movements_kit_line_id"), "movements", ["kit_line_id"])
    op.create_index("ix_movements_stock_id_id", "movements", ["stock_id", "id"])
