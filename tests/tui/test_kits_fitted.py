"""Closing a job asks whether the rings it used at a machine's positions fitted."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest
from sqlmodel import Session

from models import jobs, kits, machines
from models.fits import fit_records
from models.kitting.needs import NeedSpec
from models.words import Kind
from tests.models.shop import ring
from tests.tui.counter import keys, make_app, settle, shown, toasts
from tests.tui.seed import act
from tui.app import KitwrightApp

HOSTILE = "inlet [/b] ring"


def pick(session: Session, job_id: int, position_id: int, size_key: str) -> None:
    """A ring needed at the position, promised and picked."""
    spec = NeedSpec(Kind.RING, 1, size_key=size_key, rubbers=["NBR"], position_id=position_id)
    made = kits.add_need(session, act(), job_id, spec)
    kit = kits.allocate(session, act(), job_id)
    (need,) = (one for one in kit.needs if one.need_id == made.need_id)
    kits.pick(session, act(), [one.line_id for one in need.lines if one.line_id])


def with_picked(folder: Path, places: Sequence[str]) -> KitwrightApp:
    """The app over the seeded workshop: the sprayer's job used a ring at each of these positions."""
    app = make_app(folder)
    with app.workshop.open().write() as session:
        (sprayer,) = machines.listed(session)
        for name in places:
            place = machines.add_position(session, act(), machine_id=sprayer.machine_id, name=name)
            pick(session, 1, place.position_id, "as568:214")
    return app


def records(app: KitwrightApp) -> list[tuple[str, str, str]]:
    """What is on record now."""
    with app.workshop.open().read() as session:
        return [(row.position_name, row.size_key, row.note) for row in fit_records.all_holding(session)]


async def test_what_is_ticked_goes_on_record_and_f9_takes_it_off(tmp_path: Path) -> None:
    app = with_picked(tmp_path, [HOSTILE, "outlet"])
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter")
        text = shown(pilot)
        assert "Did these rings fit on Sprayer 2?" in text
        assert "Closed" not in toasts(pilot)  # said once the question is out of the way
        assert re.search(rf"✓ {re.escape(HOSTILE)} +AS568-214 NBR 70 +–", text)
        assert re.search(r"✓ outlet +AS568-214 NBR 70 +–", text)
        await keys(pilot, "y", "n")
        assert app.screen.name == "what-fitted"  # no letter answers
        await keys(pilot, "enter")
        assert "On record: 2 rings. F9 takes that back first." in toasts(pilot)
        assert "Closed “Reseal the spray pump”. F9 takes it back." in toasts(pilot)
        said = "job 1, Reseal the spray pump"
        assert records(app) == [(HOSTILE, "as568:214", said), ("outlet", "as568:214", said)]
        await keys(pilot, "f9")
        assert "Undone: noting the fit." in toasts(pilot)
        assert records(app) == []
        await keys(pilot, "f9")
        assert "Undone: closing the job." in toasts(pilot)
        assert len(app.workshop.jobs()) == 2


async def test_a_ring_that_did_not_fit_is_left_out(tmp_path: Path) -> None:
    app = with_picked(tmp_path, ["inlet", "outlet"])
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter", "space", "down", "space", "space")
        assert "✓ outlet" in shown(pilot)
        assert "✓ inlet" not in shown(pilot)
        await keys(pilot, "enter")
        assert [row[0] for row in records(app)] == ["outlet"]
        assert "On record: 1 ring." in toasts(pilot)


@pytest.mark.parametrize("answer", [["escape"], ["space", "enter"]])
async def test_none_notes_nothing_and_the_job_is_closed(tmp_path: Path, answer: list[str]) -> None:
    app = with_picked(tmp_path, ["outlet"])
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter")
        assert "Did this ring fit on Sprayer 2?" in shown(pilot)
        await keys(pilot, *answer)
        assert "No ring was put on record. ^O on Measure, then ^R" in toasts(pilot)
        assert records(app) == []
        assert len(app.workshop.jobs()) == 1


