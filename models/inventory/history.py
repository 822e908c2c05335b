"""The ledger of what lies in one place, with that of what was merged into it."""

from __future__ import annotations

from sqlmodel import Session

from models import shelf
from models.inventory.moving import MERGED, sources
from models.shelf import MovementRow


def movements(session: Session, stock_id: int, *, limit: int = 200) -> tuple[MovementRow, ...]:
    """What was booked of one stock row, and of all that went into it under another name, newest first."""
    merged = sources(session, [stock_id], MERGED).get(stock_id, set())
    return shelf.movements(session, stock_id, *sorted(merged), limit=limit)
