"""Measure by a picture: chosen, measured beside the screen, stopped by Esc; the answer is the command's."""

from __future__ import annotations

import os
import threading
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, Static

from catalog.photo.reading import Bar, Measured
from tests.catalog.photo.rendered import encoded, render
from tests.catalog.photo.test_measure import PLAIN
from tests.tui.command_line import CommandLine
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.pictured import Pictured
from tui import by_picture
from tui.answers.ring import readings_of
from tui.answers.ring_photo import UNTRIED, UNTRIED_SHORT
from tui.app import KitwrightApp
from tui.fields import file_names
from tui.operations import ring_photo
from tui.screens.measure import pictures_of
from tui.screens.measure.by_picture import PictureScreen
from tui.screens.measure.screen import MeasureScreen
from tui.widgets.reading_field import ReadingField

FOUND = Measured(24.987, 0.083, 3.531, 0.061, 0.05, 9.0, 0.09, 0)
NOON = 1_780_000_000


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder one stands in, with three pictures, of which the middle one is the newest, and two other files."""
    at = tmp_path / "pictures"
    at.mkdir()
    for name, written in (("a old.jpg", 0), ("newest [b].JPG", 90), ("c.png", 60), ("notes.txt", 99), ("d.heic", 95)):
        (at / name).write_bytes(b"x" * 1_400_000)
        os.utime(at / name, (NOON + written * 60, NOON + written * 60))
    monkeypatch.chdir(at)
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    return at


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Every picture gives the same ring at once; which were asked for."""
    asked: list[Path] = []

    def measured(file: Path, bar: Bar, watch: Any) -> Measured:
        asked.append(file)
        watch("finding the marks, fitting the ring")
        return FOUND

    monkeypatch.setattr(by_picture, "measured", measured)
    return asked


def fields(app: KitwrightApp) -> list[str]:
    return [one.input.value for one in app.screen.query(ReadingField)]


async def opened(pilot: Pilot[Any]) -> PictureScreen:
    await keys(pilot, "insert")
    screen = pilot.app.screen
    assert isinstance(screen, PictureScreen)
    return screen


def told(screen: PictureScreen) -> str:
    return str(screen.query_one("#photo-told", Static).content)


async def test_a_picture_is_chosen_newest_first_and_its_readings_take_the_place_of_those_typed(
    tmp_path: Path, folder: Path, quick: list[Path]
) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "12.3")
        screen = await opened(pilot)
        assert [one.file.name for one in screen._folder.pictures] == ["newest [b].JPG", "c.png", "a old.jpg"]
        assert "1 HEIC or AVIF left out" in str(screen.query_one("#photo-folder", Static).content)
        assert "It takes the place of ID 12.3." in told(screen)
        assert "Enter measures by newest [b].JPG" in shown(pilot)
        # Without the bar nothing has a scale: it is asked for, and nothing is measured.
        await keys(pilot, "enter")
        assert "! How long is the sheet's bar" in told(screen)
        assert quick == []
        assert screen.focused is screen.query_one("#photo-bar")
        await write(pilot, "80")
        await keys(pilot, "enter")
        assert "can't measure 80 mm" in told(screen)
        await write(pilot, "99.6")
        await keys(pilot, "down", "enter")
        assert [one.name for one in quick] == ["c.png"]
        assert isinstance(app.screen, MeasureScreen)
        assert fields(app) == ["24.987±0.083 mm", "", "3.531±0.061 mm", "", "", ""]
        assert "In place of ID 12.3." in toasts(pilot)
        assert UNTRIED in toasts(pilot)
        # It stands there as long as a picture's reading does.
        assert UNTRIED_SHORT in shown(pilot)
        await keys(pilot, "question_mark")
        assert "By the picture c.png: ID 24.99 ± 0.08 mm" in " ".join(shown(pilot).split())
        await keys(pilot, "escape")
        # The bar and the folder stay for the next ring.
        screen = await opened(pilot)
        assert screen.query_one("#photo-bar", Input).value == "99.6"
        await keys(pilot, "escape")
        for at, text in ((0, "25"), (2, "3.5")):
            assert UNTRIED_SHORT in shown(pilot)
            app.screen.query_one(f"#slot{at}", ReadingField).input.value = text
            await settle(pilot)
        assert UNTRIED_SHORT not in shown(pilot)


async def test_emptied_and_brought_back_it_is_still_a_pictures(tmp_path: Path, folder: Path, quick: list[Path]) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        screen = await opened(pilot)
        screen.query_one("#photo-bar", Input).value = "3.921 in"
        await keys(pilot, "enter", "f8")
        assert UNTRIED_SHORT not in shown(pilot)
        await keys(pilot, "f8")
        assert UNTRIED_SHORT in shown(pilot)


