"""What the shop says itself of ports."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create() -> None:
    """Make the table with its indexes."""
    op.create_table(
        "own_ports",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("series", sa.String(length=30), nullable=False),
        sa.Column("series_folded", sa.String(length=60), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("joint_folded", sa.String(length=600), nullable=False),
        sa.Column("standard", sa.String(length=60), nullable=False),
        sa.Column("thread", sa.String(length=30), nullable=False),
        sa.Column(
            "seal",
            sa.Enum(
                "chamfer",
                "face ring",
                "profile ring",
                "retained ring",
                "24° cone",
                "24° cone with O-ring",
                "37° cone",
                "45° cone",
                "inverted flare",
                "60° cone",
                "bonded washer",
                "flat washer",
                "banjo",
                "metal edge",
                "thread",
                name="portseal",
                native_enum=False,
                length=20,
            ),
            nullable=False,
        ),
        sa.Column("tube", sa.String(length=20), nullable=False),
        sa.Column("ring_key", sa.String(length=80), nullable=False),
        sa.Column("ring_id_tenth_um", sa.Integer(), nullable=True),
        sa.Column("ring_id_tol_tenth_um", sa.Integer(), nullable=True),
        sa.Column("ring_section_tenth_um", sa.Integer(), nullable=True),
        sa.Column("ring_section_tol_tenth_um", sa.Integer(), nullable=True),
        sa.Column("chamfer_thousandth_deg", sa.Integer(), nullable=True),
        sa.Column("plug", sa.String(length=120), nullable=False),
        sa.Column("ring_sits", sa.String(length=120), nullable=False),
        sa.Column("note", sa.String(length=300), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("ring_key = '' OR ring_id_tenth_um IS NULL", name=op.f("ck_own_ports_ring_once")),
        sa.CheckConstraint(
            "seal IN ('chamfer', 'face ring', 'profile ring', 'retained ring', '24° cone', '24° cone with O-ring', "
            "'37° cone', '45° cone', 'inverted flare', '60° cone', 'bonded washer', 'flat washer', 'banjo', "
            "'metal edge', 'thread')",
            name=op.f("ck_own_ports_seal_word"),
        ),
        sa.CheckConstraint(
            "(ring_id_tenth_um IS NULL) = (ring_id_tol_tenth_um IS NULL)", name=op.f("ck_own_ports_ring_id_whole")
        ),
        sa.CheckConstraint(
            "(ring_id_tenth_um IS NULL) = (ring_section_tenth_um IS NULL)", name=op.f("ck_own_ports_ring_whole")
        ),
        sa.CheckConstraint(
            "(ring_section_tenth_um IS NULL) = (ring_section_tol_tenth_um IS NULL)",
            name=op.f("ck_own_ports_ring_section_whole"),
        ),
        sa.CheckConstraint(
            "chamfer_thousandth_deg > 0 AND chamfer_thousandth_deg < 90000", name=op.f("ck_own_ports_chamfer_within")
        ),
        sa.CheckConstraint("length(series) > 0", name=op.f("ck_own_ports_series_not_blank")),
        sa.CheckConstraint("length(thread) > 0", name=op.f("ck_own_ports_thread_not_blank")),
        sa.CheckConstraint(
            "ring_id_tol_tenth_um > 0 AND ring_id_tol_tenth_um < ring_id_tenth_um",
            name=op.f("ck_own_ports_ring_id_tol_within"),
        ),
        sa.CheckConstraint(
            "ring_section_tol_tenth_um > 0 AND ring_section_tol_tenth_um < ring_section_tenth_um",
            name=op.f("ck_own_ports_ring_section_tol_within"),
        ),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_own_ports_action_id")),
        sa.ForeignKeyConstraint(["withdrawn_by_id"], ["actions.id"], name=op.f("fk_own_ports_withdrawn_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_ports")),
    )
    op.create_index(op.f("ix_own_ports_action_id"), "own_ports", ["action_id"])
    op.create_index(op.f("ix_own_ports_withdrawn_by_id"), "own_ports", ["withdrawn_by_id"])
    op.create_index(
        "uq_own_ports_joint",
        "own_ports",
        ["series_folded", "joint_folded"],
        unique=True,
        sqlite_where=sa.text("withdrawn_by_id IS NULL"),
        postgresql_where=sa.text("withdrawn_by_id IS NULL"),
    )
