"""A shop's own stand-in rules and fluid classes."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

STANDS = sa.text("withdrawn_by_id IS NULL")
KINDS = ("upgrade", "allowed", "caution", "partial", "downgrade", "lacks", "never")


def upgrade() -> None:
    listed = ", ".join(f"'{word}'" for word in KINDS)
    op.create_table(
        "shop_fluid_rules",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("required", sa.String(length=400), nullable=False),
        sa.Column("offered", sa.String(length=400), nullable=False),
        sa.Column("kind", sa.Enum(*KINDS, name="rulekind", native_enum=False, length=20), nullable=False),
        sa.Column("condition", sa.String(length=2000), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("withdrawn_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(required) > 0", name=op.f("ck_shop_fluid_rules_required_not_blank")),
        sa.CheckConstraint("length(offered) > 0", name=op.f("ck_shop_fluid_rules_offered_not_blank")),
        sa.CheckConstraint(f"kind IN ({listed})", name=op.f("ck_shop_fluid_rules_kind_word")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_shop_fluid_rules_action_id")),
        sa.ForeignKeyConstraint(["withdrawn_by_id"], ["actions.id"], name=op.f("fk_shop_fluid_rules_withdrawn_by_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_fluid_rules")),
    )
    op.create_index(op.f("ix_shop_fluid_rules_action_id"), "shop_fluid_rules", ["action_id"], unique=False)
    op.create_index(op.f("ix_shop_fluid_rules_withdrawn_by_id"), "shop_fluid_rules", ["withdrawn_by_id"], unique=False)
    op.create_index(
        "uq_shop_fluid_rules_pair",
        "shop_fluid_rules",
        ["required", "offered"],
        unique=True,
        sqlite_where=STANDS,
        postgresql_where=STANDS,
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
    op.create_index(op.f("ix_shop_fluid_classes_action_id"), "shop_fluid_classes", ["action_id"], unique=False)
    op.create_index(
        op.f("ix_shop_fluid_classes_withdrawn_by_id"), "shop_fluid_classes", ["withdrawn_by_id"], unique=False
    )
    op.create_index(
        "uq_shop_fluid_classes_code",
        "shop_fluid_classes",
        ["code_folded"],
        unique=True,
        sqlite_where=STANDS,
        postgresql_where=STANDS,
    )


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
