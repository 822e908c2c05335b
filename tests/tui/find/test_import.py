"""Taking a supplier's list in, by keys: path, supplier, columns, dry run, progress, done; and stopping it."""

from __future__ import annotations

import asyncio
import threading
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from models.search.searching import search
from models.supplier_lists import suppliers
from models.supplier_lists.progress import Progress
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.find.opened import HEAD, find, with_list, write_list
from tui.screens.find.columns import ConfirmColumns
from tui.screens.find.import_screen import ImportScreen, said_progress
from tui.screens.find.running import Import, Phase
from tui.screens.find.screen import FindScreen
from tui.screens.form import Form


def listed(app: Any) -> int:
    return sum(row.listed for row in app.workshop.read(suppliers.page))


def top(pilot: Pilot[Any]) -> Any:
    return pilot.app.screen


async def until(pilot: Pilot[Any], phase: Phase) -> None:
    """Wait for the import to get there, and for the screen to say so."""
    screen = pilot.app.screen
    assert isinstance(screen, ImportScreen), screen
    for _ in range(1000):
        if screen.running.phase is phase and screen._phase is phase:
            await settle(pilot)
            return
        assert not screen.running.over or screen.running.phase is phase, screen.running.fault
        await asyncio.sleep(0.02)
    raise AssertionError(screen.running.phase)


async def to_columns(pilot: Pilot[Any], file: Path) -> None:
    await keys(pilot, "ctrl+l")
    await write(pilot, str(file))
    await keys(pilot, "enter")


