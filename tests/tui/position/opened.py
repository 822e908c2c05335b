"""The positions in a test: a workshop with two machines and records, opened with keys from Measure."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual.content import Content
from textual.pilot import Pilot
from textual.widgets import Static

from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.prior import Built
from models import machines
from models.database import open_workshop
from models.fits import fit_records
from models.words import Kind
from tests.tui.counter import Shown, keys, settle
from tests.tui.seed import NOON, act, seed
from tui.screens.position.screen import PositionScreen

SMALL, LARGE = (80, 24), (120, 40)
READ = Evidence(
    (Reading(Dimension.ID, 24.9, 0.1, Tool.CALIPER), Reading(Dimension.WIDTH, 3.5, 0.05, Tool.CALIPER)),
    Condition.USED,
)


def fitted(folder: Path) -> Shown:
    """The app over the seeded workshop with positions and their records."""
    file = seed(folder / "workshop.sqlite3")
    workshop = open_workshop(file, clock=lambda: NOON)
    with workshop.write() as session:
        tractor = machines.add(session, act(), name="Orchard tractor 3", built=Built.JAPAN).machine_id
        inlet = machines.add_position(session, act(), machine_id=tractor, name="pump inlet flange ring").position_id
        machines.add_position(session, act(), machine_id=tractor, name="return line element", takes=Kind.FILTER)
        machines.add_position(session, act(), machine_id=tractor, name="strainer cover ring")
        fit_records.record(session, act(), inlet, "as568:213", rubber="NBR", note="Seeped within a week. [/b]")
        fit_records.record(session, act(), inlet, "as568:214", evidence=READ, rubber="HNBR", hardness_shore_a=70)
    workshop.close()
    return Shown(data=str(file))


def position_screen(pilot: Pilot[Any]) -> PositionScreen:
    screen = pilot.app.screen
    assert isinstance(screen, PositionScreen)
    return screen


def told(pilot: Pilot[Any]) -> str:
    """What stands at the right, before it is broken into lines."""
    content = position_screen(pilot).query_one("#position-told", Static).content
    assert isinstance(content, Content)
    return content.plain


@asynccontextmanager
async def at_positions(folder: Path, size: tuple[int, int] = SMALL) -> AsyncIterator[Pilot[Any]]:
    """The screen over Measure, nothing measured; toasts and tooltips are on."""
    async with fitted(folder).run_test(size=size, notifications=True, tooltips=True) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+o")
        yield pilot
        # The harness closes an app under its workers, which a real exit cancels first: come to rest before.
        await settle(pilot)
