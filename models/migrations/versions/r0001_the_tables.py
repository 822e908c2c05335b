"""Every table, what the search stands on and what keeps tables append-only, as they are at the first release."""

# ruff: noqa: E501

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import TSVECTOR

revision = "r0001"
down_revision = None
branch_labels = None
depends_on = None

PLAIN_ORDER = sa.String(200).with_variant(sa.String(200, collation="C"), "postgresql")
WORDS = sa.Text().with_variant(TSVECTOR(), "postgresql")

# As they stood at this step; `models.storage.append_only` and `models.search.index` may move on.
APPEND_ONLY = (
    "actions",
    "movements",
    "fit_records",
    "fit_readings",
    "fit_outcomes",
    "orders",
    "order_lines",
    "order_shares",
    "order_steps",
    "order_receipts",
    "fill_entries",
    "seal_notes",
    "former_rows",
)
WITHOUT_ID = ("fit_readings", "order_shares", "former_rows")


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
    op.create_index("ix_actions_who_id", "actions", ["who", "id"])
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
        "former_rows",
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("said", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_former_rows_action_id")),
        sa.PrimaryKeyConstraint("action_id", name=op.f("pk_former_rows")),
    )
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
        sa.UniqueConstraint("name", name=op.f("uq_items_name")),
    )
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
        "shop_fluid_classes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=200), nullable=False),
        sa.Column("code_folded", sa.String(length=400), nullable=False),
        sa.Column("description", sa.String(length=2000), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(code) > 0", name=op.f("ck_shop_fluid_classes_code_not_blank")),
        sa.CheckConstraint("length(description) > 0", name=op.f("ck_shop_fluid_classes_description_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_shop_fluid_classes_action_id")),
        sa.ForeignKeyConstraint(
            ["withdrawn_by_id"], ["actions.id"], name=op.f("fk_shop_fluid_classes_withdrawn_by_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_fluid_classes")),
    )
    op.create_index(op.f("ix_shop_fluid_classes_action_id"), "shop_fluid_classes", ["action_id"])
    op.create_index(op.f("ix_shop_fluid_classes_withdrawn_by_id"), "shop_fluid_classes", ["withdrawn_by_id"])
    op.create_index(
        "uq_shop_fluid_classes_code",
        "shop_fluid_classes",
        ["code_folded"],
        unique=True,
        sqlite_where=sa.text("withdrawn_by_id IS NULL"),
        postgresql_where=sa.text("withdrawn_by_id IS NULL"),
    )
    op.create_table(
        "shop_fluid_rules",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("required", sa.String(length=400), nullable=False),
        sa.Column("offered", sa.String(length=400), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "upgrade",
                "allowed",
                "caution",
                "partial",
                "downgrade",
                "lacks",
                "never",
                name="rulekind",
                native_enum=False,
                length=20,
            ),
            nullable=False,
        ),
        sa.Column("condition", sa.String(length=2000), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "kind IN ('upgrade', 'allowed', 'caution', 'partial', 'downgrade', 'lacks', 'never')",
            name=op.f("ck_shop_fluid_rules_kind_word"),
        ),
        sa.CheckConstraint("length(offered) > 0", name=op.f("ck_shop_fluid_rules_offered_not_blank")),
        sa.CheckConstraint("length(required) > 0", name=op.f("ck_shop_fluid_rules_required_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_shop_fluid_rules_action_id")),
        sa.ForeignKeyConstraint(["withdrawn_by_id"], ["actions.id"], name=op.f("fk_shop_fluid_rules_withdrawn_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_fluid_rules")),
    )
    op.create_index(op.f("ix_shop_fluid_rules_action_id"), "shop_fluid_rules", ["action_id"])
    op.create_index(op.f("ix_shop_fluid_rules_withdrawn_by_id"), "shop_fluid_rules", ["withdrawn_by_id"])
    op.create_index(
        "uq_shop_fluid_rules_pair",
        "shop_fluid_rules",
        ["required", "offered"],
        unique=True,
        sqlite_where=sa.text("withdrawn_by_id IS NULL"),
        postgresql_where=sa.text("withdrawn_by_id IS NULL"),
    )
    op.create_table(
        "own_sizes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("series", sa.String(length=30), nullable=False),
        sa.Column("series_folded", sa.String(length=60), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("designation", sa.String(length=50), nullable=False),
        sa.Column("designation_folded", sa.String(length=100), nullable=False),
        sa.Column("id_tenth_um", sa.Integer(), nullable=False),
        sa.Column("id_tol_tenth_um", sa.Integer(), nullable=False),
        sa.Column("cross_section_tenth_um", sa.Integer(), nullable=False),
        sa.Column("cross_section_tol_tenth_um", sa.Integer(), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "cross_section_tol_tenth_um > 0 AND cross_section_tol_tenth_um < cross_section_tenth_um",
            name=op.f("ck_own_sizes_cross_section_tol_within"),
        ),
        sa.CheckConstraint(
            "id_tol_tenth_um > 0 AND id_tol_tenth_um < id_tenth_um", name=op.f("ck_own_sizes_id_tol_within")
        ),
        sa.CheckConstraint("length(designation) > 0", name=op.f("ck_own_sizes_designation_not_blank")),
        sa.CheckConstraint("length(series) > 0", name=op.f("ck_own_sizes_series_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_own_sizes_action_id")),
        sa.ForeignKeyConstraint(["withdrawn_by_id"], ["actions.id"], name=op.f("fk_own_sizes_withdrawn_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_own_sizes")),
    )
    op.create_index(op.f("ix_own_sizes_action_id"), "own_sizes", ["action_id"])
    op.create_index(op.f("ix_own_sizes_withdrawn_by_id"), "own_sizes", ["withdrawn_by_id"])
    op.create_index(
        "uq_own_sizes_name",
        "own_sizes",
        ["series_folded", "designation_folded"],
        unique=True,
        sqlite_where=sa.text("withdrawn_by_id IS NULL"),
        postgresql_where=sa.text("withdrawn_by_id IS NULL"),
    )
    op.create_table(
        "suppliers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("freight_minor", sa.BigInteger(), nullable=False),
        sa.Column("free_from_minor", sa.BigInteger(), nullable=True),
        sa.Column("minimum_order_minor", sa.BigInteger(), nullable=False),
        sa.Column("lead_days", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.Column("layout", sa.Text(), nullable=True),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
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
        "orders",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("supplier_id", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("goods_minor", sa.BigInteger(), nullable=False),
        sa.Column("freight_minor", sa.BigInteger(), nullable=False),
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
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("machine_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("template_version_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("closed_at IS NULL OR closed_at >= opened_at", name=op.f("ck_jobs_closed_after_opened")),
        sa.CheckConstraint("length(title) > 0", name=op.f("ck_jobs_title_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_jobs_action_id")),
        sa.ForeignKeyConstraint(["machine_id"], ["machines.id"], name=op.f("fk_jobs_machine_id")),
        sa.ForeignKeyConstraint(
            ["template_version_id"], ["template_versions.id"], name=op.f("fk_jobs_template_version_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    op.create_index(op.f("ix_jobs_machine_id"), "jobs", ["machine_id"])
    op.create_table(
        "list_rows",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("supplier_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=200), nullable=False),
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
            "reading_state = 'none' OR reading_state = 'read' OR reading_state = 'confirmed' OR reading_state = 'refused'",
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
        "fit_readings",
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
        sa.Column("fit_record_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "condition IN ('new', 'used', 'flattened', 'swollen', 'shrunk', 'not-said')",
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
    op.create_table(
        "fill_entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column(
            "what",
            sa.Enum("held", "drained", "poured", "reused", name="filled", native_enum=False, length=20),
            nullable=False,
        ),
        sa.Column("volume_nl", sa.BigInteger(), nullable=False),
        sa.Column("typed", sa.String(length=200), nullable=False),
        sa.Column("takes_back_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "volume_nl > 0 OR (what = 'held' AND volume_nl = 0)", name=op.f("ck_fill_entries_volume_positive")
        ),
        sa.CheckConstraint("what IN ('held', 'drained', 'poured', 'reused')", name=op.f("ck_fill_entries_what_word")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_fill_entries_action_id")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_fill_entries_need_id")),
        sa.ForeignKeyConstraint(["takes_back_id"], ["fill_entries.id"], name=op.f("fk_fill_entries_takes_back_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fill_entries")),
        sa.UniqueConstraint("takes_back_id", name=op.f("uq_fill_entries_takes_back_id")),
    )
    op.create_index(op.f("ix_fill_entries_action_id"), "fill_entries", ["action_id"])
    op.create_index(op.f("ix_fill_entries_need_id"), "fill_entries", ["need_id"])
    op.create_table(
        "kit_lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("stock_id", sa.Integer(), nullable=False),
        sa.Column("quantity", sa.BigInteger(), nullable=False),
        sa.Column(
            "state",
            sa.Enum("have", "picked", "released", "short", name="linestate", native_enum=False, length=20),
            nullable=False,
        ),
        sa.Column("reason", sa.String(length=2000), nullable=False),
        sa.Column("pinned_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("state <> 'short'", name=op.f("ck_kit_lines_short_is_no_line")),
        sa.CheckConstraint("state IN ('have', 'picked', 'released', 'short')", name=op.f("ck_kit_lines_state_word")),
        sa.CheckConstraint("quantity > 0", name=op.f("ck_kit_lines_quantity_positive")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_kit_lines_action_id")),
        sa.ForeignKeyConstraint(["need_id"], ["needs.id"], name=op.f("fk_kit_lines_need_id")),
        sa.ForeignKeyConstraint(["pinned_by_id"], ["actions.id"], name=op.f("fk_kit_lines_pinned_by_id")),
        sa.ForeignKeyConstraint(["stock_id"], ["stock.id"], name=op.f("fk_kit_lines_stock_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kit_lines")),
    )
    op.create_index(op.f("ix_kit_lines_need_id"), "kit_lines", ["need_id"])
    op.create_index(op.f("ix_kit_lines_stock_id"), "kit_lines", ["stock_id"])
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
        "need_readings",
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
        sa.Column("need_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "condition IN ('new', 'used', 'flattened', 'swollen', 'shrunk', 'not-said')",
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
    op.create_index(op.f("ix_movements_kit_line_id"), "movements", ["kit_line_id"])
    op.create_index("ix_movements_stock_id_id", "movements", ["stock_id", "id"])
    for statement in _beyond_tables(op.get_bind().dialect.name):
        op.execute(statement)


def _beyond_tables(dialect: str) -> list[str]:
    if dialect == "postgresql":
        return [
            "CREATE INDEX ix_list_rows_words ON list_rows USING gin (words)",
            "CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION USING MESSAGE = TG_TABLE_NAME || ' is append-only', ERRCODE = 'restrict_violation'; END $$",
            *(
                f"CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()"
                for table in APPEND_ONLY
            ),
        ]
    statements = [
        "CREATE VIRTUAL TABLE list_words USING fts5(words, content='list_rows', content_rowid='id', tokenize='ascii', prefix='1 2 3 4 5', detail=none, columnsize=0)",
        "CREATE VIRTUAL TABLE list_numbers USING fts5(compact, content='list_rows', content_rowid='id', tokenize='trigram case_sensitive 1', detail=none, columnsize=0)",
    ]
    for table in APPEND_ONLY:
        refused = f"BEGIN SELECT RAISE(ABORT, '{table} is append-only'); END"
        statements += [
            f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} {refused}",
            f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} {refused}",
        ]
        if table not in WITHOUT_ID:
            # INSERT OR REPLACE removes the old row without firing its delete trigger.
            statements.append(
                f"CREATE TRIGGER {table}_no_replace BEFORE INSERT ON {table} WHEN EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id) {refused}"
            )
    return statements


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
