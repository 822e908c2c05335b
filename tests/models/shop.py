"""Small pieces a test builds a workshop from."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime
from itertools import count
from typing import Any

from sqlmodel import Session

from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from models import jobs, shelf
from models.acts import Act
from models.inventory import bins, items
from models.kits import NeedSpec
from models.stock_rows import StockRow
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


def ring_spec(size_key: str, rubbers: Sequence[str] = (), **said: Any) -> NeedSpec:
    """A need for rings of one size."""
    return NeedSpec(Kind.RING, size_key=size_key, rubbers=rubbers, **said)
