"""Small pieces a test builds a workshop from."""

from __future__ import annotations

import shutil
from datetime import UTC, date, datetime
from itertools import count
from pathlib import Path
from textwrap import dedent

from sqlmodel import Session

import models.migrations
from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from models import jobs, shelf
from models.acts import Act
from models.stock_rows import StockRow
from models.storage.upgrade import CURRENT, Schema
from models.stores import bins, items
from models.words import Kind

_NUMBERS = count(1)
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)

INLET = Evidence(
    (
        Reading(Dimension.ID, 24.9, 0.1, Tool.CALIPER),
        Reading(Dimension.WIDTH, 3.5, 0.05, Tool.CALIPER),
    ),
    Condition.USED,
)


def act(who: str = "Bench 1", *, key: str | None = None, at: datetime = NOON) -> Act:
    """An act under a key of its own."""
    return Act(who, key or f"key-{next(_NUMBERS)}", at)


def ring(
    session: Session,
    quantity: int,
    *,
    size_key: str = "as568:214",
    rubber: str = "NBR",
    bin_code: str = "A1",
    hardness: int | None = 70,
    lot: str = "",
    expires_on: date | None = None,
) -> StockRow:
    """Rings on the shelf, received once; item and bin are made where they are missing."""
    name = f"O-ring {size_key} {rubber} {hardness}"
    known = items.page(session, name).rows
    item = (
        known[0]
        if known
        else items.add(
            session, act(), kind=Kind.RING, name=name, size_key=size_key, rubber=rubber, hardness_shore_a=hardness
        )
    )
    place = next((one for one in bins.page(session) if one.code == bin_code), None) or bins.add(
        session, act(), code=bin_code
    )
    return shelf.receive(
        session,
        act(),
        item_id=item.item_id,
        bin_id=place.bin_id,
        quantity=quantity,
        lot_code=lot,
        expires_on=expires_on,
    )


def job(session: Session, title: str = "Pump leaks") -> int:
    """An open bench job."""
    return jobs.open_job(session, act(), title=title).job_id


def one_step_ahead(folder: Path) -> Schema:
    """The schema of a program one step ahead of ours: its step adds a column to the bins."""
    shutil.copytree(Path(models.migrations.__file__).parent, folder)
    (folder / "versions" / "9999_next.py").write_text(
        dedent(
            """
            import sqlalchemy as sa
            from alembic import op

            revision = "9999"
            down_revision = "HEAD"


            def upgrade():
                with op.batch_alter_table("bins") as batch:
                    batch.add_column(sa.Column("walk", sa.Integer(), nullable=False, server_default="7"))
            """
        ).replace("HEAD", CURRENT.head)
    )
    return Schema("9999", (*CURRENT.earlier, CURRENT.head), str(folder))
