"""Rows of suppliers' lists keep which fluid classes their text names: found by an index, not read anew each time."""

import sqlalchemy as sa
from alembic import op

from models.supplier_lists.read_fluid import fluids_in

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

FLUID = sa.text("fluids IS NOT NULL")
AT_ONCE = 10_000


def upgrade() -> None:
    op.add_column("list_rows", sa.Column("fluids", sa.Text(), nullable=True))
    connection = op.get_bind()
    rows = sa.table(
        "list_rows", sa.column("id", sa.Integer), sa.column("name", sa.String), sa.column("fluids", sa.Text)
    )
    last = 0
    while some := connection.execute(
        sa.select(rows.c.id, rows.c.name).where(rows.c.id > last).order_by(rows.c.id).limit(AT_ONCE)
    ).all():
        last = some[-1][0]
        read = [{"row": row_id, "read": said} for row_id, name in some if (said := fluids_in(name)) is not None]
        if read:
            change = rows.update().where(rows.c.id == sa.bindparam("row")).values(fluids=sa.bindparam("read"))
            connection.execute(change, read)
    op.create_index(op.f("ix_list_rows_fluids"), "list_rows", ["fluids"], sqlite_where=FLUID, postgresql_where=FLUID)


def downgrade() -> None:
    raise NotImplementedError("A step is never taken back; put back a backup instead.")
