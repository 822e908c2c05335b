"""A fluid's tally kept with its need, and the bar codes of items."""

# ruff: noqa: E501

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

# As they stood at this step; `models.storage.append_only` may move on.
APPEND_ONLY_SQLITE = (
    "CREATE TRIGGER fill_entries_no_update BEFORE UPDATE ON fill_entries BEGIN SELECT RAISE(ABORT, 'fill_entries is append-only'); END",
    "CREATE TRIGGER fill_entries_no_delete BEFORE DELETE ON fill_entries BEGIN SELECT RAISE(ABORT, 'fill_entries is append-only'); END",
    "CREATE TRIGGER fill_entries_no_replace BEFORE INSERT ON fill_entries WHEN EXISTS (SELECT 1 FROM fill_entries WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'fill_entries is append-only'); END",
)
APPEND_ONLY_POSTGRESQL = (
    "CREATE TRIGGER fill_entries_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON fill_entries FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
)


def upgrade() -> None:
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
    op.create_index(op.f("ix_fill_entries_action_id"), "fill_entries", ["action_id"], unique=False)
    op.create_index(op.f("ix_fill_entries_need_id"), "fill_entries", ["need_id"], unique=False)
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
    op.create_index(op.f("ix_item_gtins_item_id"), "item_gtins", ["item_id"], unique=False)
    dialect = op.get_bind().dialect.name
    for statement in APPEND_ONLY_SQLITE if dialect == "sqlite" else APPEND_ONLY_POSTGRESQL:
        op.execute(statement)


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
