"""Buy's first rows, by what stands written; then what is short once the shelf was looked at."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path

import pytest

from models.glance.shorts import first_shorts
from models.orders.short_rows import Short
from tests.tui.buy.opened import buy_screen, short_shop
from tests.tui.counter import Shown, settle, shown
from tui.buying import Buying
from tui.screens.buy.screen import BuyScreen
from tui.workshop import Workshop


async def test_the_cursor_stays_on_its_row_when_the_shelf_was_looked_at(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked, ordinary = threading.Event(), Buying.shorts

    def one_more(workshop: Workshop, *, by_date: bool = True) -> tuple[Short, ...] | None:
        """As if another ring had come to lie on the shelf since it was looked for."""
        first = first_shorts(workshop.place(), workshop.today(), by_date=by_date)
        assert first
        return (first[0]._replace(line="need:999", title="lies there again"), *first)

    def shorts(self: Buying, *, by_date: bool = True) -> tuple[Short, ...]:
        looked.wait(60)
        return ordinary(self, by_date=by_date)

    monkeypatch.setattr(Workshop, "first_shorts", one_more)
    monkeypatch.setattr(Buying, "shorts", shorts)
    async with Shown(data=str(short_shop(tmp_path))).run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+y")
        for _ in range(1000):
            if isinstance(pilot.app.screen, BuyScreen) and pilot.app.screen._shorts:
                break
            await asyncio.sleep(0.02)
        await pilot.pause()
        assert "lies there again" in shown(pilot)
        assert "Looking on the shelf for what is short" in shown(pilot)
        rows = buy_screen(pilot).rows
        await pilot.press("down", "down", "down")
        before = buy_screen(pilot).entry
        place = rows.cursor
        looked.set()
        await settle(pilot)
        after = buy_screen(pilot).entry
        assert "lies there again" not in shown(pilot)
        assert before is not None
        assert after is not None
        assert (after.row.cells, rows.cursor) == (before.row.cells, place - 1)
        assert "short lines; plan with" in shown(pilot)
