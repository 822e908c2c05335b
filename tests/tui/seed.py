"""An invented workshop for the screens' tests: a few bins, rings, fluids and jobs at a fixed time."""

from __future__ import annotations

from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from models import jobs, kits, machines, shelf
from models.acts import Act, by
from models.database import Workshop, open_workshop
from models.inventory import bins, items
from models.words import Kind
from tests.models.shop import ring_spec

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


def act() -> Act:
    return by("tess", clock=lambda: NOON)


def seed(file: Path) -> Path:
    """Make the database at `file`."""
    file.write_bytes(_pattern())
    return file


@cache
def _pattern() -> bytes:
    """The database, made once for all tests of a process."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "workshop.sqlite3"
        _make(file)
        # Closed, it is one file: SQLite folds the log in when the last connection goes.
        assert [found.name for found in file.parent.iterdir()] == [file.name]
        return file.read_bytes()


def _make(file: Path) -> None:
    workshop = open_workshop(file, clock=lambda: NOON)
    fill(workshop)
    workshop.close()


def fill(workshop: Workshop) -> None:
    """Put it into an empty workshop."""
    with workshop.write() as session:
        b3 = bins.add(session, act(), code="B3", note="rings by dash number").bin_id
        c1 = bins.add(session, act(), code="C1").bin_id
        f2 = bins.add(session, act(), code="F2", note="drums").bin_id
        ring = items.add(
            session, act(), kind=Kind.RING, name="O-ring AS568-214 NBR 70", size_key="as568:214", rubber="NBR",
            hardness_shore_a=70,
        )  # fmt: skip
        small = items.add(session, act(), kind=Kind.RING, name="O-ring JIS P25 FKM", size_key="jis:P25", rubber="FKM")
        oil = items.add(
            session, act(), kind=Kind.FLUID, name="Tractor fluid, drum", spec_class="UTTO", spec_grade="10W-30"
        )
        rags = items.add(session, act(), kind=Kind.CONSUMABLE, name="Rags")
        shelf.receive(session, act(), item_id=ring.item_id, bin_id=b3, quantity=14)
        shelf.receive(session, act(), item_id=small.item_id, bin_id=c1, quantity=2, lot_code="L7",
                      expires_on=date(2031, 5, 1))  # fmt: skip
        shelf.receive(session, act(), item_id=oil.item_id, bin_id=f2, quantity=94_635_295)
        shelf.receive(session, act(), item_id=rags.item_id, bin_id=c1, quantity=40)
        sprayer = machines.add(session, act(), name="Sprayer 2").machine_id
        job = jobs.open_job(
            session, act(), title="Reseal the spray pump", machine_id=sprayer, due_on=date(2026, 11, 27)
        )
        jobs.open_job(session, act(), title="Loader lift valve weeps")
        kits.add_need(session, act(), job.job_id, ring_spec("as568:214", pieces=2, spares=1, title="AS568-214"))
        kits.add_need(session, act(), job.job_id, ring_spec("jis:P25", pieces=4, title="JIS P25"))
        kits.allocate(session, act(), job.job_id)
