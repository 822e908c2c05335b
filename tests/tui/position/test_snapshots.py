"""How the positions look, at both sizes and in each state. `--snapshot-update` makes the pictures anew."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.tui.counter import keys, settle
from tests.tui.groove.opened import measured
from tests.tui.pictured import Act, Pictured
from tests.tui.position.opened import fitted
from tests.tui.test_snapshots import still


async def record(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    await keys(pilot, "ctrl+o")


async def at_the_place(pilot: Pilot[Any]) -> None:
    await record(pilot)
    await keys(pilot, "enter")
    await measured(pilot, "37.69", "3.53")


async def differs(pilot: Pilot[Any]) -> None:
    await at_the_place(pilot)
    await keys(pilot, "ctrl+o")


async def noting(pilot: Pilot[Any]) -> None:
    await differs(pilot)
    await keys(pilot, "ctrl+r")


STATES: list[Act] = [record, at_the_place, differs, noting]


@pytest.mark.parametrize("view", [0, 1], ids=["80x24", "120x40"])
@pytest.mark.parametrize("act", STATES, ids=lambda act: act.__name__)
def test_position(snap_one_of: Pictured, tmp_path: Path, act: Act, view: int) -> None:
    assert snap_one_of.both(lambda: fitted(tmp_path), still(act), view, act, alone=act is at_the_place)
