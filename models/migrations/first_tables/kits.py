"""Jobs, what they need, and the lines that fill a need from the shelf."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from models.migrations.first_tables.readings import create_readings


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("machine_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("meter_hundredths_h", sa.Integer(), nullable=True),
        sa.Column("meter_read_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("template_version_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("closed_at IS NULL OR closed_at >= opened_at", name=op.f("ck_jobs_closed_after_opened")),
        sa.CheckConstraint("length(title) > 0", name=op.f("ck_jobs_title_not_blank")),
        sa.CheckConstraint("meter_hundredths_h >= 0", name=op.f("ck_jobs_meter_from_0")),
        sa.CheckConstraint(
            "(meter_hundredths_h IS NULL) = (meter_read_at IS NULL)", name=op.f("ck_jobs_meter_read_once")
        ),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_jobs_action_id")),
        sa.ForeignKeyConstraint(["machine_id"], ["machines.id"], name=op.f("fk_jobs_machine_id")),
        sa.ForeignKeyConstraint(
            ["template_version_id"], ["template_versions.id"], name=op.f("fk_jobs_template_version_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    op.create_index(op.f("ix_jobs_machine_id"), "jobs", ["machine_id"])
    op.create_table(
        "needs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("position_id", sa.Integer(), nullable=True),
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
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("pieces", sa.Integer(), nullable=False),
        sa.Column("spares", sa.Integer(), nullable=False),
        sa.Column("low_ul", sa.BigInteger(), nullable=True),
        sa.Column("full_ul", sa.BigInteger(), nullable=True),
        sa.Column("size_key", sa.String(length=60), nullable=True),
        sa.Column("hardness_shore_a", sa.Integer(), nullable=True),
        sa.Column("spec_class", sa.String(length=200), nullable=False),
        sa.Column("spec_grade", sa.String(length=200), nullable=False),
        sa.Column("cure_minutes_at_most", sa.Integer(), nullable=True),
        sa.Column("match_ppm", sa.Integer(), nullable=True),
        sa.Column("seals_ppm", sa.Integer(), nullable=True),
        sa.Column("others", sa.Enum("would-do", "never", name="others", native_enum=False, length=20), nullable=False),
        sa.Column("groove", sa.String(length=4000), nullable=True),
        sa.Column("housing", sa.String(length=4000), nullable=True),
        sa.Column("why", sa.String(length=2000), nullable=False),
        sa.Column("looked_for_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "(kind = 'fluid' AND pieces = 0 AND spares = 0 AND low_ul > 0 AND full_ul >= low_ul) "
            "OR (kind <> 'fluid' AND pieces > 0 AND spares >= 0 AND low_ul IS NULL AND full_ul IS NULL)",
            name=op.f("ck_needs_quantity"),
        ),
        sa.CheckConstraint("(kind = 'ring') = (size_key IS NOT NULL)", name=op.f("ck_needs_ring_has_size")),
        sa.CheckConstraint("kind = 'ring' OR length(spec_class) > 0", name=op.f("ck_needs_class_unless_ring")),
        sa.CheckConstraint(
            "kind IN ('ring', 'filter', 'fluid', 'sealant', 'fastener', 'consumable')", name=op.f("ck_needs_kind_word")
        ),
        sa.CheckConstraint("size_key IS NULL OR size_key LIKE '_%\\:_%'", name=op.f("ck_needs_size_key_form")),
        sa.CheckConstraint("cure_minutes_at_most >= 0", name=op.f("ck_needs_cure_not_negative")),
        sa.CheckConstraint("hardness_shore_a BETWEEN 1 AND 100", name=op.f("ck_needs_hardness_range")),
        sa.CheckConstraint("length(groove) > 0", name=op.f("ck_needs_groove_not_blank")),
        sa.CheckConstraint("length(housing) > 0", name=op.f("ck_needs_housing_not_blank")),
        sa.CheckConstraint("length(title) > 0", name=op.f("ck_needs_title_not_blank")),
        sa.CheckConstraint("match_ppm BETWEEN 0 AND 1000000", name=op.f("ck_needs_match_range")),
        sa.CheckConstraint("seals_ppm BETWEEN 0 AND 1000000", name=op.f("ck_needs_seals_range")),
        sa.CheckConstraint(
            "kind = 'ring' OR (seals_ppm IS NULL AND others = 'would-do')", name=op.f("ck_needs_judged_if_ring")
        ),
        sa.CheckConstraint("others IN ('would-do', 'never')", name=op.f("ck_needs_others_word")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_needs_action_id")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_needs_job_id")),
        sa.ForeignKeyConstraint(["position_id"], ["positions.id"], name=op.f("fk_needs_position_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_needs")),
    )
    op.create_index(op.f("ix_needs_job_id"), "needs", ["job_id"])
    op.create_table(
        "need_asks",
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("ask", sa.String(length=200), nullable=False),
        sa.CheckConstraint("length(ask) > 0", name=op.f("ck_need_asks_ask_not_blank")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_need_asks_need_id")),
        sa.PrimaryKeyConstraint("need_id", "position", name=op.f("pk_need_asks")),
    )
    create_readings("need_readings", "need_id", "needs")
    op.create_table(
        "need_rubbers",
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("rubber", sa.String(length=20), nullable=False),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_need_rubbers_need_id")),
        sa.PrimaryKeyConstraint("need_id", "position", name=op.f("pk_need_rubbers")),
        sa.UniqueConstraint("need_id", "rubber", name=op.f("uq_need_rubbers_need_id_rubber")),
    )
    op.create_table(
        "need_sizes",
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("size_key", sa.String(length=60), nullable=False),
        sa.Column("seals_ppm", sa.Integer(), nullable=True),
        sa.Column("why", sa.String(length=2000), nullable=False),
        sa.CheckConstraint("seals_ppm BETWEEN 0 AND 1000000", name=op.f("ck_need_sizes_seals_range")),
        sa.CheckConstraint("seals_ppm IS NOT NULL OR why = ''", name=op.f("ck_need_sizes_why_of_a_chance")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_need_sizes_need_id")),
        sa.PrimaryKeyConstraint("need_id", "size_key", name=op.f("pk_need_sizes")),
    )
    op.create_table(
        "fill_entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column(
            "what",
            sa.Enum("held", "drained", "poured", "reused", "let_out", name="filled", native_enum=False, length=20),
            nullable=False,
        ),
        sa.Column("volume_nl", sa.BigInteger(), nullable=False),
        sa.Column("typed", sa.String(length=200), nullable=False),
        sa.Column("takes_back_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "volume_nl > 0 OR (what = 'held' AND volume_nl = 0)", name=op.f("ck_fill_entries_volume_positive")
        ),
        sa.CheckConstraint(
            "what IN ('held', 'drained', 'poured', 'reused', 'let_out')", name=op.f("ck_fill_entries_what_word")
        ),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_fill_entries_action_id")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_fill_entries_need_id")),
        sa.ForeignKeyConstraint(["takes_back_id"], ["fill_entries.id"], name=op.f("fk_fill_entries_takes_back_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fill_entries")),
        sa.UniqueConstraint("takes_back_id", name=op.f("uq_fill_entries_takes_back_id")),
    )
    op.create_index(op.f("ix_fill_entries_action_id"), "fill_entries", ["action_id"])
    op.create_index(op.f("ix_fill_entries_need_id"), "fill_entries", ["need_id"])
    op.create_table(
        "seal_notes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("sealed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_seal_notes_action_id")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_seal_notes_need_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_seal_notes")),
    )
    op.create_index(op.f("ix_seal_notes_action_id"), "seal_notes", ["action_id"])
    op.create_index(op.f("ix_seal_notes_need_id"), "seal_notes", ["need_id"])
    op.create_table(
        "kit_lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("stock_id", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.BigInteger(), nullable=False),
        sa.Column(
            "state",
            sa.Enum("have", "picked", "released", "free", "short", name="linestate", native_enum=False, length=20),
            nullable=False,
        ),
        sa.Column("reason", sa.String(length=2000), nullable=False),
        sa.Column("pinned_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("state NOT IN ('free', 'short')", name=op.f("ck_kit_lines_only_what_is_held")),
        sa.CheckConstraint(
            "state IN ('have', 'picked', 'released', 'free', 'short')", name=op.f("ck_kit_lines_state_word")
        ),
        sa.CheckConstraint("quantity > 0", name=op.f("ck_kit_lines_quantity_positive")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_kit_lines_action_id")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_kit_lines_need_id")),
        sa.ForeignKeyConstraint(["pinned_by_id"], ["actions.id"], name=op.f("fk_kit_lines_pinned_by_id")),
        sa.ForeignKeyConstraint(["stock_id"], ["stock.id"], name=op.f("fk_kit_lines_stock_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kit_lines")),
    )
    op.create_index(op.f("ix_kit_lines_need_id"), "kit_lines", ["need_id"])
    op.create_index(op.f("ix_kit_lines_stock_id"), "kit_lines", ["stock_id"])