def opened_slowly(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """A list is opened no sooner than this is set."""
    go_on, open_source = threading.Event(), import_module("models.supplier_lists.source").open_source

    def slowly(file: Path) -> Any:
        assert go_on.wait(10)
        return open_source(file)

    monkeypatch.setattr("models.supplier_lists.source.open_source", slowly)
    return go_on


async def opens(pilot: Pilot[Any], file: Path) -> Any:
    """Name the file and wait until only the page beneath is left, while the file is being opened."""
    page = top(pilot)
    await keys(pilot, "ctrl+l")
    await write(pilot, str(file))
    await pilot.press("enter")
    for _ in range(500):
        if top(pilot) is page:
            break
        await pilot.pause(0.01)
    return page


async def test_enter_while_the_file_is_opened_takes_nothing_to_a_job(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on = opened_slowly(monkeypatch)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await find(pilot)
        await opens(pilot, write_list(tmp_path / "spring.csv", 4))
        await pilot.press("enter")
        await pilot.pause(0.05)
        assert "The list is being opened." in toasts(pilot)
        go_on.set()
        await settle(pilot)
        assert top(pilot).name == "one-text"


async def test_what_is_typed_while_the_file_is_opened_goes_into_the_next_step_and_not_into_the_search(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on = opened_slowly(monkeypatch)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await find(pilot)
        page = await opens(pilot, write_list(tmp_path / "spring.csv", 4))
        await pilot.press(*"Hill Supply")
        await pilot.pause(0.05)
        assert page.query_one(Input).value == ""
        go_on.set()
        await settle(pilot)
        assert top(pilot).name == "one-text"
        assert top(pilot).query_one(Input).value == "Hill Supply"
        await keys(pilot, "escape")
        await write(pilot, "p25")  # the search takes keys again
        assert page.query_one(Input).value == "p25"


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_a_list_of_a_new_supplier_from_path_to_search(tmp_path: Path, size: tuple[int, int]) -> None:
    file = write_list(tmp_path / "spring.csv", 40, extra=("BAD-1;No price here;none;1",))
    app = make_app(tmp_path)
    async with app.run_test(size=size, notifications=True) as pilot:
        await find(pilot)
        await to_columns(pilot, file)
        assert top(pilot).name == "one-text"
        await write(pilot, "[red]Hill Supply[/]")
        await keys(pilot, "enter")
        assert isinstance(top(pilot), Form)
        assert "“[red]Hill Supply[/]” is not known yet" in shown(pilot)
        await keys(pilot, "enter")
        await write(pilot, "eur")
        await keys(pilot, "enter")
        assert isinstance(top(pilot), ConfirmColumns)
        for words in ("Part No", "number", "Description", "name", "Decimal mark: comma", "its header is"):
            assert words in shown(pilot), words
        await keys(pilot, "enter")
        await until(pilot, Phase.ASKING)
        for words in (
            "Dry run.",
            "40 usable lines: 1 refused, 40 added",
            "BAD-1",
            "Enter loads",
            "[red]Hill Supply[/]",
        ):
            assert words in shown(pilot), words
        assert listed(app) == 0
        await keys(pilot, "enter")
        await until(pilot, Phase.DONE)
        assert "Done. 40 added" in shown(pilot)
        await keys(pilot, "enter")
        assert isinstance(top(pilot), FindScreen)
        assert listed(app) == 40
        assert "44 rows" in shown(pilot)


async def test_the_columns_are_remembered_and_the_second_time_says_nothing_new(tmp_path: Path) -> None:
    app = with_list(tmp_path, 20)
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        for said in ("as proposed", "as you confirmed it last time"):
            await to_columns(pilot, tmp_path / "first.csv")
            await keys(pilot, "enter")
            assert said in shown(pilot)
            await keys(pilot, "enter")
            await until(pilot, Phase.ASKING)
            assert "0 added" in shown(pilot)
            await keys(pilot, "enter")
            await until(pilot, Phase.DONE)
            assert "Done. No changes" in shown(pilot)
            await keys(pilot, "escape")
        assert listed(app) == 20


async def test_a_column_is_corrected_and_one_without_a_part_number_is_not_taken(tmp_path: Path) -> None:
    app = with_list(tmp_path, 20)
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        await to_columns(pilot, tmp_path / "first.csv")
        await keys(pilot, "enter", "left", "enter")
        assert isinstance(top(pilot), ConfirmColumns)
        assert "(left out)" in shown(pilot)
        assert "No column holds the part number." in shown(pilot)
        await keys(pilot, "right", "e")
        assert "Decimal mark: point" in shown(pilot)
        await keys(pilot, "escape")
        assert isinstance(top(pilot), FindScreen)


@pytest.mark.parametrize("when", [Phase.ASKING, Phase.LOOKING])
async def test_escape_leaves_the_list_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, when: Phase) -> None:
    app = with_list(tmp_path, 20)
    file = write_list(tmp_path / "next.csv", 9000)
    if when is Phase.LOOKING:
        # The first look at the progress finds that Esc was pressed.
        watch = Import._watch
        monkeypatch.setattr(Import, "_watch", lambda self, now: (self.stop(), watch(self, now))[1])
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        await to_columns(pilot, file)
        await keys(pilot, "enter", "enter")
        if when is Phase.ASKING:
            await until(pilot, Phase.ASKING)
            await pilot.press("escape")
        await until(pilot, Phase.STOPPED)
        assert "Stopped. The list is as it was before." in shown(pilot)
        await keys(pilot, "escape")
        assert listed(app) == 20


async def test_stopped_in_the_midst_of_writing_nothing_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = with_list(tmp_path, 20)
    file = write_list(tmp_path / "next.csv", 9000)
    watch = Import._watch

    def stop_when_writing(running: Import, now: Progress) -> bool:
        if now.step == "writing":
            running.stop()
        return watch(running, now)

    monkeypatch.setattr(Import, "_watch", stop_when_writing)
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        await to_columns(pilot, file)
        await keys(pilot, "enter", "enter")
        await until(pilot, Phase.ASKING)
        await pilot.press("enter")
        await until(pilot, Phase.STOPPED)
    assert listed(app) == 20
    assert app.workshop.read(lambda session: search(session, "V-0008000")).total == 0


async def test_a_file_that_cannot_be_read_is_asked_again_as_it_was_typed(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "empty.csv").write_text("", encoding="utf-8")
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await find(pilot)
        await keys(pilot, "ctrl+l")
        assert "1 of 5 · Which file is the list?" in shown(pilot)
        for made in ("nowhere.csv", "", "folder", "empty.csv", "[/foo] x.csv", "nul\0.csv"):
            typed = str(tmp_path / made) if made else "~nobody-by-this-name/x.csv"
            await write(pilot, typed)
            await keys(pilot, "enter")
            assert top(pilot).name == "one-text"
            assert top(pilot).query_one(Input).value == typed.replace("\0", "\ufffd") or "\0" in typed
            assert "! " in shown(pilot)
        # The right path goes on from there, and Esc leaves it.
        await write(pilot, str(write_list(tmp_path / "spring.csv", 4)))
        await keys(pilot, "enter")
        assert "2 of 5 · From which supplier?" in shown(pilot)
        await keys(pilot, "escape")
        assert isinstance(top(pilot), FindScreen)


async def test_a_reason_is_read_whole_and_what_was_read_in_a_text_before_it_is_loaded(tmp_path: Path) -> None:
    app = with_list(tmp_path, 1)
    long = "BAD-1;No price here;none whatever, and a good many words about that;1"
    file = write_list(tmp_path / "next.csv", 1, extra=(long, "R-1;O-ring ID 24.99mm CS 3.53mm nitrile 70;1,20;10/pk"))
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        await to_columns(pilot, file)
        await keys(pilot, "enter")
        assert "3 of 5 · Columns of next.csv" in shown(pilot)
        await keys(pilot, "enter")
        await until(pilot, Phase.ASKING)
        assert "4 of 5 · next.csv" in shown(pilot)
        screen = top(pilot)
        refused = next(one for one in screen._changes if one.reason)
        assert refused.reason in " ".join(shown(pilot).split())
        at = next(i for i, one in enumerate(screen._changes) if one.number == "R-1")
        await keys(pilot, *["down"] * at)
        assert "ring AS568-214 (95 % sure), rubber NBR 70" in " ".join(shown(pilot).split())
        assert listed(app) == 1, "nothing is loaded yet"


async def test_a_list_in_which_no_line_can_be_used_is_not_loaded(tmp_path: Path) -> None:
    app = with_list(tmp_path, 20)
    file = tmp_path / "bad.csv"
    file.write_text(f"{HEAD}\n" + "".join(f"A-{n};Cap;none;1\n" for n in range(5)), encoding="utf-8")
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        await to_columns(pilot, file)
        await keys(pilot, "enter", "enter")
        await until(pilot, Phase.ASKING)
        assert "5 refused" in shown(pilot)
        await pilot.press("enter")
        await until(pilot, Phase.FAILED)
        assert "could be used" in shown(pilot)
        await keys(pilot, "enter")
        assert listed(app) == 20


def test_the_progress_line_says_step_share_and_rows(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    running = Import(app.workshop, None, None, None)  # type: ignore[arg-type]
    assert said_progress(running) == "starting …"
    running.progress = Progress("reading", 4000, 0.5)
    assert said_progress(running, plain=True) == f"reading: {'#' * 15}{'.' * 15}  50 %  4,000 rows"
    running.progress = Progress("comparing", 2000, None)
    assert said_progress(running) == "comparing: 2,000 rows"
