"""A form half filled in is told what a second program books meanwhile, on both databases; what is typed stays."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from models import kits
from models.database import Workshop
from models.kitting.needs import NeedSpec
from models.words import Kind
from tests.tui.buy.opened import run_short
from tests.tui.buy.test_screen import ordered
from tests.tui.counter import Shown, keys, settle, shown, write
from tests.tui.seed import NOON, act, fill
from tests.tui.test_elsewhere_booked import until, watching
from tui.screens.form import Form
from tui.screens.kits.tally import TallyScreen
from tui.screens.shelf.round import RoundScreen

QUART_UL = 946_353


@pytest.fixture
def shop(workshop: Workshop, where: str, tmp_path: Path) -> str:
    """A workshop with a kit, a fluid between two marks, and something to buy; on SQLite and on PostgreSQL."""
    workshop.clock = lambda: NOON
    fill(workshop)
    run_short(workshop, tmp_path)
    with workshop.write() as session:
        kits.add_need(session, act(), 2, NeedSpec(
            Kind.FLUID, title="Transmission oil", spec_class="UTTO", spec_grade="10W-30",
            low_ul=11 * QUART_UL, full_ul=12 * QUART_UL,
        ))  # fmt: skip
    return where


def bench_2(where: str, *words: str) -> None:
    """Another program books something, to its end."""
    environment = {**os.environ, "LOGNAME": "Bench 2", "USER": "Bench 2", "PYTHONPATH": str(Path(__file__).parents[2])}
    done = subprocess.run(
        [sys.executable, "-m", "tui", *words, "--data", where],
        env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    # 1: booked, and something is short or open still.
    assert (done.returncode in (0, 1), done.stderr) == (True, ""), done.stdout + done.stderr


@asynccontextmanager
async def opened(where: str, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Pilot[Any]]:
    app = Shown(data=where)
    async with app.run_test(size=size, notifications=True) as pilot:
        await watching(pilot)
        app.workshop.open().clock = lambda: NOON
        yield pilot
        await settle(pilot)


def said(pilot: Pilot[Any]) -> str:
    """What the sheet on top says of others, on one line."""
    found = pilot.app.screen.query("#meanwhile")
    return " ".join(str(one.render()) for one in found)


async def test_over_a_line_of_a_kit(shop: str) -> None:
    async with opened(shop) as pilot:
        await keys(pilot, "f4", "enter", "down")
        await keys(pilot, "e")
        form = pilot.app.screen
        assert isinstance(form, Form)
        assert "3 promised in bin B3" in shown(pilot)
        await write(pilot, "2")
        # What lies free beside the line.
        bench_2(shop, "shelf", "use", "O-ring AS568-214 NBR 70", "--quantity", "1")
        await until(pilot, lambda: "meanwhile" in said(pilot))
        assert said(pilot).startswith("! Bench 2 took 1 meanwhile: 13 on hand, ")
        # The line itself.
        bench_2(shop, "kit", "pick", "1", "AS568-214")
        await until(pilot, lambda: "picked it" in said(pilot))
        assert said(pilot) == "! Bench 2 picked it meanwhile: 3 out"
        assert form.query_one("#quantity", Input).value == "2"
        assert form.query_one("#quantity", Input).has_focus
        await keys(pilot, "enter")
        assert pilot.app.screen is form  # refused, and says why
        assert form.query_one("#quantity", Input).value == "2"


async def test_over_a_line_that_is_taken_off_and_a_job_that_is_closed(shop: str) -> None:
    async with opened(shop) as pilot:
        await keys(pilot, "f4", "enter", "down", "e")
        form = pilot.app.screen
        assert isinstance(form, Form)
        await write(pilot, "2")
        bench_2(shop, "kit", "strike", "1", "AS568-214")
        await until(pilot, lambda: "meanwhile" in said(pilot))
        assert said(pilot).startswith("! Bench 2 changed this line meanwhile: Esc, and look at the kit again; ")
        await keys(pilot, "enter")
        assert pilot.app.screen is form  # refused, and says why
        assert form.query_one("#quantity", Input).value == "2"
        await keys(pilot, "escape")
        await settle(pilot)
        await keys(pilot, "escape", "e")
        assert pilot.app.screen is not form
        await write(pilot, "2026-12-24")
        bench_2(shop, "job", "close", "1", "--yes")
        await until(pilot, lambda: "meanwhile" in said(pilot))
        assert said(pilot) == "! Bench 2 closed the job meanwhile"
        assert pilot.app.screen.query_one("#day", Input).value == "2026-12-24"


async def test_over_an_order(shop: str) -> None:
    async with opened(shop) as pilot:
        await keys(pilot, "ctrl+y")
        await ordered(pilot)
        await keys(pilot, "enter")
        form = pilot.app.screen
        assert isinstance(form, Form)
        await write(pilot, "Box 7")
        order = form._asked.values["order"]
        line = order.lines[0]
        words = ("--line", str(line.line_id), "--packs", "1", "--bin", "Box 9")
        bench_2(shop, "buy", "receive", str(order.order_id), *words)
        await until(pilot, lambda: "meanwhile" in said(pilot))
        left = f"{line.waits - 1} still to come"
        assert said(pilot) == f"! Bench 2 booked 1 pack of {line.number} in meanwhile: {left}"
        assert form.query_one("#bin", Input).value == "Box 7"
        bench_2(shop, "buy", "call-off", str(order.order_id))
        await until(pilot, lambda: "cancelled" in said(pilot))
        assert said(pilot) == "! Bench 2 cancelled the order meanwhile"
        assert form.query_one("#bin", Input).value == "Box 7"
        await keys(pilot, "enter")
        assert pilot.app.screen is form
        assert "cancelled and can't be received" in shown(pilot)


async def test_in_a_count_round(shop: str) -> None:
    async with opened(shop) as pilot:
        await keys(pilot, "f5", "escape", "a")
        screen: Any = pilot.app.screen
        assert isinstance(screen, RoundScreen), shown(pilot)
        assert screen._stop is not None
        first, later = screen._stops[0].rows[0], screen._stops[1].rows[-1]
        await write(pilot, str(first.on_hand))
        # In another bin: shown as it stands now.
        bench_2(shop, "shelf", "use", later.item_name, "--quantity", "1")
        await until(pilot, lambda: "meanwhile" in said(pilot))
        assert said(pilot).startswith(f"! {later.item_name} in {later.bin_code}: Bench 2 took 1 meanwhile: ")
        # In the bin in hand: what is typed may have been counted before, so it is asked for once more.
        bench_2(shop, "shelf", "use", first.item_name, "--quantity", "1")
        await until(pilot, lambda: first.item_name in said(pilot))
        field = screen.query_one("#round-count", Input)
        assert field.value == str(first.on_hand)
        assert field.has_focus
        await keys(pilot, "enter")
        assert "moved" in " ".join(str(screen.query_one("#round-error").render()).split())
        assert field.value == ""
        await write(pilot, str(first.on_hand - 1))
        await keys(pilot, "enter")
        assert str(screen.query_one("#round-error").render()) == ""
        await keys(pilot, "pagedown")
        await write(pilot, "=")
        assert screen._shown(later).on_hand == later.on_hand - 1


async def test_in_a_tally(shop: str) -> None:
    async with opened(shop) as pilot:
        await keys(pilot, "f4", "down", "down", "r")
        screen: Any = pilot.app.screen
        assert isinstance(screen, TallyScreen), shown(pilot)
        await write(pilot, "2 qt")
        bench_2(shop, "kit", "fill", "2", "Transmission oil", "--poured", "4 qt")
        await until(pilot, lambda: "meanwhile" in said(pilot))
        assert said(pilot) == "! Bench 2 noted poured 4 US qt = 3.785 L meanwhile"
        assert screen.query_one("#poured", Input).value == "2 qt"
        assert screen.query_one("#poured", Input).has_focus
        assert "1. poured 4 US qt" in shown(pilot)
        bench_2(shop, "kit", "fill", "2", "Transmission oil", "--take-back")
        await until(pilot, lambda: "back meanwhile" in said(pilot))
        assert said(pilot) == "! Bench 2 took poured 4 US qt = 3.785 L back meanwhile"
        assert "Nothing noted yet." in shown(pilot)
        await keys(pilot, "enter")
        assert "1. poured 2 US qt" in shown(pilot)
