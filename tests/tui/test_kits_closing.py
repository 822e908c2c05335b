"""Closing a job in the app says what became of each ring; the tally says which container was poured from."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from models import jobs, kits, shelf
from models.inventory import bins, item_figures, items
from models.kitting import fluid_tally
from models.storage.check import check
from models.words import Kind, KitState
from tests.models.shop import ring, ring_spec
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.seed import act
from tests.tui.test_kits_sheet import with_fluid
from tui.app import KitwrightApp
from tui.screens.choose_job import ChooseJob, JobChoice

LITRE = 1_000_000


def with_picked_rings(folder: Path) -> tuple[KitwrightApp, int]:
    """The app over the seeded workshop; its first job has picked two rings and a spare from ten. Their stock."""
    app = make_app(folder)
    with app.workshop.open().write() as session:
        row = ring(session, 10, size_key="as568:210", bin_code="Ring box")
        need = kits.accept_match(session, act(), 1, ring_spec("as568:210", ["NBR"], pieces=2, spares=1))
        kits.pick(session, act(), [need.lines[0].line_id or 0])
    return app, row.stock_id


def with_two_containers(folder: Path) -> tuple[KitwrightApp, int]:
    """The app over the seeded workshop; its second job's oil lies in a full pail and in one that is begun. The need."""
    app = with_fluid(folder)
    job = next(one.job_id for one in app.workshop.jobs() if any(n.low_ul for n in app.workshop.kit(one.job_id).needs))
    need = next(one for one in app.workshop.kit(job).needs if one.low_ul)
    with app.workshop.open().write() as session:
        item = items.add(
            session, act(), kind=Kind.FLUID, name="Oil by the pail", spec_class=need.spec_class,
            spec_grade=need.spec_grade, figures=item_figures.ItemFigures(container=20 * LITRE),
        )  # fmt: skip
        for code, much in (("Pail 1", 20 * LITRE), ("Pail 2", 5 * LITRE)):
            place = bins.add(session, act(), code=code)
            shelf.receive(session, act(), item_id=item.item_id, bin_id=place.bin_id, quantity=much)
        kits.look_again(session, act(), job)
    return app, need.need_id


def on_hand(app: KitwrightApp, stock_id: int) -> int:
    """How many lie there."""
    return app.workshop.read(lambda session: shelf.stock_row(session, stock_id)).on_hand


