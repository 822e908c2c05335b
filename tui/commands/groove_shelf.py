"""Which ring sizes are on the shelf, so that those that seal are offered first. Only `--shelf-first` comes here."""

from __future__ import annotations

import argparse
from datetime import date

from tui.commands.workshop import opened

MOST_ROWS = 10_000


def on_the_shelf(arguments: argparse.Namespace, today: date) -> frozenset[str]:
    """The keys of sizes with a free ring that has not expired by `today`. Raises UsageError if the data won't open."""
    from models import shelf
    from models.words import Kind

    with opened(arguments) as workshop, workshop.open().read() as session:
        rows = shelf.stock_rows(session, kind=Kind.RING, limit=MOST_ROWS).rows
    return frozenset(
        row.size_key
        for row in rows
        if row.size_key and row.free > 0 and (row.expires_on is None or row.expires_on >= today)
    )
