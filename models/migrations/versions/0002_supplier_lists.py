"""Suppliers, their lists, what things cost before, and the search over them"""

# ruff: noqa: E501

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import TSVECTOR

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

# As they stood at this step; `models.search.index` may move on.
SEARCH_SQLITE = (
    "CREATE VIRTUAL TABLE list_words USING fts5(words, content='list_rows', content_rowid='id', tokenize='ascii', prefix='1 2 3 4 5', detail=none, columnsize=0)",
    "CREATE VIRTUAL TABLE list_numbers USING fts5(compact, content='list_rows', content_rowid='id', tokenize='trigram case_sensitive 1', detail=none, columnsize=0)",
)


def upgrade() -> None:
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
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_suppliers_name_not_blank")),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_suppliers_currency_code")),
        sa.CheckConstraint("freight_minor >= 0", name=op.f("ck_suppliers_freight_not_negative")),
        sa.CheckConstraint("free_from_minor >= 0", name=op.f("ck_suppliers_free_from_not_negative")),
        sa.CheckConstraint("minimum_order_minor >= 0", name=op.f("ck_suppliers_minimum_order_not_negative")),
        sa.CheckConstraint("lead_days >= 0", name=op.f("ck_suppliers_lead_days_not_negative")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_suppliers_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_suppliers")),
        sa.UniqueConstraint("name", name=op.f("uq_suppliers_name")),
    )
    op.create_table(
        "supplier_columns",
        sa.Column("supplier_id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("layout", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["supplier_id"], ["suppliers.id"], name=op.f("fk_supplier_columns_supplier_id")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_supplier_columns_action_id")),
        sa.PrimaryKeyConstraint("supplier_id", name=op.f("pk_supplier_columns")),
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
        sa.ForeignKeyConstraint(["supplier_id"], ["suppliers.id"], name=op.f("fk_supplier_lists_supplier_id")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_supplier_lists_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supplier_lists")),
        sa.UniqueConstraint("action_id", name=op.f("uq_supplier_lists_action_id")),
    )
    op.create_index(op.f("ix_supplier_lists_supplier_id"), "supplier_lists", ["supplier_id"], unique=False)
    _list_rows()
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
    op.create_index(op.f("ix_old_prices_row_id"), "old_prices", ["row_id"], unique=False)
    if op.get_bind().dialect.name == "sqlite":
        for statement in SEARCH_SQLITE:
            op.execute(statement)


def _list_rows() -> None:
    plain_order = sa.String(length=200).with_variant(sa.String(length=200, collation="C"), "postgresql")
    op.create_table(
        "list_rows",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("supplier_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=200), nullable=False),
        sa.Column("compact", plain_order, nullable=False),
        sa.Column("name", sa.String(length=400), nullable=False),
        sa.Column("words", sa.Text().with_variant(TSVECTOR(), "postgresql"), nullable=True),
        sa.Column("pack_quantity", sa.BigInteger(), nullable=False),
        sa.Column("counted_in", sa.String(length=20), nullable=False),
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
        sa.Column("reading_state", sa.String(length=20), nullable=False),
        sa.Column("added_list_id", sa.Integer(), nullable=False),
        sa.Column("priced_list_id", sa.Integer(), nullable=False),
        sa.Column("withdrawn_list_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(number) > 0", name=op.f("ck_list_rows_number_not_blank")),
        sa.CheckConstraint("counted_in IN ('each', 'ul')", name=op.f("ck_list_rows_counted_in_word")),
        sa.CheckConstraint(
            "reading_state IN ('none', 'read', 'confirmed', 'refused')", name=op.f("ck_list_rows_reading_state_word")
        ),
        sa.CheckConstraint("price_minor >= 0 AND price_per > 0", name=op.f("ck_list_rows_price")),
        sa.CheckConstraint("pack_quantity > 0 AND min_packs > 0", name=op.f("ck_list_rows_pack")),
        sa.ForeignKeyConstraint(["supplier_id"], ["suppliers.id"], name=op.f("fk_list_rows_supplier_id")),
        sa.ForeignKeyConstraint(
            ["withdrawn_list_id"], ["supplier_lists.id"], name=op.f("fk_list_rows_withdrawn_list_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_list_rows")),
        sa.UniqueConstraint("supplier_id", "number", name=op.f("uq_list_rows_supplier_id_number")),
    )
    listed = sa.text("withdrawn_list_id IS NULL")
    rings = sa.text("ring_width_100nm IS NOT NULL")
    op.create_index(
        "ix_list_rows_compact_id", "list_rows", ["compact", "id"], sqlite_where=listed, postgresql_where=listed
    )
    op.create_index(
        "ix_list_rows_ring",
        "list_rows",
        ["ring_width_100nm", "ring_id_100nm"],
        sqlite_where=rings,
        postgresql_where=rings,
    )
    if op.get_bind().dialect.name == "postgresql":
        op.create_index("ix_list_rows_words", "list_rows", ["words"], postgresql_using="gin")


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