async def test_several_sorts_at_one_place_are_told(tmp_path: Path) -> None:
    app = with_picked(tmp_path, ["outlet"])
    with app.workshop.open().write() as session:
        (place,) = machines.positions(session, machines.listed(session)[0].machine_id)
        ring(session, 3, size_key="as568:222")
        pick(session, 1, place.position_id, "as568:222")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter")
        assert "Several kinds of ring went in at outlet" in toasts(pilot)
        assert app.screen.name != "what-fitted"


async def test_an_answer_that_came_too_late_overwrites_nothing(tmp_path: Path) -> None:
    app = with_picked(tmp_path, ["outlet"])
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter")
        with app.workshop.open().write() as session:
            (place,) = machines.positions(session, machines.listed(session)[0].machine_id)
            fit_records.record(session, act(), place.position_id, "as568:222", rubber="FKM")
        await keys(pilot, "enter")
        assert "“outlet” has changed meanwhile" in toasts(pilot)
        assert [row[1] for row in records(app)] == ["as568:222"]


async def test_the_old_ring_at_the_place_is_asked_about_by_one_key(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    others = app.workshop.jobs()
    with app.workshop.open().write() as session:
        (sprayer,) = machines.listed(session)
        places = [
            machines.add_position(session, act(), machine_id=sprayer.machine_id, name=name).position_id
            for name in ("inlet", "outlet")
        ]
        for place in places:
            fit_records.record(session, act(), place, "as568:214", rubber="FKM")
        for one in others:
            jobs.close(session, act(), one.job_id)
        again = jobs.open_job(session, act(), title="Again", machine_id=sprayer.machine_id)
        for place in places:
            pick(session, again.job_id, place, "as568:214")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4")
        await keys(pilot, "x")
        assert "Close “Again”?" in shown(pilot)
        await keys(pilot, "enter")
        assert app.screen.name == "how-it-went"
        assert "AS568-214 FKM" in shown(pilot)
        await keys(pilot, "space", "space", "space", "down", "space", "enter")
        assert app.screen.name == "what-fitted"
        await keys(pilot, "enter")
        assert "Noted how 2 old rings held up. F9 takes that back." in toasts(pilot)
        with app.workshop.open().read() as session:
            went = [[one.went and one.went.outcome.value for one in fit_records.history(session, at)] for at in places]
        assert went == [[None, "leaked"], [None, "dry"]]


async def test_a_job_that_stays_open_or_used_nothing_new_asks_nothing(tmp_path: Path) -> None:
    app = with_picked(tmp_path, ["outlet"])
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "escape")
        assert app.screen.name not in ("yes-or-no", "what-fitted")
        with app.workshop.open().write() as session:
            (place,) = machines.positions(session, machines.listed(session)[0].machine_id)
            fit_records.record(session, act(), place.position_id, "as568:214", rubber="NBR")
        await keys(pilot, "x", "enter")
        assert app.screen.name not in ("yes-or-no", "what-fitted")
        assert len(app.workshop.jobs()) == 1


async def test_many_rings_scroll_and_those_of_two_machines_name_theirs(tmp_path: Path) -> None:
    app = with_picked(tmp_path, [f"port {number:02}" for number in range(10)])
    with app.workshop.open().write() as session:
        other = machines.add(session, act(), name="Bin tipper with a long name").machine_id
        place = machines.add_position(session, act(), machine_id=other, name="ram")
        pick(session, 1, place.position_id, "as568:214")
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "enter")
        text = shown(pilot)
        assert "Did these rings fit?" in text
        assert "port 00, Sprayer 2" in text
        assert "Enter: on record" in text
        await keys(pilot, "end")
        assert "ram, Bin tipper" in shown(pilot)
        assert "Bin tipper with a long name, ram: AS568-214 NBR 70" in shown(pilot)
        await keys(pilot, "enter")
        assert len(records(app)) == 11
