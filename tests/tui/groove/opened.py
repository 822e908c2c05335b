"""The groove screen in a test: opened with keys from Measure, filled by key of the field."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from tests.tui.counter import keys, make_app, settle, write
from tui.screens.groove.fields import GrooveField
from tui.screens.groove.screen import GrooveScreen

SMALL, LARGE = (80, 24), (120, 40)


def groove_screen(pilot: Pilot[Any]) -> GrooveScreen:
    screen = pilot.app.screen
    assert isinstance(screen, GrooveScreen)
    return screen


def typed(pilot: Pilot[Any], key: str) -> str:
    return groove_screen(pilot).query_one(f"#g-{key}", GrooveField).input.value


async def fill(pilot: Pilot[Any], **texts: str) -> None:
    """Put these texts into fields and wait for the judgement."""
    for key, text in texts.items():
        groove_screen(pilot).query_one(f"#g-{key}", GrooveField).input.value = text
    await settle(pilot)


async def measured(pilot: Pilot[Any], inside: str, width: str) -> None:
    """Type a ring's ID and width on Measure."""
    await settle(pilot)
    await write(pilot, inside)
    await keys(pilot, "tab", "tab")
    await write(pilot, width)


@asynccontextmanager
async def at_groove(
    folder: Path, ring: tuple[str, str] | None = None, size: tuple[int, int] = SMALL, unit: str = "mm"
) -> AsyncIterator[Pilot[Any]]:
    """The screen over Measure, with a measured ring or with none; toasts and tooltips are on."""
    app = make_app(folder, unit)
    async with app.run_test(size=size, notifications=True, tooltips=True) as pilot:
        await settle(pilot)
        if ring is not None:
            await measured(pilot, *ring)
        await keys(pilot, "ctrl+g")
        yield pilot
        # The harness closes an app under its workers, which a real exit cancels first: come to rest before.
        await settle(pilot)
