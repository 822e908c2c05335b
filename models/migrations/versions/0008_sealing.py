"""When a joint was sealed."""

# ruff: noqa: E501

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

# As they stood at this step; `models.storage.append_only` may move on.
APPEND_ONLY_SQLITE = (
    "CREATE TRIGGER seal_notes_no_update BEFORE UPDATE ON seal_notes BEGIN SELECT RAISE(ABORT, 'seal_notes is append-only'); END",
    "CREATE TRIGGER seal_notes_no_delete BEFORE DELETE ON seal_notes BEGIN SELECT RAISE(ABORT, 'seal_notes is append-only'); END",
    "CREATE TRIGGER seal_notes_no_replace BEFORE INSERT ON seal_notes WHEN EXISTS (SELECT 1 FROM seal_notes WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'seal_notes is append-only'); END",
)
APPEND_ONLY_POSTGRESQL = (
    "CREATE TRIGGER seal_notes_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON seal_notes FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
)


def upgrade() -> None:
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
    op.create_index(op.f("ix_seal_notes_action_id"), "seal_notes", ["action_id"], unique=False)
    op.create_index(op.f("ix_seal_notes_need_id"), "seal_notes", ["need_id"], unique=False)
    dialect = op.get_bind().dialect.name
    for statement in APPEND_ONLY_SQLITE if dialect == "sqlite" else APPEND_ONLY_POSTGRESQL:
        op.execute(statement)


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
