"""The Judge area in a test: opened with keys, filled by key of the field."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from textual.pilot import Pilot

from tests.tui.counter import Shown, settle
from tests.tui.counter import shown as screen_text
from tui.screens.judge.bench import Bench
from tui.screens.judge.panel import Panel
from tui.screens.judge.screen import JudgeScreen

SMALL, LARGE = (80, 24), (120, 40)
LETTERS = {
    "element": "e", "fluid": "f", "rubber": "c", "viscosity": "v", "fill": "s", "thread": "r", "port": "y",
    "torque": "t", "seal": "m", "tables": "b",
}  # fmt: skip

__all__ = ["LARGE", "LETTERS", "SMALL", "bench", "fill", "judge_screen", "judging", "panel", "screen_text", "settle"]


def judge_screen(pilot: Pilot[None]) -> JudgeScreen:
    screen = pilot.app.screen
    assert isinstance(screen, JudgeScreen)
    return screen


def bench(pilot: Pilot[None]) -> Bench:
    panel = judge_screen(pilot).panel
    assert panel is not None
    return panel


def panel(pilot: Pilot[None]) -> Panel:
    found = bench(pilot)
    assert isinstance(found, Panel)
    return found


async def fill(pilot: Pilot[None], **answers: str) -> None:
    """Put these answers into the open panel and wait for its judgement."""
    panel(pilot).fill(answers)
    await settle(pilot)


@asynccontextmanager
async def judging(
    folder: Path, subject: str = "element", size: tuple[int, int] = SMALL, unit: str = "mm"
) -> AsyncIterator[Pilot[None]]:
    """The area with one thing open in it and the focus in its first field; toasts and tooltips are on."""
    app = Shown(data=str(folder / "workshop.sqlite3"), unit=unit)
    async with app.run_test(size=size, notifications=True, tooltips=True) as pilot:
        await pilot.pause()
        await pilot.press("f11")
        await settle(pilot)
        await pilot.press(f"alt+{LETTERS[subject]}")
        await settle(pilot)
        yield pilot
        # The harness closes an app under its workers, which a real exit cancels first: come to rest before.
        await settle(pilot)
