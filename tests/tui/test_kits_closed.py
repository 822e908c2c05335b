"""Closed jobs in Kits: what they took and fitted, to look at alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from models import jobs, machines
from models.fits import fitted
from tests.tui.command_line import CommandLine
from tests.tui.counter import keys, make_app, settle, shown, toasts
from tests.tui.seed import act
from tests.tui.test_kits_fitted import pick
from tui.app import KitwrightApp
from tui.screens.kits.screen import KitsScreen


def with_closed(folder: Path) -> KitwrightApp:
    """The seeded workshop: its first job is closed and put a ring on record."""
    app = make_app(folder)
    with app.workshop.open().write() as session:
        (sprayer,) = machines.listed(session)
        place = machines.add_position(session, act(), machine_id=sprayer.machine_id, name="outlet")
        pick(session, 1, place.position_id, "as568:214")
        jobs.close(session, act(), 1)
        fitted.note(session, act(), 1)
    return app


async def test_t_lists_the_closed_jobs_with_what_was_used_and_fitted_and_no_key_changes_one(tmp_path: Path) -> None:
    app = with_closed(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4")
        assert "Reseal the spray pump" not in shown(pilot)
        await keys(pilot, "t")
        text = " ".join(shown(pilot).replace("▏", " ").split())
        assert "Closed jobs" in text
        assert "DONE Reseal the spray pump on Sprayer 2" in text
        assert "AS568-214 NBR 70 at outlet" in text
        assert "O-ring AS568-214 NBR 70" in text
        before = app.workshop.open().commits
        for key in ("x", "i", "p", "f", "e", "d", "o", "r", "enter", "p", "d", "e", "enter", "w"):
            await keys(pilot, key)
            assert app.screen.AREA == "kits"  # type: ignore[attr-defined]
        assert "A closed job is only looked at." in toasts(pilot)
        assert app.workshop.open().commits == before
        await keys(pilot, "v")
        assert app.screen.name == "job-sheet"
        await keys(pilot, "escape", "t")
        assert "Open jobs" in shown(pilot)
        assert "Reseal the spray pump" not in shown(pilot)


async def test_no_job_was_closed_yet(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "t")
        assert "No job was closed yet." in " ".join(shown(pilot).split())
        await keys(pilot, "enter", "x", "v", "w", "t")
        assert "Reseal the spray pump" in shown(pilot)


def test_a_job_that_was_opened_by_mistake_is_no_closed_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright, data = CommandLine(capsys, monkeypatch), ("--data", str(tmp_path / "workshop.sqlite3"))
    kitwright("job", "open", "--title", "A mistake", *data)
    kitwright("undo", *data)
    shown = kitwright("jobs", "--closed", *data)
    assert (shown.code, shown.out) == (1, "No job was closed yet.\n")
    for words in (("kit", "1"), ("job", "cost", "1"), ("job", "close", "1")):
        ended = kitwright(*words, *data)
        assert (ended.code, "opening job 1, “A mistake”, was undone" in ended.err) == (2, True)
    kitwright("job", "open", "--title", "A leak", *data)
    kitwright("job", "close", "2", *data)
    assert [one["title"] for one in kitwright("jobs", "--closed", "--json", *data).json["jobs"]] == ["A leak"]


async def test_the_list_is_empty_until_the_closed_jobs_are_read(tmp_path: Path) -> None:
    """It may be drawn meanwhile, by a key or a change of size, and has no row to draw then."""
    app = with_closed(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4")
        page = app.screen
        assert isinstance(page, KitsScreen)
        assert page._job_rows.count
        page.action_turn()
        assert (page._job_rows.count, page.job) == (0, None)
        await settle(pilot)
        assert page._job_rows.count == 1
