"""How Buy looks, at both sizes and in each state. `--snapshot-update` makes the pictures anew."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.tui.buy.opened import SMALL, short_shop
from tests.tui.counter import Shown, keys, settle
from tests.tui.pictured import Act, Pictured
from tests.tui.seed import NOON

STATES = {
    "short": ["enter"],
    "plan": ["o", "down"],
    "accepting": ["o", "enter"],
    "orders": ["o", "enter", "enter", "enter", "down"],
    "receiving": ["o", "enter", "enter", "enter", "enter"],
    "text": ["o", "enter", "enter", "v"],
    "rings_to_keep": ["r", "minus", "minus"],
}


@pytest.fixture(autouse=True)
def tess(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same name in every picture."""
    monkeypatch.setenv("LOGNAME", "tess")


def still(*pressed: str) -> Act:
    """Open Buy at a fixed time, press keys, forget messages, keep the cursor from blinking."""

    async def run(pilot: Pilot[Any]) -> None:
        await settle(pilot)
        assert isinstance(pilot.app, Shown)
        pilot.app.workshop.open().clock = lambda: NOON
        await keys(pilot, "ctrl+y")
        for key in pressed:
            await keys(pilot, key)
        pilot.app.clear_notifications()
        for field in pilot.app.screen.query(Input):
            field.cursor_blink = False
        await settle(pilot)

    return run


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
@pytest.mark.parametrize("state", STATES)
def test_each_state(snap_one_of: Pictured, tmp_path: Path, state: str, view: int) -> None:
    assert snap_one_of.both(lambda: Shown(data=str(short_shop(tmp_path))), still(*STATES[state]), view, state)


def test_an_empty_workshop(snap_compare: Any, tmp_path: Path) -> None:
    assert snap_compare(Shown(data=str(tmp_path / "new.sqlite3")), terminal_size=SMALL, run_before=still("s"))


def test_forty_columns(snap_compare: Any, tmp_path: Path) -> None:
    app = Shown(data=str(short_shop(tmp_path)))
    assert snap_compare(app, terminal_size=(40, 24), run_before=still("o"))


@pytest.mark.parametrize("state", ["plan", "rings_to_keep"])
def test_without_colour(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, state: str) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Shown(data=str(short_shop(tmp_path)))
    assert snap_compare(app, terminal_size=SMALL, run_before=still(*STATES[state]))


def test_plain_glyphs(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KITWRIGHT_ASCII", "1")
    app = Shown(data=str(short_shop(tmp_path)))
    assert snap_compare(app, terminal_size=SMALL, run_before=still(*STATES["rings_to_keep"]))
