"""How the positions look, at both sizes and in each state. `--snapshot-update` makes the pictures anew."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.tui.counter import keys, settle
from tests.tui.groove.opened import measured
from tests.tui.position.opened import fitted
from tests.tui.test_snapshots import SIZES, still

Act = Callable[[Pilot[Any]], Awaitable[None]]


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


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("act", STATES, ids=lambda act: act.__name__)
def test_position(snap_compare: Any, tmp_path: Path, act: Act, size: tuple[int, int]) -> None:
    assert snap_compare(fitted(tmp_path), terminal_size=size, run_before=still(act))
