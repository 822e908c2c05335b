"""The app's own promises: areas, help, palette, unit, quitting, and nothing heavy before the first frame."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from textual import events
from textual.actions import parse
from textual.binding import Binding
from textual.widget import AwaitMount
from textual.widgets import Input

from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.seed import seed
from tui.screens.area import Area

OPENS = (
    ("f2", "1", "measure"),
    ("f3", "2", "catalog"),
    ("f4", "3", "kits"),
    ("f5", "4", "shelf"),
    ("f11", "5", "judge"),
    ("ctrl+y", "6", "buy"),
    ("ctrl+f", "7", "find"),
)
FIRST_FRAME = """
import asyncio, sys
from tui.app import KitwrightApp
from textual.app import App
heavy = ("sqlmodel", "sqlalchemy", "pint", "alembic", "pydantic", "catalog.orings.match", "catalog.orings.sizes")
seen = []
display = App._display
def watch(self, screen, renderable):
    display(self, screen, renderable)
    if self._running and renderable is not None and not seen:
        seen.append([name for name in heavy if name in sys.modules])
App._display = watch
async def main():
    async with KitwrightApp(demo=True).run_test() as pilot:
        await pilot.pause()
asyncio.run(main())
print(seen)
"""


def test_nothing_heavy_is_imported_before_the_first_frame() -> None:
    done = subprocess.run([sys.executable, "-c", FIRST_FRAME], capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.strip() == "[[]]"


FIRST_ROWS = """
import asyncio, sys
from tui.app import KitwrightApp
from tui.widgets.rows import Rows
heavy = ("sqlmodel", "sqlalchemy", "alembic", "pydantic", "psycopg")
seen = []
show = Rows.show
def watch(self, count, *given, **more):
    show(self, count, *given, **more)
    if count and not seen:
        seen.append((count, [name for name in heavy if name in sys.modules]))
Rows.show = watch
async def main():
    app = KitwrightApp(data=sys.argv[1])
    async with app.run_test() as pilot:
        await pilot.press("f5")
        while not seen:
            await pilot.pause(0.01)
        # What is loaded ahead comes after: the ledger is read and the workshop is open.
        while app.workshop._database is None:
            await pilot.pause(0.01)
