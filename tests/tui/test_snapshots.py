"""How each screen looks, at both sizes and in each state. `--snapshot-update` makes the pictures anew."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.tui.counter import Shown, keys, make_app, settle, write
from tests.tui.pictured import Act, Pictured
from tests.tui.test_kits_closing import with_picked_rings, with_two_containers
from tests.tui.test_kits_fitted import with_picked


async def empty(pilot: Pilot[Any]) -> None:
    await settle(pilot)


async def found(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await write(pilot, "24.9")
    await keys(pilot, "tab", "tab")
    await write(pilot, "3.5")


async def wrong(pilot: Pilot[Any]) -> None:
    await found(pilot)
    await write(pilot, "3.5 [bananas")


async def nothing_fits(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await write(pilot, "33.9±0.02")
    await keys(pilot, "tab", "tab")
    await write(pilot, "4.4±0.02")


async def why(pilot: Pilot[Any]) -> None:
    await found(pilot)
    await keys(pilot, "question_mark")


async def which_job(pilot: Pilot[Any]) -> None:
    await found(pilot)
    await keys(pilot, "enter")


async def catalog(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "f3")
    await write(pilot, "jis 25")


async def catalog_nothing(pilot: Pilot[Any]) -> None:
    await catalog(pilot)
    await write(pilot, "no such size")


async def kits(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "f4", "enter", "down")


async def shelf(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "f5", "down")


async def counting(pilot: Pilot[Any]) -> None:
    await shelf(pilot)
    await keys(pilot, "enter")


async def receiving(pilot: Pilot[Any]) -> None:
    await shelf(pilot)
    await keys(pilot, "f7")


async def help_page(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "f1")


def still(act: Act) -> Act:
    """Do `act`, then stop every cursor from blinking, in its visible state."""

    async def run(pilot: Pilot[Any]) -> None:
        await act(pilot)
        for field in pilot.app.screen.query(Input):
            field.cursor_blink = False
        await settle(pilot)

    return run


STATES: list[Act] = [
    empty, found, wrong, nothing_fits, why, which_job, catalog, catalog_nothing, kits,
    shelf, counting, receiving, help_page,
]  # fmt: skip


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
@pytest.mark.parametrize("act", STATES, ids=lambda act: act.__name__)
def test_screen(snap_one_of: Pictured, tmp_path: Path, act: Act, view: int) -> None:
    assert snap_one_of.both(lambda: make_app(tmp_path), still(act), view, act, alone=act is wrong)


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
def test_whether_the_rings_fitted(snap_one_of: Pictured, tmp_path: Path, view: int) -> None:
    async def closed(pilot: Pilot[Any]) -> None:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter")

    named = ["pump inlet flange ring", "pump outlet flange ring"]
    assert snap_one_of.both(lambda: with_picked(tmp_path, named), still(closed), view)


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
def test_what_became_of_each_ring(snap_one_of: Pictured, tmp_path: Path, view: int) -> None:
    async def closing(pilot: Pilot[Any]) -> None:
        await settle(pilot)
        await keys(pilot, "f4", "x")

    assert snap_one_of.both(lambda: with_picked_rings(tmp_path)[0], still(closing), view)


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
def test_a_tally_of_two_containers(snap_one_of: Pictured, tmp_path: Path, view: int) -> None:
    async def tallied(pilot: Pilot[Any]) -> None:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        await write(pilot, "2 L")
        await keys(pilot, "enter")

    assert snap_one_of.both(lambda: with_two_containers(tmp_path)[0], still(tallied), view)


@pytest.mark.parametrize("theme", ["kitwright-light", "ansi-dark"])
def test_other_themes(snap_compare: Any, tmp_path: Path, theme: str) -> None:
    app = make_app(tmp_path)
    app.theme = theme
    assert snap_compare(app, terminal_size=(80, 24), run_before=still(found))


@pytest.mark.parametrize("act", [found, kits], ids=lambda act: act.__name__)
def test_without_colour(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, act: Act) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    assert snap_compare(make_app(tmp_path), terminal_size=(80, 24), run_before=still(act))


def test_plain_glyphs(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KITWRIGHT_ASCII", "1")
    assert snap_compare(make_app(tmp_path), terminal_size=(80, 24), run_before=still(found))


def test_an_empty_workshop(snap_compare: Any, tmp_path: Path) -> None:
    app = Shown(data=str(tmp_path / "new.sqlite3"))

    async def both(pilot: Pilot[Any]) -> None:
        await settle(pilot)
        await keys(pilot, "f5", "f4")

    assert snap_compare(app, terminal_size=(80, 24), run_before=still(both))


def test_forty_columns(snap_compare: Any, tmp_path: Path) -> None:
    assert snap_compare(make_app(tmp_path), terminal_size=(40, 24), run_before=still(found))
