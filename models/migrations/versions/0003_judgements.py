"""What a judgement needs to know, job templates, assortments, reorder rules and where a machine was built"""

# ruff: noqa: E501

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

# As they stood at this step; `models.storage.append_only` may move on.
APPEND_ONLY_SQLITE = (
    "CREATE TRIGGER fit_grooves_no_update BEFORE UPDATE ON fit_grooves BEGIN SELECT RAISE(ABORT, 'fit_grooves is append-only'); END",
    "CREATE TRIGGER fit_grooves_no_delete BEFORE DELETE ON fit_grooves BEGIN SELECT RAISE(ABORT, 'fit_grooves is append-only'); END",
    "CREATE TRIGGER fit_origins_no_update BEFORE UPDATE ON fit_origins BEGIN SELECT RAISE(ABORT, 'fit_origins is append-only'); END",
    "CREATE TRIGGER fit_origins_no_delete BEFORE DELETE ON fit_origins BEGIN SELECT RAISE(ABORT, 'fit_origins is append-only'); END",
)
APPEND_ONLY_POSTGRESQL = (
    "CREATE TRIGGER fit_grooves_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON fit_grooves FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
    "CREATE TRIGGER fit_origins_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON fit_origins FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
)


def upgrade() -> None:
    op.create_table(
        "job_templates",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_job_templates_name_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_job_templates_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job_templates")),
        sa.UniqueConstraint("name", name=op.f("uq_job_templates_name")),
    )
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
        "item_containers",
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("holds", sa.BigInteger(), nullable=False),
        sa.CheckConstraint("holds > 0", name=op.f("ck_item_containers_holds_positive")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_item_containers_action_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_item_containers_item_id")),
        sa.PrimaryKeyConstraint("item_id", name=op.f("pk_item_containers")),
    )
    op.create_table(
        "item_elements",
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("element", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(element) > 0", name=op.f("ck_item_elements_element_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_item_elements_action_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_item_elements_item_id")),
        sa.PrimaryKeyConstraint("item_id", name=op.f("pk_item_elements")),
    )
    op.create_table(
        "machine_origins",
        sa.Column("machine_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column(
            "built",
            sa.Enum("anywhere", "japan", "north-america", "europe", name="built", native_enum=False, length=20),
            nullable=False,
        ),
        sa.CheckConstraint(
            "built IN ('anywhere', 'japan', 'north-america', 'europe')", name=op.f("ck_machine_origins_built_word")
        ),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_machine_origins_action_id")),
        sa.ForeignKeyConstraint(["machine_id"], ["machines.id"], name=op.f("fk_machine_origins_machine_id")),
        sa.PrimaryKeyConstraint("machine_id", name=op.f("pk_machine_origins")),
    )
    op.create_table(
        "reorder_rules",
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("order_at", sa.BigInteger(), nullable=False),
        sa.Column("up_to", sa.BigInteger(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.CheckConstraint("lead_days >= 0", name=op.f("ck_reorder_rules_lead_not_negative")),
        sa.CheckConstraint("order_at >= 0", name=op.f("ck_reorder_rules_order_at_not_negative")),
        sa.CheckConstraint("up_to > order_at", name=op.f("ck_reorder_rules_up_to_above")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_reorder_rules_action_id")),
        sa.ForeignKeyConstraint(["item_id"], ["items.id"], name=op.f("fk_reorder_rules_item_id")),
        sa.PrimaryKeyConstraint("item_id", name=op.f("pk_reorder_rules")),
    )
    op.create_table(
        "template_versions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("template_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.CheckConstraint("number > 0", name=op.f("ck_template_versions_number_positive")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_template_versions_action_id")),
        sa.ForeignKeyConstraint(["template_id"], ["job_templates.id"], name=op.f("fk_template_versions_template_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_template_versions")),
        sa.UniqueConstraint("template_id", "number", name=op.f("uq_template_versions_template_id_number")),
    )
    op.create_table(
        "job_origins",
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_job_origins_job_id")),
        sa.ForeignKeyConstraint(["version_id"], ["template_versions.id"], name=op.f("fk_job_origins_version_id")),
        sa.PrimaryKeyConstraint("job_id", name=op.f("pk_job_origins")),
    )
    op.create_table(
        "lot_cures",
        sa.Column("lot_id", sa.Integer(), nullable=False),
        sa.Column("cured_on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["lot_id"], ["lots.id"], name=op.f("fk_lot_cures_lot_id")),
        sa.PrimaryKeyConstraint("lot_id", name=op.f("pk_lot_cures")),
    )
    op.create_table(
        "position_housings",
        sa.Column("position_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("housing", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(housing) > 0", name=op.f("ck_position_housings_housing_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_position_housings_action_id")),
        sa.ForeignKeyConstraint(["position_id"], ["positions.id"], name=op.f("fk_position_housings_position_id")),
        sa.PrimaryKeyConstraint("position_id", name=op.f("pk_position_housings")),
    )
    op.create_table(
        "template_needs",
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("place", sa.String(length=200), nullable=False),
        sa.Column("spec", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(spec) > 0", name=op.f("ck_template_needs_spec_not_blank")),
        sa.ForeignKeyConstraint(["version_id"], ["template_versions.id"], name=op.f("fk_template_needs_version_id")),
        sa.PrimaryKeyConstraint("version_id", "position", name=op.f("pk_template_needs")),
    )
    op.create_table(
        "fit_grooves",
        sa.Column("fit_record_id", sa.Integer(), nullable=False),
        sa.Column("groove", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(groove) > 0", name=op.f("ck_fit_grooves_groove_not_blank")),
        sa.ForeignKeyConstraint(["fit_record_id"], ["fit_records.id"], name=op.f("fk_fit_grooves_fit_record_id")),
        sa.PrimaryKeyConstraint("fit_record_id", name=op.f("pk_fit_grooves")),
    )
    op.create_table(
        "fit_origins",
        sa.Column("fit_record_id", sa.Integer(), nullable=False),
        sa.Column("who", sa.String(length=200), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("length(who) > 0", name=op.f("ck_fit_origins_who_not_blank")),
        sa.ForeignKeyConstraint(["fit_record_id"], ["fit_records.id"], name=op.f("fk_fit_origins_fit_record_id")),
        sa.PrimaryKeyConstraint("fit_record_id", name=op.f("pk_fit_origins")),
    )
    op.create_table(
        "need_asks",
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("ask", sa.String(length=200), nullable=False),
        sa.CheckConstraint("length(ask) > 0", name=op.f("ck_need_asks_ask_not_blank")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_need_asks_need_id")),
        sa.PrimaryKeyConstraint("need_id", "position", name=op.f("pk_need_asks")),
    )
    op.create_table(
        "need_grooves",
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("groove", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(groove) > 0", name=op.f("ck_need_grooves_groove_not_blank")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_need_grooves_need_id")),
        sa.PrimaryKeyConstraint("need_id", name=op.f("pk_need_grooves")),
    )
    op.create_table(
        "need_housings",
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("housing", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(housing) > 0", name=op.f("ck_need_housings_housing_not_blank")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_need_housings_need_id")),
        sa.PrimaryKeyConstraint("need_id", name=op.f("pk_need_housings")),
    )
    op.create_table(
        "line_pins",
        sa.Column("kit_line_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_line_pins_action_id")),
        sa.ForeignKeyConstraint(["kit_line_id"], ["kit_lines.id"], name=op.f("fk_line_pins_kit_line_id")),
        sa.PrimaryKeyConstraint("kit_line_id", name=op.f("pk_line_pins")),
    )
    dialect = op.get_bind().dialect.name
    for statement in APPEND_ONLY_SQLITE if dialect == "sqlite" else APPEND_ONLY_POSTGRESQL:
        op.execute(statement)


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
