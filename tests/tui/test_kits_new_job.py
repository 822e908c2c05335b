"""The sheet that opens a job: nothing typed in it is lost, wherever the eye is."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from models import jobs, machines
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.seed import act
from tui.app import KitwrightApp


async def test_letters_typed_in_the_machine_list_find_a_machine_or_name_a_new_one(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "n")
        await write(pilot, "Hose drips")
        await keys(pilot, "tab", *"Loader", "space", *"22", "backspace")
        assert "On: Loader 2▏" in shown(pilot)
        assert "new machine: Loader 2" in shown(pilot)
        await keys(pilot, "enter")
        job = app.workshop.jobs()[-1]
        assert (job.title, job.machine_name) == ("Hose drips", "Loader 2")
        assert "Added the machine Loader 2." in toasts(pilot)
        # Undone in turn: the job, then the machine. One that is there already is taken, whatever its case.
        await keys(pilot, "f9", "f9", "n")
        assert "Loader 2" not in shown(pilot)
        await write(pilot, "Nozzle drips")
        await keys(pilot, "tab", *"sPRAY", "enter")
        job = app.workshop.jobs()[-1]
        assert (job.title, job.machine_name) == ("Nozzle drips", "Sprayer 2")


def with_hours(folder: Path) -> KitwrightApp:
    """The seeded workshop: its sprayer showed 500 hours."""
    app = make_app(folder)
    with app.workshop.open().write() as session:
        (sprayer,) = machines.listed(session)
        jobs.open_job(session, act(), title="50 h", machine_id=sprayer.machine_id, meter_hundredths_h=500_00)
    return app


async def test_day_and_hours_are_taken_and_fewer_hours_are_asked_for_again(tmp_path: Path) -> None:
    app = with_hours(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "n")
        await write(pilot, "Nozzle drips")
        await keys(pilot, "tab", *"spr", "tab", *"2026-12-04", "tab", *"49.5", "enter")
        assert "Was the hour meter changed?" in shown(pilot)
        await keys(pilot, "escape")
        assert app.screen.name == "new-job"
        text = shown(pilot)
        assert all(one in text for one in ("Nozzle drips", "Sprayer 2", "2026-12-04", "49.5"))
        await keys(pilot, *["tab"] * 3, "home", "5", "enter")
        job = next(one for one in app.workshop.jobs() if one.title == "Nozzle drips")
        assert (job.machine_name, job.due_on, job.meter_hundredths_h) == ("Sprayer 2", date(2026, 12, 4), 549_50)


async def test_a_day_that_cannot_be_read_keeps_the_sheet(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "n")
        await write(pilot, "Nozzle drips")
        await keys(pilot, "tab", "tab", *"soon", "enter")
        assert app.screen.name == "new-job"
        assert "soon' is not a day" in shown(pilot)
        assert len(app.workshop.jobs()) == 2
