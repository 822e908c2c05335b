"""The first tables: actions, the shelf, machines, jobs, kits, fit records"""

# ruff: noqa: E501

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

# As they stood at this step; `models.storage.append_only` may move on.
APPEND_ONLY_SQLITE = (
    "CREATE TRIGGER actions_no_update BEFORE UPDATE ON actions BEGIN SELECT RAISE(ABORT, 'actions is append-only'); END",
    "CREATE TRIGGER actions_no_delete BEFORE DELETE ON actions BEGIN SELECT RAISE(ABORT, 'actions is append-only'); END",
    "CREATE TRIGGER movements_no_update BEFORE UPDATE ON movements BEGIN SELECT RAISE(ABORT, 'movements is append-only'); END",
    "CREATE TRIGGER movements_no_delete BEFORE DELETE ON movements BEGIN SELECT RAISE(ABORT, 'movements is append-only'); END",
    "CREATE TRIGGER fit_records_no_update BEFORE UPDATE ON fit_records BEGIN SELECT RAISE(ABORT, 'fit_records is append-only'); END",
    "CREATE TRIGGER fit_records_no_delete BEFORE DELETE ON fit_records BEGIN SELECT RAISE(ABORT, 'fit_records is append-only'); END",
    "CREATE TRIGGER fit_readings_no_update BEFORE UPDATE ON fit_readings BEGIN SELECT RAISE(ABORT, 'fit_readings is append-only'); END",
    "CREATE TRIGGER fit_readings_no_delete BEFORE DELETE ON fit_readings BEGIN SELECT RAISE(ABORT, 'fit_readings is append-only'); END",
    "CREATE TRIGGER actions_no_replace BEFORE INSERT ON actions WHEN EXISTS (SELECT 1 FROM actions WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'actions is append-only'); END",
    "CREATE TRIGGER movements_no_replace BEFORE INSERT ON movements WHEN EXISTS (SELECT 1 FROM movements WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'movements is append-only'); END",
    "CREATE TRIGGER fit_records_no_replace BEFORE INSERT ON fit_records WHEN EXISTS (SELECT 1 FROM fit_records WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'fit_records is append-only'); END",
)
APPEND_ONLY_POSTGRESQL = (
    "CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION USING MESSAGE = TG_TABLE_NAME || ' is append-only', ERRCODE = 'restrict_violation'; END $$",
    "CREATE TRIGGER actions_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON actions FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
    "CREATE TRIGGER movements_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON movements FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
    "CREATE TRIGGER fit_records_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON fit_records FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
    "CREATE TRIGGER fit_readings_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON fit_readings FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
)


