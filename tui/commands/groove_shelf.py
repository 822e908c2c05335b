"""Which ring sizes are on the shelf, so that those that seal are offered first. Only `--shelf-first` comes here."""

from __future__ import annotations

from datetime import date

from tui.commands.parsing import UsageError

MOST_ROWS = 10_000


def on_the_shelf(data: str | None, demo: bool, today: date) -> frozenset[str]:
    """The keys of sizes with a free ring that has not expired by `today`. Raises UsageError if the data won't open."""
    from models import shelf
    from models.errors import WorkshopError
    from models.words import Kind
    from tui.workshop import Workshop

    workshop = Workshop(data, demo)
    try:
        with workshop.open().read() as session:
            rows = shelf.stock_rows(session, kind=Kind.RING, limit=MOST_ROWS).rows
    except WorkshopError as problem:
        raise UsageError(f"--shelf-first: {problem}") from problem
    finally:
        workshop.close()
    return frozenset(
        row.size_key
        for row in rows
        if row.size_key and row.free > 0 and (row.expires_on is None or row.expires_on >= today)
    )
