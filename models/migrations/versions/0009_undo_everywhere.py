"""Machines, positions and suppliers can be withdrawn; what a row said before it was written over is kept."""

# ruff: noqa: E501

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

# As they stood at this step; `models.storage.append_only` may move on.
APPEND_ONLY_SQLITE = (
    "CREATE TRIGGER former_rows_no_update BEFORE UPDATE ON former_rows BEGIN SELECT RAISE(ABORT, 'former_rows is append-only'); END",
    "CREATE TRIGGER former_rows_no_delete BEFORE DELETE ON former_rows BEGIN SELECT RAISE(ABORT, 'former_rows is append-only'); END",
)
APPEND_ONLY_POSTGRESQL = (
    "CREATE TRIGGER former_rows_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON former_rows FOR EACH STATEMENT EXECUTE FUNCTION refuse_change()",
)


def upgrade() -> None:
    op.create_table(
        "former_rows",
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("said", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_former_rows_action_id")),
        sa.PrimaryKeyConstraint("action_id", name=op.f("pk_former_rows")),
    )
    for table in ("machines", "positions", "suppliers"):
        op.add_column(table, sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True))
    dialect = op.get_bind().dialect.name
    for statement in APPEND_ONLY_SQLITE if dialect == "sqlite" else APPEND_ONLY_POSTGRESQL:
        op.execute(statement)


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
