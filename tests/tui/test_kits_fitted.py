"""Closing a job asks whether the rings it used at a machine's positions fitted."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from models import kits, machines
from models.fits import fit_records
from models.kitting.needs import NeedSpec
from models.words import Kind
from tests.tui.counter import keys, make_app, settle, shown, toasts
from tests.tui.seed import act
from tui.app import KitwrightApp
from tui.screens.ask_yes import AskYes
from tui.screens.kits.fitted import MOST

HOSTILE = "inlet [/b] ring"


def with_picked(folder: Path, places: Sequence[str]) -> KitwrightApp:
    """The app over the seeded workshop: the sprayer's job used a ring at each of these positions."""
    app = make_app(folder)
    with app.workshop.open().write() as session:
        (sprayer,) = machines.listed(session)
        for name in places:
            place = machines.add_position(session, act(), machine_id=sprayer.machine_id, name=name)
            spec = NeedSpec(Kind.RING, 1, size_key="as568:214", rubbers=["NBR"], position_id=place.position_id)
            kits.add_need(session, act(), 1, spec)
        kit = kits.resolve(session, act(), 1)
        lines = [line.line_id for need in kit.needs for line in need.lines if line.line_id and need.position_name]
        kits.pick(session, act(), lines)
    return app


def records(app: KitwrightApp) -> list[tuple[str, str, str]]:
    """What is on record now."""
    with app.workshop.open().read() as session:
        return [(row.position_name, row.size_key, row.note) for row in fit_records.all_holding(session)]


@pytest.mark.parametrize("answer", ["y", "enter"])
async def test_yes_puts_the_rings_on_record_and_f9_takes_them_off(tmp_path: Path, answer: str) -> None:
    app = with_picked(tmp_path, [HOSTILE, "outlet"])
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "y")
        text = shown(pilot)
        assert "Did these rings fit on Sprayer 2?" in text
        assert f"{HOSTILE}: AS568-214 NBR 70" in text
        assert "outlet: AS568-214 NBR 70" in text
        await keys(pilot, answer)
        assert "On record: 2 rings. F9 takes it back." in toasts(pilot)
        said = "used in “Reseal the spray pump”"
        assert records(app) == [(HOSTILE, "as568:214", said), ("outlet", "as568:214", said)]
        await keys(pilot, "f9")
        assert "Undone: noting the fit." in toasts(pilot)
        assert records(app) == []
        await keys(pilot, "f9")
        assert "Undone: closing the job." in toasts(pilot)
        assert len(app.workshop.jobs()) == 2


@pytest.mark.parametrize("answer", ["n", "escape"])
async def test_no_notes_nothing_and_the_job_is_closed(tmp_path: Path, answer: str) -> None:
    app = with_picked(tmp_path, ["outlet"])
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "y")
        assert "Did this ring fit on Sprayer 2?" in shown(pilot)
        await keys(pilot, answer)
        assert records(app) == []
        assert len(app.workshop.jobs()) == 1


async def test_a_job_that_stays_open_or_used_nothing_new_asks_nothing(tmp_path: Path) -> None:
    app = with_picked(tmp_path, ["outlet"])
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "n")
        assert not isinstance(app.screen, AskYes)
        with app.workshop.open().write() as session:
            (place,) = machines.positions(session, machines.listed(session)[0].machine_id)
            fit_records.record(session, act(), place.position_id, "as568:214", rubber="NBR")
        await keys(pilot, "x", "y")
        assert not isinstance(app.screen, AskYes)
        assert len(app.workshop.jobs()) == 1


async def test_of_many_rings_the_first_are_named(tmp_path: Path) -> None:
    app = with_picked(tmp_path, [f"port {number:02}" for number in range(MOST + 2)])
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "y")
        text = shown(pilot)
        assert "port 05: AS568-214 NBR 70" in text
        assert "port 06" not in text
        assert "and 2 more" in text
        assert "Enter or Y: yes" in text
        await keys(pilot, "y")
        assert len(records(app)) == MOST + 2