asyncio.run(main())
print(seen)
"""


def test_the_shelf_s_first_rows_are_there_before_sqlalchemy(tmp_path: Path) -> None:
    file = seed(tmp_path / "workshop.sqlite3")
    command = [sys.executable, "-c", FIRST_ROWS, str(file)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.strip() == "[(4, [])]"


async def test_function_key_and_digit_open_each_area(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key, digit, area in OPENS:
            await keys(pilot, key)
            assert isinstance(app.screen, Area)
            assert area == app.screen.AREA
            await keys(pilot, "f2", "escape", digit)
            assert area == app.screen.AREA
            await keys(pilot, "f2", "escape")


async def test_keys_typed_before_the_first_field_stands_are_kept_in_order(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        assert not app.fields_ready
        await pilot.press("2", "4", ".", "9")
        await settle(pilot)
        assert app.current_mode == "measure"
        assert app.screen.query("Input").first().value == "24.9"  # type: ignore[attr-defined]


async def test_an_area_s_key_typed_before_any_page_stands_opens_it_at_once(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    opened: list[str] = []
    switch = app.switch_mode

    def watched(mode: str) -> AwaitMount:
        opened.append(mode)
        return switch(mode)

    app.switch_mode = watched  # type: ignore[method-assign]
    app._early = [events.Key("f5", None), events.Key("3", "3"), events.Key("d", "d")]
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        # What follows the key is the area's own: its first field takes it.
        assert opened == ["shelf"]
        assert app.screen.query_one("#search", Input).value == "3d"
        await keys(pilot, "f8", "f2")
        assert opened == ["shelf", "measure"]
        await write(pilot, "24.9")
        assert app.screen.query(Input).first().value == "24.9"
        assert app.workshop.has_booked is False


async def test_every_area_has_a_help_page_that_names_its_keys_and_a_key_line_that_fits(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for key, _, area in OPENS:
            await keys(pilot, key)
            footer = app.screen.query("FooterKey")
            assert 1 <= len(footer) <= 7, area
            assert all(key.region.right <= 80 for key in footer)
            assert "F1 Help" in shown(pilot).splitlines()[-1]
            bindings = [b for c in (type(app.screen), type(app)) for b in c.BINDINGS if isinstance(b, Binding) and b.id]
            offered = {command.title for command in app.get_system_commands(app.screen)}
            # A key that belongs to another of the area's lists is off, in the palette as on the key line.
            on = {one.description for one in bindings if app.screen.check_action(*parse(one.action)[1:]) is True}
            assert on
            assert on <= offered, "the palette reaches every action"
            assert all(binding.tooltip and binding.description for binding in bindings)
            await keys(pilot, "f1")
            assert app.screen.name == "help"
            assert area in shown(pilot).lower()
            await keys(pilot, "escape")
            assert isinstance(app.screen, Area)


async def test_the_unit_is_always_in_sight_and_one_key_flips_it(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert re.search(r"F6 (unit: )?mm", shown(pilot).splitlines()[0])
        await write(pilot, "1")
        assert "1 mm = 0.0394 in" in shown(pilot)
        await keys(pilot, "f6")
        # NIST SP 811, B.8: one inch is 25.4 mm exactly.
        assert re.search(r"F6 (unit: )?in", shown(pilot).splitlines()[0])
        assert "1 in = 25.4 mm" in shown(pilot)
        await keys(pilot, "f3")
        assert re.search(r"F6 (unit: )?in", shown(pilot).splitlines()[0])
        await keys(pilot, "escape", "u")
        assert re.search(r"F6 (unit: )?mm", shown(pilot).splitlines()[0])


@pytest.mark.parametrize("pressed", [("f10",), ("ctrl+q",), ("escape", "q")])
async def test_more_than_one_way_out(tmp_path: Path, pressed: tuple[str, ...]) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press(*pressed)
        for _ in range(100):  # a letter is held for 60 ms, where it may begin a scan
            if app._exit:
                break
            await pilot.pause(0.02)
        assert app._exit


async def test_undo_says_when_there_is_nothing_to_undo(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f9")
        assert "Nothing to undo yet." in shown(pilot)


async def test_forty_columns_say_so_and_still_take_a_reading(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(40, 24)) as pilot:
        await settle(pilot)
        assert "narrow" in shown(pilot)
        await write(pilot, "24.9")
        assert "24.9 mm" in shown(pilot)


async def test_a_database_that_cannot_be_opened_is_told_and_the_app_lives(tmp_path: Path) -> None:
    from tui.app import KitwrightApp

    app = KitwrightApp(data=str(tmp_path / "missing" / "workshop.sqlite3"))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        for area in ("f4", "f5"):
            await keys(pilot, area)
            assert "The workshop could not" in shown(pilot)
        assert "is not there" in toasts(pilot)
        await keys(pilot, "f2")
        await write(pilot, "24.99")
        assert "AS568-214" in shown(pilot)


STAGGERED = """
import random, sys, threading, time
from tui.workshop import load
random.seed(int(sys.argv[1]))
names = "shelf undoing.undo kits jobs demo.orchard machines fits.fit_records acts database".split()
def work(name, wait):
    time.sleep(wait)
    load()
    __import__("models." + name)
failed = []
threading.excepthook = lambda told: failed.append(str(told.exc_value))
threads = [threading.Thread(target=work, args=(name, random.random() * 0.3)) for name in names]
for thread in threads: thread.start()
for thread in threads: thread.join()
print(failed)
"""


# Without `load` about every second of these runs met a half-made module.
@pytest.mark.parametrize("seed", range(4))
def test_threads_that_start_together_never_meet_a_module_half_made(seed: int) -> None:
    command = [sys.executable, "-c", STAGGERED, str(seed)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.strip() == "[]"
