"""Closing a job asks where a ring sat that was measured without naming its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from models import jobs, machines
from models.fits import fit_records
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tests.tui.counter import keys, settle, shown
from tests.tui.seed import act
from tests.tui.test_kits_closing import with_picked_rings
from tui.app import KitwrightApp


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    """`kitwright …`."""
    return CommandLine(capsys, monkeypatch)


def with_place(folder: Path) -> KitwrightApp:
    """The app: the first job picked rings for a need that names no place; its machine has one for a ring."""
    app, _ = with_picked_rings(folder)
    with app.workshop.open().write() as session:
        (sprayer,) = machines.listed(session)
        machines.add_position(session, act(), machine_id=sprayer.machine_id, name="pump inlet")
    return app


def records(app: KitwrightApp) -> list[tuple[str, str]]:
    """What is on record."""
    return app.workshop.read(
        lambda session: [(row.position_name, row.size_key) for row in fit_records.all_holding(session)]
    )


async def test_the_place_is_chosen_and_the_ring_goes_on_record_there(tmp_path: Path) -> None:
    app = with_place(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter")
        assert app.screen.name == "where-it-sat"
        assert "sit on Sprayer 2?" in shown(pilot)
        assert app.workshop.read(lambda session: jobs.get(session, 1)).closed_at is None  # all of it is one change
        await keys(pilot, *"inl", "enter")
        assert "Did this ring fit on Sprayer 2?" in shown(pilot)
        await keys(pilot, "enter")
        assert records(app) == [("pump inlet", "as568:210")]
        await keys(pilot, "f9", "f9")
        assert records(app) == []
        assert len(app.workshop.jobs()) == 2


async def test_a_place_that_nobody_named_yet_is_made_by_its_name(tmp_path: Path) -> None:
    app = with_place(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter", *"inlet", "space", *"2", "enter", "enter")
        assert records(app) == [("inlet 2", "as568:210")]


async def test_nobody_knows_where_it_sat_and_the_job_is_closed_all_the_same(tmp_path: Path) -> None:
    app = with_place(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter", "escape")
        assert app.screen.name != "what-fitted"
        assert records(app) == []
        assert len(app.workshop.jobs()) == 1


async def test_a_ring_that_was_not_used_is_not_asked_for(tmp_path: Path) -> None:
    app = with_place(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "b", "b", "b", "enter")
        assert app.screen.name != "where-it-sat"
        assert len(app.workshop.jobs()) == 1


def test_on_the_command_line(tmp_path: Path, kitwright: CommandLine) -> None:
    app = with_place(tmp_path)
    data = ("--data", str(app.workshop.file))
    app.workshop.close()
    need = kitwright("kit", "1", *data, "--json").json["needs"][-1]["need"]
    wrong = kitwright("job", "close", "1", "--sat", f"{need}=outlet", *data)
    assert "there is no place for a ring 'outlet'" in wrong.err
    assert "names no place" in kitwright("job", "close", "1", "--sat", "pump inlet", *data).err
    two = ("--sat", f"{need}=pump inlet", "--sat", f"{need}=pump inlet")
    assert f"need {need} was given twice; a need has one place" in kitwright("job", "close", "1", *two, *data).err
    told = kitwright("job", "close", "1", *data)
    assert "its place was not given; note it with: kitwright fits add" in told.out
    kitwright("undo", *data)
    answer = kitwright("job", "close", "1", "--sat", f"{need}=pump inlet", "--json", *data).json
    conforms("job-closed", answer)
    assert (answer["not_on_record"], answer["no_place"]) == (1, [])
    kitwright("fits", "job", "1", *data)
    assert "pump inlet" in kitwright("fits", "show", "Sprayer 2", *data).out