async def test_a_name_is_typed_dropped_or_of_a_folder(tmp_path: Path, folder: Path, quick: list[Path]) -> None:
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "it is [mine].jpeg").write_bytes(b"x")
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        screen = await opened(pilot)
        screen.query_one("#photo-bar", Input).value = "99.6"
        await keys(pilot, "tab")
        await write(pilot, str(tmp_path / "other"))
        await keys(pilot, "enter")
        assert [one.file.name for one in screen._folder.pictures] == ["it is [mine].jpeg"]
        await keys(pilot, "tab")
        await write(pilot, str(tmp_path / "nothing.jpg"))
        await keys(pilot, "enter")
        assert "nothing.jpg can't be read" in told(screen)
        await write(pilot, f"'{folder / 'a old.jpg'}'")
        await keys(pilot, "enter")
        assert quick == [folder / "a old.jpg"]
    assert file_names.named(str(folder / "a\\ old.jpg")) == folder / "a old.jpg"
    assert file_names.named(" ~nobody-of-that-name/x.jpg ").name == "x.jpg"
    assert pictures_of.pictures_of(folder / "c.png").wrong
    assert pictures_of.pictures_of(Path("a\0b")).wrong


async def test_esc_stops_a_picture_and_a_late_answer_lands_nowhere(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    going, ended, released = threading.Event(), threading.Event(), threading.Event()

    def measured(file: Path, bar: Bar, watch: Any) -> Measured:
        going.set()
        try:
            while not released.wait(0.01):
                watch("finding the marks, fitting the ring")
            return FOUND
        finally:
            ended.set()

    monkeypatch.setattr(by_picture, "measured", measured)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        screen = await opened(pilot)
        screen.query_one("#photo-bar", Input).value = "99.6"
        await pilot.press("enter")
        while not going.is_set():
            await pilot.pause(0.02)
        screen._tell_how_far()
        assert "Measuring newest [b].JPG: finding the marks, fitting the ring" in told(screen)
        # The app is alive meanwhile: a second Enter starts nothing, Esc stops it.
        await pilot.press("enter", "escape")
        await settle(pilot)
        assert ended.is_set()
        assert told(screen) == "Stopped. Nothing was measured."
        # Another area opens while it measures: the page is gone, and what is measured is for nobody.
        for event in (going, ended):
            event.clear()
        await pilot.press("enter")
        while not going.is_set():
            await pilot.pause(0.02)
        screen.dismiss(None)
        released.set()
        await settle(pilot)
        assert ended.is_set()
        assert isinstance(app.screen, MeasureScreen)
        assert fields(app) == [""] * 6


async def test_without_opencv_it_says_what_to_install(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ring_photo, "find_spec", lambda _: None)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        screen = await opened(pilot)
        screen.query_one("#photo-bar", Input).value = "99.6"
        await keys(pilot, "enter")
        assert told(screen) == "! a picture is measured with OpenCV, which is not installed: install the extra “photo”"


async def test_the_app_and_the_command_say_the_same_of_a_picture(
    tmp_path: Path, folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "ring.jpg").write_bytes(encoded(render(PLAIN)))
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        screen = await opened(pilot)
        screen.query_one("#photo-bar", Input).value = "99.6"
        await keys(pilot, "tab")
        await write(pilot, "ring.jpg")
        await keys(pilot, "enter")
        measure = app.screen
        assert isinstance(measure, MeasureScreen)
        result = measure._result
    said = CommandLine(capsys, monkeypatch)(
        "ring", "--photo", "ring.jpg", "--bar", "99.6mm", "--json", "--data", str(tmp_path / "workshop.sqlite3")
    ).json
    assert result.picture == said["photo"]
    assert result.ranking is not None
    assert result.decision is not None
    assert [(one.what, one.value_mm, one.plus_minus_mm) for one in readings_of(result.ranking.evidence)] == [
        (one["what"], one["value_mm"], one["plus_minus_mm"]) for one in said["readings"]
    ]
    assert [(one.size.label, round(one.chance.seals, 4)) for one in result.decision.to_fit][:5] == [
        (one["name"], one["seals"]) for one in said["to_fit"]
    ][:5]
    was = [(one["name"], one["probability"]) for one in said["matches"]]
    assert [(one.size.label, round(one.probability, 6)) for one in result.ranking.matches][: len(was)] == was


@pytest.mark.parametrize("which", [0, 1], ids=["80x24", "120x40"])
def test_the_page_of_pictures(
    snap_one_of: Pictured, which: int, tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pictures_of.Found, "day", "2026-05-28 22:26")
    monkeypatch.setattr(PictureScreen, "shown_folder", staticmethod(lambda _: "~/Pictures"))

    async def page(pilot: Pilot[Any]) -> None:
        await settle(pilot)
        await write(pilot, "24.9")
        await opened(pilot)

    assert snap_one_of.both(lambda: make_app(tmp_path), page, which)
