"""The guide: a step is checked off when it is booked, and not any more when that is taken back."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from textual.pilot import Pilot

from models import jobs, shelf
from models.undoing.undoable import UNDOABLE
from tests.models.shop import ring
from tests.tui.counter import Shown, keys, make_app, settle, shown, write
from tests.tui.seed import act
from tui.guide import DAY, FIRST_HOUR, Progress, progress

NAMES = sorted({name for step in (*DAY, *FIRST_HOUR) for name in step.done_by})


def test_every_step_is_checked_off_by_actions_that_there_are() -> None:
    assert set(NAMES) <= set(UNDOABLE)
    assert all(step.done_by for step in (*DAY, *FIRST_HOUR))


@given(st.sets(st.sampled_from(NAMES)), st.sampled_from(NAMES))
def test_one_more_booking_never_takes_a_step_back(booked: set[str], more: str) -> None:
    for steps in (DAY, FIRST_HOUR):
        before, after = progress(steps, booked), progress(steps, booked | {more})
        assert all(later or not sooner for (_, sooner), (_, later) in zip(before.steps, after.steps, strict=True))


def test_a_step_is_done_once_nothing_of_it_is_left() -> None:
    booked = {"kits.add_need", "orders.plan", "orders.order", "orders.receive"}

    def at(left: set[str]) -> int | None:
        found = progress(DAY, booked, left).next
        return None if found is None else found[0]

    # Two orders are planned: one is sent and has come, then both are sent, then both have come.
    assert [at({"orders.order", "orders.receive"}), at({"orders.receive"}), at(set())] == [3, 4, 5]


def test_all_done_says_how_to_end_it() -> None:
    assert progress(DAY, NAMES).line() == "All 8 steps are done. 0, “guide” ends the guide."


async def until(pilot: Pilot[Any], text: str) -> None:
    """Wait until a text stands on the screen."""
    for _ in range(200):
        if text in " ".join(shown(pilot).split()):
            return
        await asyncio.sleep(0.05)
    raise AssertionError(f"{text!r} never came:\n{shown(pilot)}")


async def test_a_workshops_first_hour_is_led_step_by_step(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert "Guide" not in shown(pilot)
        await keys(pilot, "ctrl+p")
        await pilot.press(*"guide")
        await until(pilot, "Step by step through the first hour")
        await pilot.press("enter")
        await until(pilot, "1/5 Put on record what lies on the shelf (F5, ^R: name, bin, how many)")
        # The seeded job is older than the guide: it counts for no step.
        app.workshop.change(lambda session, done: ring(session, 3, bin_code="A9"))
        await until(pilot, "2/5 Open a job on a machine (F4, N: what is to be done)")
        app.workshop.change(lambda session, done: jobs.open_job(session, done, title="Mower, 50 h"))
        await until(pilot, "3/5 Measure an old ring and put it on the job's kit")
        await keys(pilot, "f4")
        await until(pilot, "3/5")
        assert app.workshop.undo()
        await until(pilot, "2/5")
        app.action_guide()
        for _ in range(100):
            if "Guide:" not in shown(pilot):
                break
            await asyncio.sleep(0.05)
        assert "Guide:" not in shown(pilot)


async def test_a_guide_sends_nothing_to_the_database_while_nothing_is_booked(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.action_guide()
        await until(pilot, "1/5")
        assert app.guide is not None
        looks: list[int] = []
        look = app.guide.look

        def counted() -> Progress:
            looks.append(1)
            return look()

        app.guide.look = counted  # type: ignore[method-assign]
        await asyncio.sleep(1.2)
        assert looks == []
        with app.workshop.open().write() as session:
            shelf.count(session, act(), stock_id=1, counted=5)
        await until(pilot, "2/5")
        assert looks == [1]


async def test_a_workshop_without_a_booking_is_greeted_with_what_to_do(tmp_path: Path) -> None:
    app = Shown(data=str(tmp_path / "new.sqlite3"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await until(pilot, "A new workshop. Three things to do now:")
        assert "“guide” leads through the first hour." in shown(pilot)
        assert "F5, ^R puts what lies on the shelf on record; F4, N opens a job." in shown(pilot)  # F5 goes to a field
        await write(pilot, "24.9")
        assert "A new workshop." not in shown(pilot)
        await write(pilot, "")
        await until(pilot, "A new workshop.")
        app.workshop.change(lambda session, done: jobs.open_job(session, done, title="Mower, 50 h"))
        await keys(pilot, "f4", "f2")
        await until(pilot, "One reading is enough to start")
        assert "A new workshop." not in shown(pilot)
