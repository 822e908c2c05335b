"""How each judgement looks, at both sizes. `--snapshot-update` makes the pictures anew."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.models.test_elements import fill as fill_shop
from tests.tui.counter import Shown, keys, settle
from tests.tui.judge.opened import LARGE, LETTERS, SMALL, fill
from tests.tui.pictured import Act, Pictured, View


def still(name: str, *pressed: str, **answers: str) -> Act:
    """Open one thing with its example and these answers, press keys, and keep the cursor from blinking."""

    async def run(pilot: Pilot[Any]) -> None:
        await settle(pilot)
        await keys(pilot, "f11")
        await keys(pilot, f"alt+{LETTERS[name]}")
        if name != "tables":
            await keys(pilot, "insert")
        if answers:
            await fill(pilot, **answers)
        for key in pressed:
            await keys(pilot, key)
        for field in pilot.app.screen.query(Input):
            field.cursor_blink = False
        await settle(pilot)

    return run


def app(folder: Path) -> Shown:
    return Shown(data=str(folder / "workshop.sqlite3"))


async def drawing(pilot: Pilot[Any]) -> None:
    await keys(pilot, "pagedown")


DRAWN = ("element", "viscosity", "fill", "thread", "torque", "fluid", "rubber", "seal")
"""What has a drawing, which in a small window lies a page down."""


@pytest.mark.parametrize(
    ("name", "view"),
    [(name, view) for name in LETTERS for view in ("80x24", "120x40", "drawing") if view != "drawing" or name in DRAWN],
)
def test_each_judgement(snap_one_of: Pictured, tmp_path: Path, name: str, view: str) -> None:
    which = ("80x24", "120x40", "drawing").index(view)
    if name not in DRAWN:
        assert snap_one_of.both(lambda: app(tmp_path), still(name), which, name, alone=name == "port")
    else:
        views = [View(SMALL, still(name)), View(LARGE), View(SMALL, drawing)]
        assert snap_one_of(views, which, lambda: app(tmp_path), name)


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
def test_an_element_that_leaks_with_things_to_measure_and_an_error(
    snap_one_of: Pictured, tmp_path: Path, view: int
) -> None:
    act = still("element", head_diameter="26", h_spring_free="5", collapse="10 stone", medium="60 mesh")
    assert snap_one_of.both(lambda: app(tmp_path), act, view)


def test_an_over_fill(snap_compare: Any, tmp_path: Path) -> None:
    act = still("fill", "pagedown", poured="6 qt, 5 qt, 2 qt")
    assert snap_compare(app(tmp_path), terminal_size=SMALL, run_before=act)


def test_the_sheet_of_reasons(snap_compare: Any, tmp_path: Path) -> None:
    assert snap_compare(app(tmp_path), terminal_size=LARGE, run_before=still("torque", "question_mark"))


def test_forty_columns(snap_compare: Any, tmp_path: Path) -> None:
    assert snap_compare(app(tmp_path), terminal_size=(40, 30), run_before=still("fill"))


def test_without_colour(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    assert snap_compare(app(tmp_path), terminal_size=SMALL, run_before=still("element", head_diameter="26"))


def test_plain_glyphs(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KITWRIGHT_ASCII", "1")
    assert snap_compare(app(tmp_path), terminal_size=LARGE, run_before=still("element", head_diameter="26"))


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
def test_what_fits_in_the_shop(snap_one_of: Pictured, tmp_path: Path, view: int) -> None:
    def stocked() -> Shown:
        fill_shop(str(tmp_path / "workshop.sqlite3"))
        return app(tmp_path)

    assert snap_one_of.both(stocked, still("element", "ctrl+s", depth="121"), view)


def test_the_shops_own_rules(snap_compare: Any, tmp_path: Path) -> None:
    assert snap_compare(app(tmp_path), terminal_size=SMALL, run_before=still("fluid", "ctrl+s"))