async def test_enter_takes_all_as_planned_and_f9_takes_it_back_as_one(tmp_path: Path) -> None:
    app, stock = with_picked_rings(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x")
        assert app.screen.name == "close-job"
        text = shown(pilot)
        assert "S scrapped · Esc: leave open" in text  # the last key of the line is not cut off
        assert len(re.findall(r"✓ used +1 ", text)) == 2
        assert len(re.findall(r"↩ back +1 ", text)) == 1
        assert on_hand(app, stock) == 7
        await keys(pilot, "enter", "escape")  # nobody knows where they sat
        assert "Closed “Reseal the spray pump”" in toasts(pilot)
        assert on_hand(app, stock) == 8
        await keys(pilot, "f9")
        assert on_hand(app, stock) == 7
        assert app.workshop.read(lambda session: jobs.get(session, 1)).closed_at is None
    assert app.workshop.read(lambda session: check(session).ok)


async def test_each_ring_may_go_another_way_and_escape_closes_nothing(tmp_path: Path) -> None:
    app, stock = with_picked_rings(tmp_path)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x", "escape")
        assert app.workshop.read(lambda session: jobs.get(session, 1)).closed_at is None
        await keys(pilot, "x", "s", "b", "space")  # scrapped; back; the spare: scrapped next, as it was back
        text = shown(pilot)
        assert len(re.findall(r"× scrapped +1 ", text)) == 2
        assert len(re.findall(r"↩ back +1 ", text)) == 1
        await keys(pilot, "enter")
        assert on_hand(app, stock) == 8
    assert app.workshop.read(lambda session: check(session).ok)


async def test_the_tally_pours_from_the_opened_container_or_the_one_chosen(tmp_path: Path) -> None:
    app, need = with_two_containers(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        await write(pilot, "2 L")
        await keys(pilot, "enter")
        tally = app.workshop.read(lambda session: fluid_tally.of_need(session, need))
        first = tally.entries[0].taken[0].bin_code
        assert tally.picked_ul == tally.poured_ul == 2 * LITRE
        assert first == "Pail 2"  # the one that is begun
        assert "poured 2 L = 2.113 US qt, Pail 2" in shown(pilot)
        assert "[Pail 2, opened]" in shown(pilot)
        assert "Picked 2.00 L, poured 2.00 L." in shown(pilot)
        app.screen.query_one("#tally-from").focus()
        await keys(pilot, "right")
        app.screen.query_one("#poured").focus()
        await settle(pilot)
        await write(pilot, "1 L")
        await keys(pilot, "enter")
        assert ", F2" in shown(pilot)  # the other container: the seeded oil's bin
        for _ in range(2):
            await write(pilot, "-")
            await keys(pilot, "enter")
        assert app.workshop.read(lambda session: fluid_tally.of_need(session, need)).picked_ul == 0
    assert app.workshop.read(lambda session: check(session).ok)


@pytest.mark.parametrize("finished", [False, True])
async def test_a_new_ring_goes_first_to_a_job_that_lacks_something(tmp_path: Path, *, finished: bool) -> None:
    app = make_app(tmp_path)
    states = [KitState.PICKED, KitState.PICKED if finished else KitState.DRAFT]
    rows = tuple(one._replace(state=state) for one, state in zip(app.workshop.jobs(), states, strict=True))
    chosen: list[JobChoice | None] = []
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        app.push_screen(ChooseJob("AS568-214", rows), chosen.append)
        await settle(pilot)
        # Why another than the first row is highlighted.
        assert ("Highlighted: its kit lacks something." in shown(pilot)) is not finished
        await keys(pilot, "enter")
        if finished:
            assert "Every open job has all it needs" in shown(pilot)
            await keys(pilot, "up", "enter")  # chosen by hand, a finished one is taken
            assert [one and one.job and one.job.job_id for one in chosen] == [rows[0].job_id]
        else:
            assert [one and one.job and str(one.job.state) for one in chosen] == ["draft"]


async def test_the_hours_are_asked_beneath_and_fewer_than_the_last_are_asked_about(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    machine = next(one for one in app.workshop.jobs() if one.machine_id is not None)
    with app.workshop.open().write() as session:
        jobs.open_job(session, act(), title="Before", machine_id=machine.machine_id, meter_hundredths_h=51_250)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "x")
        assert app.workshop.jobs()[0].job_id == machine.job_id
        assert "hour meter, as 1234.5; optional; last 512.5 h on 2026-11-25" in shown(pilot)
        await write(pilot, "1,234.5")
        await keys(pilot, "enter")
        assert "is not what the hour meter shows" in shown(pilot)
        await keys(pilot, *["backspace"] * 7)
        await write(pilot, "12.5")
        assert "Hour meter: 12.5 h" in shown(pilot)
        await keys(pilot, "enter")
        assert "12.5 h is fewer than the last hours of" in " ".join(shown(pilot).split())
        await keys(pilot, "escape")
        assert app.screen.name == "close-job"
        assert app.screen.query_one("#hours").value == "12.5"  # type: ignore[attr-defined]
        await keys(pilot, "enter", "enter")
        assert app.workshop.read(lambda session: jobs.get(session, machine.job_id)).meter_hundredths_h == 1_250
        await keys(pilot, "escape", "f9")
        again = app.workshop.read(lambda session: jobs.get(session, machine.job_id))
        assert (again.meter_hundredths_h, again.closed_at) == (None, None)
