"""A workshop's file changed by hand, as no program of ours changes it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def unguarded(file: Path) -> Iterator[sqlite3.Connection]:
    """The file with every guard off; the append-only triggers stand again afterwards."""
    by_hand = sqlite3.connect(file)
    by_hand.execute("PRAGMA ignore_check_constraints = ON")
    guards = by_hand.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        by_hand.execute(f"DROP TRIGGER {name}")
    yield by_hand
    for _, sql in guards:
        by_hand.execute(sql)
    by_hand.commit()
    by_hand.close()