def upgrade() -> None:
    op.create_table(
        "actions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("who", sa.String(length=200), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("what", sa.String(length=40), nullable=False),
        sa.Column("about", sa.String(length=2000), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=True),
        sa.Column("undoes_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(key) > 0", name=op.f("ck_actions_key_not_blank")),
        sa.CheckConstraint("length(what) > 0", name=op.f("ck_actions_what_not_blank")),
        sa.CheckConstraint("length(who) > 0", name=op.f("ck_actions_who_not_blank")),
        sa.CheckConstraint("undoes_id IS NULL OR undoes_id < id", name=op.f("ck_actions_undoes_earlier")),
        sa.ForeignKeyConstraint(["undoes_id"], ["actions.id"], name=op.f("fk_actions_undoes_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_actions")),
        sa.UniqueConstraint("key", name=op.f("uq_actions_key")),
        sa.UniqueConstraint("undoes_id", name=op.f("uq_actions_undoes_id")),
    )
    op.create_index("ix_actions_who_id", "actions", ["who", "id"], unique=False)

    op.create_table(
        "bins",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=200), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("folded", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(code) > 0", name=op.f("ck_bins_code_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_bins_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bins")),
        sa.UniqueConstraint("code", name=op.f("uq_bins_code")),
    )
    op.create_table(
        "items",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("counted_in", sa.String(length=20), nullable=False),
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
        sa.CheckConstraint("cure_minutes >= 0", name=op.f("ck_items_cure_not_negative")),
        sa.CheckConstraint("hardness_shore_a BETWEEN 1 AND 100", name=op.f("ck_items_hardness_range")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_items_name_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_items_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_items")),
        sa.UniqueConstraint("name", name=op.f("uq_items_name")),
    )
    op.create_index("ix_items_kind_class_folded", "items", ["kind", "class_folded"], unique=False)
    op.create_index(op.f("ix_items_size_key"), "items", ["size_key"], unique=False)

    op.create_table(
        "machines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_machines_name_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_machines_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_machines")),
        sa.UniqueConstraint("name", name=op.f("uq_machines_name")),
    )
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("machine_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("closed_at IS NULL OR closed_at >= opened_at", name=op.f("ck_jobs_closed_after_opened")),
        sa.CheckConstraint("length(title) > 0", name=op.f("ck_jobs_title_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_jobs_action_id")),
        sa.ForeignKeyConstraint(["machine_id"], ["machines.id"], name=op.f("fk_jobs_machine_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    op.create_index(op.f("ix_jobs_machine_id"), "jobs", ["machine_id"], unique=False)

    op.create_table(
        "lots",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=200), nullable=False),
        sa.Column("expires_on", sa.Date(), nullable=True),
        sa.CheckConstraint("length(code) > 0", name=op.f("ck_lots_code_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_lots_action_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_lots_item_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lots")),
        sa.UniqueConstraint("id", "item_id", name=op.f("uq_lots_id_item_id")),
        sa.UniqueConstraint("item_id", "code", name=op.f("uq_lots_item_id_code")),
    )
    op.create_table(
        "positions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("machine_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("takes", sa.String(length=20), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.CheckConstraint(
            "takes IN ('ring', 'filter', 'fluid', 'sealant', 'fastener', 'consumable')",
            name=op.f("ck_positions_takes_word"),
        ),
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
        sa.CheckConstraint("size_key LIKE '_%\\:_%'", name=op.f("ck_fit_records_size_key_form")),
        sa.CheckConstraint("hardness_shore_a BETWEEN 1 AND 100", name=op.f("ck_fit_records_hardness_range")),
        sa.CheckConstraint(
            "supersedes_id IS NULL OR supersedes_id < id", name=op.f("ck_fit_records_supersedes_earlier")
        ),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_fit_records_action_id")),
        sa.ForeignKeyConstraint(["position_id"], ["positions.id"], name=op.f("fk_fit_records_position_id")),
        sa.ForeignKeyConstraint(["supersedes_id"], ["fit_records.id"], name=op.f("fk_fit_records_supersedes_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fit_records")),
        sa.UniqueConstraint("supersedes_id", name=op.f("uq_fit_records_supersedes_id")),
    )
    op.create_index("ix_fit_records_position_id_id", "fit_records", ["position_id", "id"], unique=False)
    op.create_index(
        "uq_fit_records_first",
        "fit_records",
        ["position_id"],
        unique=True,
        sqlite_where=sa.text("supersedes_id IS NULL"),
        postgresql_where=sa.text("supersedes_id IS NULL"),
    )

    op.create_table(
        "needs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("position_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.String(length=20), nullable=False),
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
        sa.Column("why", sa.String(length=2000), nullable=False),
        sa.Column("looked_for_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "(kind = 'fluid' AND pieces = 0 AND spares = 0 AND low_ul > 0 AND full_ul >= low_ul) OR (kind <> 'fluid' AND pieces > 0 AND spares >= 0 AND low_ul IS NULL AND full_ul IS NULL)",
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
        sa.CheckConstraint("length(title) > 0", name=op.f("ck_needs_title_not_blank")),
        sa.CheckConstraint("match_ppm BETWEEN 0 AND 1000000", name=op.f("ck_needs_match_range")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_needs_action_id")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_needs_job_id")),
        sa.ForeignKeyConstraint(["position_id"], ["positions.id"], name=op.f("fk_needs_position_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_needs")),
    )
    op.create_index(op.f("ix_needs_job_id"), "needs", ["job_id"], unique=False)

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
    op.create_index(op.f("ix_stock_bin_id"), "stock", ["bin_id"], unique=False)
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

    op.create_table(
        "fit_readings",
        sa.Column("what", sa.String(length=20), nullable=False),
        sa.Column("value_tenth_um", sa.Integer(), nullable=False),
        sa.Column("plus_minus_tenth_um", sa.Integer(), nullable=False),
        sa.Column("tool", sa.String(length=20), nullable=False),
        sa.Column("condition", sa.String(length=20), nullable=False),
        sa.Column("fit_record_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "condition IN ('new', 'used', 'flattened', 'swollen', 'shrunk')",
            name=op.f("ck_fit_readings_condition_word"),
        ),
        sa.CheckConstraint(
            "tool IN ('caliper', 'micrometer', 'rule', 'tape', 'cone', 'stated')",
            name=op.f("ck_fit_readings_tool_word"),
        ),
        sa.CheckConstraint(
            "what IN ('id', 'od', 'width', 'around', 'cut_length')", name=op.f("ck_fit_readings_what_word")
        ),
        sa.CheckConstraint("plus_minus_tenth_um > 0", name=op.f("ck_fit_readings_plus_minus_positive")),
        sa.CheckConstraint("value_tenth_um > 0", name=op.f("ck_fit_readings_value_positive")),
        sa.ForeignKeyConstraint(["fit_record_id"], ["fit_records.id"], name=op.f("fk_fit_readings_fit_record_id")),
        sa.PrimaryKeyConstraint("fit_record_id", "position", name=op.f("pk_fit_readings")),
    )
    op.create_table(
        "kit_lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("stock_id", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.BigInteger(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("reason", sa.String(length=2000), nullable=False),
        sa.CheckConstraint("state <> 'short'", name=op.f("ck_kit_lines_short_is_no_line")),
        sa.CheckConstraint("state IN ('have', 'picked', 'released', 'short')", name=op.f("ck_kit_lines_state_word")),
        sa.CheckConstraint("quantity > 0", name=op.f("ck_kit_lines_quantity_positive")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_kit_lines_action_id")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_kit_lines_need_id")),
        sa.ForeignKeyConstraint(["stock_id"], ["stock.id"], name=op.f("fk_kit_lines_stock_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kit_lines")),
    )
    op.create_index(op.f("ix_kit_lines_need_id"), "kit_lines", ["need_id"], unique=False)
    op.create_index(op.f("ix_kit_lines_stock_id"), "kit_lines", ["stock_id"], unique=False)

    op.create_table(
        "need_readings",
        sa.Column("what", sa.String(length=20), nullable=False),
        sa.Column("value_tenth_um", sa.Integer(), nullable=False),
        sa.Column("plus_minus_tenth_um", sa.Integer(), nullable=False),
        sa.Column("tool", sa.String(length=20), nullable=False),
        sa.Column("condition", sa.String(length=20), nullable=False),
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "condition IN ('new', 'used', 'flattened', 'swollen', 'shrunk')",
            name=op.f("ck_need_readings_condition_word"),
        ),
        sa.CheckConstraint(
            "tool IN ('caliper', 'micrometer', 'rule', 'tape', 'cone', 'stated')",
            name=op.f("ck_need_readings_tool_word"),
        ),
        sa.CheckConstraint(
            "what IN ('id', 'od', 'width', 'around', 'cut_length')", name=op.f("ck_need_readings_what_word")
        ),
        sa.CheckConstraint("plus_minus_tenth_um > 0", name=op.f("ck_need_readings_plus_minus_positive")),
        sa.CheckConstraint("value_tenth_um > 0", name=op.f("ck_need_readings_value_positive")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_need_readings_need_id")),
        sa.PrimaryKeyConstraint("need_id", "position", name=op.f("pk_need_readings")),
    )
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
        "need_twins",
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("size_key", sa.String(length=60), nullable=False),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_need_twins_need_id")),
        sa.PrimaryKeyConstraint("need_id", "size_key", name=op.f("pk_need_twins")),
    )
    op.create_table(
        "movements",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("position_in_action", sa.Integer(), nullable=False),
        sa.Column("stock_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
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
            "reverses_id IS NOT NULL OR (kind = 'received' AND on_hand_change > 0 AND promised_change = 0) OR (kind = 'counted' AND promised_change = 0) OR (kind = 'promised' AND on_hand_change = 0 AND promised_change > 0) OR (kind = 'released' AND on_hand_change = 0 AND promised_change < 0) OR (kind = 'used' AND on_hand_change < 0 AND promised_change IN (0, on_hand_change)) OR (kind = 'scrapped' AND on_hand_change < 0 AND promised_change = 0)",
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
    op.create_index(op.f("ix_movements_kit_line_id"), "movements", ["kit_line_id"], unique=False)
    op.create_index("ix_movements_stock_id_id", "movements", ["stock_id", "id"], unique=False)
    dialect = op.get_bind().dialect.name
    for statement in APPEND_ONLY_SQLITE if dialect == "sqlite" else APPEND_ONLY_POSTGRESQL:
        op.execute(statement)


def downgrade() -> None:
    raise NotImplementedError("The first tables are where history begins; put back a backup instead.")
