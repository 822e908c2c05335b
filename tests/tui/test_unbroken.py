"""What once ended the app, each by its keys: bursts, clicks on what is gone, workers that come back late."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from textual import events
from textual.app import ComposeResult
from textual.command import CommandList
from textual.geometry import Size
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input, Static

from tests.faults.monkey import Move, do
from tests.tui.counter import keys, make_app, settle, shown
from tests.tui.seed import seed
from tui.app import KitwrightApp
from tui.screens.asking import yes_or_no
from tui.screens.catalog.screen import CatalogScreen
from tui.screens.catalog.tables import TABLES
from tui.screens.choose_job import ChooseJob
from tui.screens.closing import ClosesOnce, Sheet
from tui.screens.judge.screen import JudgeScreen
from tui.screens.measure.screen import MeasureScreen
from tui.screens.palette import Palette
from tui.screens.shelf.receive import ReceiveForm
from tui.steady import BUILDING, stands
from tui.widgets.rows import Rows


async def burst(pilot: Pilot[Any], *pressed: str) -> None:
    """Keys in one go, as a terminal hands over what was typed while the app was busy."""
    assert isinstance(pilot.app, KitwrightApp)
    await do(pilot.app, Move("keys", pressed, 0.0))
    await settle(pilot)


async def until_listed(pilot: Pilot[Any], count: int) -> None:
    """Wait until the palette lists so many commands."""
    for _ in range(400):
        lists = pilot.app.screen.query(CommandList)
        if lists and lists.first().option_count == count:
            return
        await pilot.pause(0.01)
    raise AssertionError("the palette never listed its commands")


@pytest.mark.parametrize("enters", [2, 5])
async def test_the_palette_runs_its_command_once_and_closes_once(tmp_path: Path, enters: int) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        page = app.screen
        await burst(pilot, "ctrl+p", *"unit", *("enter",) * enters)
        for _ in range(20):
            # However late the search answered, there is one page and one palette at most.
            assert app.screen_stack[0] is page
            assert len(app.screen_stack) <= 2
            await pilot.pause(0.02)
        if app.screen is page:
            await burst(pilot, "ctrl+p", *"unit")
        app.unit = "mm"
        # The session's unit stands first; then the four that the bench keeps.
        await until_listed(pilot, 5)
        await burst(pilot, *("enter",) * enters)
        assert app.unit == "in"
        assert app.screen_stack == [page]


async def test_escape_twice_closes_the_palette_alone(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        page = app.screen
        await app.push_screen(yes_or_no("Beneath?", ""))
        beneath = app.screen
        await burst(pilot, "ctrl+p")
        assert isinstance(app.screen, Palette)
        palette = app.screen
        palette._action_escape()
        palette._action_escape()
        palette._select_or_command()
        await settle(pilot)
        assert app.screen_stack == [page, beneath]


async def test_the_palette_opens_again_while_the_one_before_is_on_its_way_out(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        for _ in range(3):
            app.action_command_palette()
            palette = app.screen
            assert isinstance(palette, Palette)
            app.action_command_palette()
            assert app.screen is palette
            palette.dismiss()
        app.action_command_palette()
        await settle(pilot)
        assert isinstance(app.screen, Palette)
        assert len(app.screen_stack) == 2


async def test_page_keys_in_a_palette_that_has_no_room(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+p")
        await pilot.pause(0.3)
        for width, height in ((1, 1), (2, 2), (80, 24)):
            await do(app, Move("size", (str(width), str(height)), 0.0))
            await burst(pilot, "down", "pagedown", "pageup", "ctrl+end", "pagedown", "ctrl+home", "pageup")
        assert app.size == Size(80, 24)
        assert isinstance(app.screen, Palette)


async def test_a_click_on_a_command_that_is_no_longer_listed_is_none(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+p")
        page = app.screen
        assert isinstance(page, Palette)
        commands = page.query_one(CommandList)
        await until_listed(pilot, commands.option_count)
        for _ in range(100):
            if commands.option_count and commands.region.height > 4:
                break
            await pilot.pause(0.02)
        drawn = page.get_style_at(commands.region.x + 4, commands.region.y + 3)
        click = events.Click(commands, 4, 3, 0, 0, 1, False, False, False, style=drawn)
        assert click.style.meta["option"] > 0
        commands.clear_options()
        commands.post_message(click)
        await settle(pilot)
        assert app.screen is page


async def test_the_themes_are_offered_by_a_palette_that_closes_once(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        app.action_change_theme()
        await pilot.pause()
        assert isinstance(app.screen, Palette)
        await burst(pilot, "escape", "escape", "escape")
        assert isinstance(app.screen, MeasureScreen)


AREAS = ("f3", "f4", "f5", "f11", "ctrl+f", "ctrl+y")


@pytest.mark.parametrize("first", [0, 1, 2])
async def test_a_key_at_once_after_an_areas_key_waits_for_the_area(tmp_path: Path, first: int) -> None:
    after = ("down", "ctrl+n", "question_mark")
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        for number, area in enumerate(AREAS):
            await burst(pilot, area, after[(first + number) % len(after)])
            assert app.is_running
            await burst(pilot, "escape")
    assert not app.return_code


async def test_a_key_after_one_that_opens_a_panel_waits_for_the_panel(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        await keys(pilot, "f11")
        for _ in range(7):
            # Empty its fields, ask for the reasons, fill it: each needs what the first key only begins to build.
            await burst(pilot, "f7", "f12", "f8", "down", "question_mark", "escape")
        page = app.screen
        assert isinstance(page, JudgeScreen)
        assert stands(page)


async def test_what_is_typed_after_the_letter_of_a_panel_lands_in_its_field(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        await keys(pilot, "f11", "alt+f")
        await burst(pilot, "alt+r", *"24.9")
        page = app.screen
        assert isinstance(page, JudgeScreen)
        assert isinstance(page.focused, Input)
        assert page.panel is not None
        assert page.panel.id == "thread"
        assert page.focused in page.panel.query(Input)
        assert page.focused.value == "24.9"


async def test_keys_after_the_last_are_nobodys(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "escape")
        await do(app, Move("keys", ("f10", "x", "down", "f1", "enter", "Q"), 0.0))
        await do(app, Move("click", ("0.5", "0.5", "2"), 0.1))
    assert app.return_code == 0


async def test_leaving_while_the_first_page_opens_is_no_fault(tmp_path: Path) -> None:
    for moment in range(6):
        app = KitwrightApp(data=str(seed(tmp_path / "workshop.sqlite3")))
        async with app.run_test():
            for _ in range(moment):
                await asyncio.sleep(0)
        assert not app.return_code
        assert app._exception is None


async def test_no_area_is_begun_while_the_app_is_being_left(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        app.exit()
        app.switch_mode("shelf")
        app.action_area("shelf")
        assert "shelf" not in app._screen_stacks
        assert app.current_mode == "measure"


class Slow(Sheet[None]):
    """A page that asks for something in a thread and shows it in a part."""

    def __init__(self) -> None:
        super().__init__()
        self.waits = asyncio.Event()
        self.came_back = False

    def compose(self) -> ComposeResult:
        yield Static("Reading …", id="told")

    def on_mount(self) -> None:
        self.run_worker(self._read())

    async def _read(self) -> None:
        await self.waits.wait()
        self.came_back = True
        self.query_one("#told", Static).update("Read.")


@pytest.mark.parametrize("way", ["dismiss", "pop"])
async def test_a_worker_of_a_closed_page_is_let_go_before_its_parts_are_taken_away(tmp_path: Path, way: str) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        page = Slow()
        await app.push_screen(page)
        if way == "dismiss":
            page.dismiss()
        else:
            app.pop_screen()
        page.waits.set()
        await settle(pilot)
        assert not page.came_back
        assert isinstance(app.screen, MeasureScreen)


class Closes(Sheet[str]):
    """A page that its own worker closes, which then has more to say."""

    said = ""

    def on_mount(self) -> None:
        self.run_worker(self._answer())

    async def _answer(self) -> None:
        self.dismiss("answered")
        await asyncio.sleep(0)
        self.said = "done"


@pytest.mark.parametrize("page", [Slow, Palette, lambda: yes_or_no("Do it?", "")], ids=["slow", "palette", "question"])
async def test_a_page_closed_before_it_was_built_is_not_built(tmp_path: Path, page: Callable[[], Screen[Any]]) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        beneath, over = app.screen, page()
        app.push_screen(over)
        over.dismiss()
        await settle(pilot)
        assert app.screen_stack == [beneath]
        assert len(over.children) == 0
        assert not over.is_attached


async def test_the_worker_that_closes_its_page_goes_on(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    answers: list[object] = []
    async with app.run_test() as pilot:
        await settle(pilot)
        page = Closes()
        app.push_screen(page, answers.append)
        await settle(pilot)
        assert answers == ["answered"]
        assert page.said == "done"


async def test_an_area_is_not_closed_for_want_of_one_beneath(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        page = app.screen
        assert isinstance(page, MeasureScreen)
        page.dismiss()
        app.pop_screen()
        await settle(pilot)
        assert app.screen_stack == [page]
        await keys(pilot, "f5")
        assert app.current_mode == "shelf"


class Typed(ClosesOnce[None]):
    """A field whose every letter would act, were the page still there."""

    acted = 0

    def compose(self) -> ComposeResult:
        yield Input()

    def on_input_changed(self) -> None:
        self.acted += 1
        self.query_one(Input).focus()

    def action_anything(self) -> None:
        self.acted += 1


@pytest.mark.parametrize("way", ["dismiss", "pop", "area"])
async def test_a_closed_page_takes_no_key_no_message_and_no_action(tmp_path: Path, way: str) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        page = Typed()
        await app.push_screen(page)
        await settle(pilot)
        field = page.query_one(Input)
        match way:
            case "dismiss":
                page.dismiss()
            case "pop":
                app.pop_screen()
            case _:
                app.action_area("measure")
        field.post_message(events.Key("a", "a"))
        page.post_message(Input.Changed(field, "b"))
        page.post_message(events.Key("c", "c"))
        assert not await app.run_action("anything", page)
        await settle(pilot)
        assert page.acted == 0


async def test_a_click_on_what_was_just_taken_away_is_none(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        await keys(pilot, "f1")
        page = app.screen
        assert page.name == "help"
        part = page.query_one(Static)
        x, y = part.region.offset
        part._detach()
        app.post_message(events.MouseDown(None, x, y, 0, 0, 1, False, False, False, x, y))
        await pilot.pause()
        part._attach(page)
        await settle(pilot)
        assert app.screen is page


class Unfinished(Screen[None]):
    """A page of which a part is being built until it is told."""

    def __init__(self) -> None:
        super().__init__()
        self.built = asyncio.Event()
        self.pressed: list[tuple[str, bool]] = []

    def on_mount(self) -> None:
        self.run_worker(self._build(), group=BUILDING)

    async def _build(self) -> None:
        await self.built.wait()
        await self.mount(Static("late", id="late"))

    def on_key(self, event: events.Key) -> None:
        self.pressed.append((event.key, bool(self.query("#late"))))


async def test_keys_wait_in_order_for_a_part_that_is_being_built(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test() as pilot:
        await settle(pilot)
        page = Unfinished()
        await app.push_screen(page)
        await do(app, Move("keys", ("down", "up", "home"), 0.02))
        assert page.pressed == []
        page.built.set()
        await settle(pilot)
        assert page.pressed == [("down", True), ("up", True), ("home", True)]


async def test_a_page_that_never_gets_its_parts_takes_keys_in_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.steady.LONGEST", 0.05)
    app = KitwrightApp(data=str(seed(tmp_path / "workshop.sqlite3")))
    async with app.run_test() as pilot:
        await settle(pilot)
        page = Unfinished()
        await app.push_screen(page)
        await do(app, Move("keys", ("down", "up"), 0.2))
        assert page.pressed == [("down", False), ("up", False)]
        page.built.set()


async def test_a_click_where_the_palette_draws_nothing_yet_is_none(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+p")
        page = app.screen
        assert isinstance(page, Palette)
        # The window shrank while the click was on its way.
        page.post_message(events.Click(page, 200, 60, 0, 0, 1, False, False, False, 200, 60))
        await settle(pilot)
        assert app.screen is page


async def test_a_click_on_a_row_of_a_list_that_shows_others_by_now_takes_none(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "ctrl+r")
        form = app.screen
        assert isinstance(form, ReceiveForm)
        field, offers = form.query_one("#bin", Input), form.query_one("#offers", Rows)
        field.value = ""
        field.focus()
        await settle(pilot)
        assert offers.count > 1
        chosen = Rows.Chosen(offers, offers.count - 1)
        field.value = "no such bin"
        await settle(pilot)
        assert offers.count == 0
        field.value = ""
        form.query_one("#quantity", Input).focus()
        await settle(pilot)
        offers.post_message(chosen)
        await settle(pilot)
        assert field.value == ""


async def test_what_goes_on_a_kit_is_of_the_table_that_it_was_taken_from(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3", "f12")
        page = app.screen
        assert isinstance(page, CatalogScreen)
        taken = page.chosen
        # Enter and the key of the next table in one go: the worker begins when the other table is open.
        page.action_accept()
        page.action_table()
        page._turn_to(TABLES[2])
        await settle(pilot)
        assert isinstance(app.screen, ChooseJob)
        assert taken is not None
        assert taken.name in shown(pilot)
