"""One tap that makes two presses answers one question, and what is typed in a row is not lost."""

from __future__ import annotations

import threading
from functools import partial
from pathlib import Path

import pytest
from textual.events import Key
from textual.screen import Screen

from models.errors import WorkshopError
from tests.faults.monkey import Move, do
from tests.tui.counter import keys, make_app, settle, shown
from tui.answers.answer import Answer
from tui.bounce import REST, Bounce
from tui.fields.field import Asked
from tui.operations.list import ADD
from tui.screens.choose_job import ChooseJob
from tui.screens.form import Done, Form

HERE, THERE = Screen[object](), Screen[object]()


def press(key: str, at: float) -> Key:
    event = Key(key, key if len(key) == 1 else None)
    event.time = at
    return event


@pytest.fixture
def real_fingers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tui.bounce.REST", 0.3)


@pytest.mark.usefixtures("real_fingers")
@pytest.mark.parametrize("key", ["enter", "escape", "f8"])
def test_the_same_key_at_once_on_another_screen_is_dropped_until_it_rests(key: str) -> None:
    bounce = Bounce()
    assert not bounce.is_one(press(key, 1.0), HERE)
    assert bounce.is_one(press(key, 1.2), THERE)
    assert bounce.is_one(press(key, 1.45), THERE), "held"
    assert not bounce.is_one(press(key, 1.8), THERE)


@pytest.mark.usefixtures("real_fingers")
def test_other_keys_letters_and_the_same_screen_pass() -> None:
    bounce = Bounce()
    presses = [("enter", HERE), ("enter", HERE), ("escape", THERE), ("n", HERE), ("n", THERE), ("enter", THERE)]
    assert not any(bounce.is_one(press(key, 1.0 + at / 100), screen) for at, (key, screen) in enumerate(presses))


def test_the_tests_fingers_need_no_rest() -> None:
    assert REST == 0


async def test_enter_twice_asks_for_the_job_and_does_not_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.bounce.REST", 60.0)  # however slow the machine is
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, *"24.9", "tab", "tab", *"3.5", "enter", "enter")
        assert isinstance(app.screen, ChooseJob)
        assert "for which job?" in shown(pilot)


async def test_what_is_typed_after_enter_goes_into_the_field_that_enter_leads_to(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        asked = Asked(app.units, {}, app.workshop.read)
        done: list[Done | None] = []
        await app.push_screen(Form(ADD, asked, partial(ADD.perform, app.workshop), title="Add"), done.append)
        await do(app, Move("keys", (*"Hill", "enter", *"eur", "enter"), 0.0))
        await settle(pilot)
        assert [one and (one.values["name"], one.values["currency"]) for one in done] == [("Hill", "EUR")]


async def test_escape_does_not_wait_for_what_enter_began(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        page, goes_on = app.screen, threading.Event()

        def slow(_: object) -> Answer:
            assert goes_on.wait(30)
            raise WorkshopError("too late")

        await app.push_screen(Form(ADD, Asked(app.units, {}, app.workshop.read), slow, title="Add"))
        await do(app, Move("keys", (*"Hill", "enter", *"eur", "enter", *"12", "escape"), 0.0))
        await pilot.pause()
        assert app.screen is page
        goes_on.set()
        await settle(pilot)
        assert app.screen is page
