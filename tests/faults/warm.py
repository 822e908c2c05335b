"""Loaded by the server of forks: its children find the models imported and the commonest statements compiled."""

from __future__ import annotations

import tempfile
from pathlib import Path

import alembic.command
import alembic.config  # noqa: F401

from models.database import open_workshop
from models.storage.check import check
from tests.faults import works  # noqa: F401
from tests.faults.booking import DOES, Shelf, book
from tests.models import at_once  # noqa: F401
from tests.models.shop import job, ring
from tests.statements import share

share()
with tempfile.TemporaryDirectory() as folder:
    workshop = open_workshop(Path(folder) / "w.sqlite3")
    with workshop.write() as session:
        row = ring(session, 9)
        at = Shelf(row.item_id, row.bin_id, row.stock_id, job(session))
    line_id = 0
    for kind in DOES:
        line_id = book(workshop, f"{kind} warm {line_id}", at) or line_id
    with workshop.read() as session:
        check(session)
    workshop.close()
