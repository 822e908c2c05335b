"""Machines, their positions, what fitted there and how it went."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from models.migrations.first_tables.readings import create_readings


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "machines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column(
            "built",
            sa.Enum("anywhere", "japan", "north-america", "europe", name="built", native_enum=False, length=20),
            nullable=True,
        ),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "built IS NULL OR built IN ('anywhere', 'japan', 'north-america', 'europe')",
            name=op.f("ck_machines_built_word"),
        ),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_machines_name_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_machines_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_machines")),
        sa.UniqueConstraint("name", name=op.f("uq_machines_name")),
    )
    op.create_table(
        "positions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("machine_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column(
            "takes",
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
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("housing", sa.String(length=4000), nullable=True),
        sa.Column("critical", sa.Boolean(), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "takes IN ('ring', 'filter', 'fluid', 'sealant', 'fastener', 'consumable')",
            name=op.f("ck_positions_takes_word"),
        ),
        sa.CheckConstraint("length(housing) > 0", name=op.f("ck_positions_housing_not_blank")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_positions_name_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_positions_action_id")),
        sa.ForeignKeyConstraint(["machine_id"], ["machines.id"], name=op.f("fk_positions_machine_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_positions")),
        sa.UniqueConstraint("machine_id", "name", name=op.f("uq_positions_machine_id_name")),
    )
    op.create_table(
        "fit_records",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("position_id", sa.Integer(), nullable=False),
        sa.Column("size_key", sa.String(length=60), nullable=False),
        sa.Column("rubber", sa.String(length=20), nullable=False),
        sa.Column("hardness_shore_a", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("supersedes_id", sa.Integer(), nullable=True),
        sa.Column("groove", sa.String(length=4000), nullable=True),
        sa.Column("confirmed_by", sa.String(length=200), nullable=True),
        sa.Column("confirmed_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("size_key LIKE '_%\\:_%'", name=op.f("ck_fit_records_size_key_form")),
        sa.CheckConstraint(
            "(confirmed_by IS NULL) = (confirmed_at IS NULL)", name=op.f("ck_fit_records_confirmed_by_and_at")
        ),
        sa.CheckConstraint("hardness_shore_a BETWEEN 1 AND 100", name=op.f("ck_fit_records_hardness_range")),
        sa.CheckConstraint("length(confirmed_by) > 0", name=op.f("ck_fit_records_confirmed_by_not_blank")),
        sa.CheckConstraint("length(groove) > 0", name=op.f("ck_fit_records_groove_not_blank")),
        sa.CheckConstraint(
            "supersedes_id IS NULL OR supersedes_id < id", name=op.f("ck_fit_records_supersedes_earlier")
        ),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_fit_records_action_id")),
        sa.ForeignKeyConstraint(["position_id"], ["positions.id"], name=op.f("fk_fit_records_position_id")),
        sa.ForeignKeyConstraint(["supersedes_id"], ["fit_records.id"], name=op.f("fk_fit_records_supersedes_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fit_records")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_fit_records_supersedes_id")),
    )
    op.create_index("ix_fit_records_position_id_id", "fit_records", ["position_id", "id"])
    op.create_index(
        "uq_fit_records_first",
        "fit_records",
        ["position_id"],
        unique=True,
        sqlite_where=sa.text("supersedes_id IS NULL"),
        postgresql_where=sa.text("supersedes_id IS NULL"),
    )
    create_readings("fit_readings", "fit_record_id", "fit_records")
    op.create_table(
        "fit_outcomes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("fit_record_id", sa.Integer(), nullable=False),
        sa.Column(
            "outcome",
            sa.Enum("dry", "wept", "leaked", name="outcome", native_enum=False, length=20),
            nullable=False,
        ),
        sa.Column("said_by", sa.String(length=200), nullable=True),
        sa.Column("said_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("outcome IN ('dry', 'wept', 'leaked')", name=op.f("ck_fit_outcomes_outcome_word")),
        sa.CheckConstraint("(said_by IS NULL) = (said_at IS NULL)", name=op.f("ck_fit_outcomes_said_by_and_at")),
        sa.CheckConstraint("length(said_by) > 0", name=op.f("ck_fit_outcomes_said_by_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_fit_outcomes_action_id")),
        sa.ForeignKeyConstraint(["fit_record_id"], ["fit_records.id"], name=op.f("fk_fit_outcomes_fit_record_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fit_outcomes")),
    )
    op.create_index(op.f("ix_fit_outcomes_action_id"), "fit_outcomes", ["action_id"])
    op.create_index(op.f("ix_fit_outcomes_fit_record_id"), "fit_outcomes", ["fit_record_id"])
