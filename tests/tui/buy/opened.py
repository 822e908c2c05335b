"""The app with Buy open over the seeded workshop, a job short of things, and two invented suppliers."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from textual.pilot import Pilot

from models import jobs, kits, machines
from models.database import Workshop, open_workshop
from models.fits import fit_records
from models.words import Kind
from tests.models.orders.buying import FIRST, oil, rings, supplier
from tests.tui.counter import Shown, keys, settle
from tests.tui.seed import NOON, act, seed
from tui.screens.buy.screen import BuyScreen

SMALL, LARGE = (80, 24), (120, 40)
CHEAP = ("S-214,O-RING AS568-214 HNBR 70,0.01,1",)
"""Cheaper, but its delivery time is not known."""


def short_shop(folder: Path) -> Path:
    """The seeded workshop, where two jobs lack rings and oil, and two suppliers have most of it."""
    file = folder / "workshop.sqlite3"
    file.write_bytes(_pattern())
    return file


@cache
def _pattern() -> bytes:
    """Made once: a second each."""
    with TemporaryDirectory() as folder:
        return _made(Path(folder)).read_bytes()


def _made(folder: Path) -> Path:
    file = seed(folder / "workshop.sqlite3")
    workshop = open_workshop(file, clock=lambda: NOON)
    run_short(workshop, folder)
    workshop.close()
    return file


def run_short(workshop: Workshop, folder: Path) -> None:
    """Jobs that lack things, and two suppliers, in a workshop that is seeded."""
    supplier(workshop, folder, FIRST, freight=500, free_from=10_000)
    supplier(workshop, folder, CHEAP, "Second supplier (invented)", freight=50, lead=None)
    with workshop.write() as session:
        for title, due, specs in (
            ("Pump inlet leaks", date(2026, 12, 4), (rings(4), rings(2, "as568:116", ("NBR",)))),
            ("Gearbox refill", None, (oil(120), rings(1, "as568:222", ("FKM",)))),
        ):
            job_id = jobs.open_job(session, act(), title=title, due_on=due).job_id
            kits.add_needs(session, act(), job_id, list(specs))
            kits.allocate(session, act(), job_id)
        press = machines.add(session, act(), name="Shop press").machine_id
        ram = machines.add_position(session, act(), machine_id=press, name="ram", takes=Kind.RING).position_id
        fit_records.record(session, act(), ram, "as568:214")


def buy_screen(pilot: Pilot[Any]) -> BuyScreen:
    screen = pilot.app.screen
    assert isinstance(screen, BuyScreen)
    return screen


@asynccontextmanager
async def buying(folder: Path, size: tuple[int, int] = SMALL, *, empty: bool = False) -> AsyncIterator[Pilot[Any]]:
    """Buy, opened by its key; its clock stands still. `empty`: a workshop with nothing in it."""
    file = folder / "empty.sqlite3" if empty else short_shop(folder)
    app = Shown(data=str(file))
    async with app.run_test(size=size, notifications=True, tooltips=True) as pilot:
        await settle(pilot)
        app.workshop.open().clock = lambda: NOON
        await keys(pilot, "ctrl+y")
        yield pilot
        # The harness closes an app under its workers, which a real exit cancels first: come to rest before.
        await settle(pilot)
