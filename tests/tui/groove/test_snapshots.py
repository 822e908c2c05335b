"""How the groove screen looks, at both sizes and in each state. `--snapshot-update` makes the pictures anew."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.tui.counter import keys, make_app, settle
from tests.tui.groove.opened import fill, measured
from tests.tui.pictured import Act, Pictured
from tests.tui.test_snapshots import still


async def ring_only(pilot: Pilot[Any]) -> None:
    await measured(pilot, "24.9", "3.5")
    await keys(pilot, "ctrl+g")


async def side_by_side(pilot: Pilot[Any]) -> None:
    await ring_only(pilot)
    await fill(pilot, root="25.45±0.03", bore="31.14±0.03", width="4.81±0.06")


async def will_not(pilot: Pilot[Any]) -> None:
    await ring_only(pilot)
    await fill(pilot, root="27", bore="33.2", width="3.6", clearance="1")


async def groove_only(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "ctrl+g", "ctrl+b")
    await fill(pilot, rod="22", depth="3.0±0.05", width="4.8")


async def instead(pilot: Pilot[Any]) -> None:
    await side_by_side(pilot)
    await keys(pilot, "f12", "f12", "escape", "end")


async def port(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "ctrl+g", *["ctrl+b"] * 4)
    await fill(pilot, neck="19.6", mouth="23.8", chamfer="15", ring="AS568-910")


async def wrong(pilot: Pilot[Any]) -> None:
    await ring_only(pilot)
    await fill(pilot, root="32", bore="31", width="4.8 [bananas")


STATES: list[Act] = [ring_only, side_by_side, will_not, groove_only, instead, port, wrong]


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
@pytest.mark.parametrize("act", STATES, ids=lambda act: act.__name__)
def test_groove(snap_one_of: Pictured, tmp_path: Path, act: Act, view: int) -> None:
    assert snap_one_of.both(lambda: make_app(tmp_path), still(act), view, act)


def test_without_colour(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    assert snap_compare(make_app(tmp_path), terminal_size=(80, 24), run_before=still(will_not))


def test_plain_glyphs(snap_compare: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KITWRIGHT_ASCII", "1")
    assert snap_compare(make_app(tmp_path), terminal_size=(80, 24), run_before=still(side_by_side))


def test_light(snap_compare: Any, tmp_path: Path) -> None:
    app = make_app(tmp_path)
    app.theme = "kitwright-light"
    assert snap_compare(app, terminal_size=(80, 24), run_before=still(side_by_side))


def test_forty_columns(snap_compare: Any, tmp_path: Path) -> None:
    assert snap_compare(make_app(tmp_path), terminal_size=(40, 24), run_before=still(side_by_side))
