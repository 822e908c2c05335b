"""No list says that there is nothing before anybody has looked."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from models.database import Workshop as Database
from tests.tui.counter import Shown, settle
from tui.screens.area import Area
from tui.widgets.rows import READING, Column, Rows
from tui.workshop import Workshop

AS_TYPED = {"matches", "lines-element"}
"""Lists that fill as one types: nothing is read for them."""
READ_FROM = {"stock", "jobs", "lines", "buy-lines", "hits", "position-rows"}
"""Lists of what the workshop holds."""


def test_a_list_that_loads_is_not_called_empty_before_it_has_loaded() -> None:
    rows = Rows([Column("Name", 9)], empty="Nothing here.")
    assert rows.empty == READING
    rows.empty = "Could not be read."
    assert rows.empty == "Could not be read."
    assert Rows([Column("Name", 9)], empty="Type.", loads=False).empty == "Type."


async def opened(pilot: Pilot[Any], before: object) -> Area:
    """The next area, once it stands; what it reads is not waited for."""
    for _ in range(1000):
        await pilot.pause()
        screen = pilot.app.screen
        if isinstance(screen, Area) and screen is not before and screen.is_mounted and screen.query(Rows):
            return screen
        await asyncio.sleep(0.01)
    raise AssertionError(pilot.app.screen)


async def test_no_screen_calls_the_workshop_empty_while_it_is_read(
    sqlite_workshop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_open, ordinary = threading.Event(), Workshop._open

    def open_late(self: Workshop) -> Database:
        may_open.wait(60)
        return ordinary(self)

    monkeypatch.setattr(Workshop, "_open", open_late)
    monkeypatch.setattr(Workshop, "_glanced", lambda self, question: None)
    seen: set[str] = set()
    async with Shown(data=str(sqlite_workshop)).run_test(size=(80, 24)) as pilot:
        before: object = None
        # Buy is turned through its lists, which are one and the same list; plan is none that is read.
        for key, further in (
            ("f4", ()), ("f5", ()), ("ctrl+f", ()), ("ctrl+y", ("right", "right", "right")), ("f2", ()),
            ("ctrl+o", ("x",)),
        ):  # fmt: skip
            await pilot.press(key)
            before = screen = await opened(pilot, before)
            for turn in (None, *further):
                if turn is not None:
                    await pilot.press(turn)
                    await pilot.pause()
                for rows in screen.query(Rows):
                    plan = getattr(screen, "_view", "") == "plan"
                    seen.add(rows.id or "")
                    assert plan or rows.id in AS_TYPED or (rows.count, rows.empty) == (0, READING), (screen, rows.id)
        assert seen >= READ_FROM, seen
        may_open.set()
        await settle(pilot)
        assert pilot.app.screen.query_one("#position-rows", Rows).empty != READING
