"""Readings of a ring: kept with a fit and with a need, in the same columns."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create_readings(table: str, owner: str, owners: str) -> None:
    """Make a table of readings; `owner` is its column for the row they belong to, `owners` that row's table."""
    op.create_table(
        table,
        sa.Column(
            "what",
            sa.Enum("id", "od", "width", "around", "cut_length", name="dimension", native_enum=False, length=20),
            nullable=False,
        ),
        sa.Column("value_tenth_um", sa.Integer(), nullable=False),
        sa.Column("plus_minus_tenth_um", sa.Integer(), nullable=False),
        sa.Column(
            "tool",
            sa.Enum(
                "caliper", "micrometer", "rule", "tape", "cone", "stated", name="tool", native_enum=False, length=20
            ),
            nullable=False,
        ),
        sa.Column(
            "condition",
            sa.Enum(
                "new",
                "used",
                "flattened",
                "swollen",
                "shrunk",
                "not-said",
                name="condition",
                native_enum=False,
                length=20,
            ),
            nullable=False,
        ),
        sa.Column(owner, sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "condition IN ('new', 'used', 'flattened', 'swollen', 'shrunk', 'not-said')",
            name=op.f(f"ck_{table}_condition_word"),
        ),
        sa.CheckConstraint(
            "tool IN ('caliper', 'micrometer', 'rule', 'tape', 'cone', 'stated')",
            name=op.f(f"ck_{table}_tool_word"),
        ),
        sa.CheckConstraint("what IN ('id', 'od', 'width', 'around', 'cut_length')", name=op.f(f"ck_{table}_what_word")),
        sa.CheckConstraint("plus_minus_tenth_um > 0", name=op.f(f"ck_{table}_plus_minus_positive")),
        sa.CheckConstraint("value_tenth_um > 0", name=op.f(f"ck_{table}_value_positive")),
        sa.ForeignKeyConstraint([owner], [f"{owners}.id"], name=op.f(f"fk_{table}_{owner}")),
        sa.PrimaryKeyConstraint(owner, "position", name=op.f(f"pk_{table}")),
    )
