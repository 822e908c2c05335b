"""Which ring sizes are on the shelf, so that those that seal are offered first."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlmodel import Session

    from tui.workshop import Workshop

MOST_ROWS = 10_000


def sizes_on_shelf(workshop: Workshop) -> frozenset[str]:
    """The keys of sizes with a free ring that has not expired."""
    today = date.today()

    def look(session: Session) -> frozenset[str]:
        from models import shelf
        from models.words import Kind

        rows = shelf.stock_rows(session, kind=Kind.RING, limit=MOST_ROWS).rows
        return frozenset(
            row.size_key
            for row in rows
            if row.size_key and row.free > 0 and (row.expires_on is None or row.expires_on >= today)
        )

    return workshop.read(look)
