"""What is pushed over a page closes once and closes only itself, whatever is typed ahead."""

from __future__ import annotations

from importlib import import_module
from inspect import getmembers, isclass
from pathlib import Path

import pytest
from textual.events import Key
from textual.screen import ModalScreen

from tests.tui.counter import keys, make_app, settle, shown, write
from tui.screens.asking import one_text, yes_or_no
from tui.screens.closing import ClosesOnce, Sheet
from tui.screens.measure.screen import MeasureScreen
from tui.screens.position.screen import PositionScreen

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    ("sheet", "answer"),
    [(one_text("Which?", "A hint.", "hill"), "hill"), (yes_or_no("Do it?", "All of it."), True)],
    ids=["text", "yes"],
)
async def test_enter_typed_ahead_answers_once_and_leaves_the_page(
    tmp_path: Path, sheet: Sheet[object], answer: object
) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        page, answers = app.screen, list[object]()
        await app.push_screen(sheet, answers.append)
        await settle(pilot)
        for _ in range(3):
            app.post_message(Key("enter", "\r"))
        await settle(pilot)
        assert answers == [answer]
        assert app.screen_stack == [page]


async def test_a_second_dismissal_closes_nothing_more(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        under, over, answers = yes_or_no("Under?", ""), yes_or_no("Over?", ""), list[object]()
        await app.push_screen(under, answers.append)
        await app.push_screen(over, answers.append)
        over.dismiss(True)
        over.dismiss(False)
        await settle(pilot)
        assert answers == [True]
        assert app.screen is under


async def test_a_sheet_that_ends_under_another_closes_both(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        page, answers = app.screen, list[object]()
        under = yes_or_no("Under?", "")
        await app.push_screen(under, answers.append)
        await app.push_screen(yes_or_no("Over?", ""), answers.append)
        under.dismiss(True)
        await settle(pilot)
        assert answers == [None, True]
        assert app.screen_stack == [page]


async def test_a_page_that_ends_while_another_area_is_open_is_closed_once_one_comes_back(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+o")
        page = app.screen
        assert isinstance(page, PositionScreen)
        await keys(pilot, "f3")
        page.dismiss()
        await settle(pilot)
        assert app.current_mode == "catalog"
        await keys(pilot, "f2")
        assert isinstance(app.screen, MeasureScreen)


async def test_f1_on_a_form_opens_the_page_of_the_screen_beneath_and_loses_nothing(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "n")
        form = app.screen
        await write(pilot, "Pump weeps")
        await keys(pilot, "f1")
        assert app.screen.name == "help"
        await keys(pilot, "f1")
        assert app.screen is form
        assert "Pump weeps" in shown(pilot)


def test_every_modal_screen_closes_once() -> None:
    modals = {
        one
        for file in (ROOT / "tui" / "screens").rglob("*.py")
        for _, one in getmembers(import_module(".".join(file.relative_to(ROOT).with_suffix("").parts)), isclass)
        if issubclass(one, ModalScreen) and one.__module__.startswith("tui.")
    }
    assert len(modals) > 20
    assert {one.__name__ for one in modals if not issubclass(one, ClosesOnce)} == set()
