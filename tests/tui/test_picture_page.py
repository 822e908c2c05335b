"""The page of a picture and a note: by keys from Shelf and from a position, by the menu everywhere; how it is drawn."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.color import Color
from textual.app import App, ComposeResult
from textual.pilot import Pilot
from textual.widgets import Input

from models import machines, notes, pictures
from models.notes import What
from models.pictures import keeping, taking_in
from models.pictures.pixels import Pixels, pixels
from models.words import Kind
from tests.models.a_picture import a_picture, as_file, drawn
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.pictured import Pictured
from tests.tui.seed import act
from tui.app import KitwrightApp
from tui.screens.form import Form
from tui.screens.picture_page import PicturePage
from tui.widgets.grey_ramp import INK, ramp
from tui.widgets.half_blocks import half_blocks
from tui.widgets.picture_view import PictureView
from tui.widgets.rows import ANNOTATED


def kept(app: KitwrightApp, what: What, number: int) -> tuple[int | None, str]:
    """The width of the picture that stands, and the note."""

    def look(session: Any) -> tuple[int | None, str]:
        row = keeping.of(session, what, number)
        return None if row is None else row.width, notes.of(session, what, number).note

    return app.workshop.read(look)


def is_page(app: KitwrightApp) -> bool:
    """Whether the page is what lies on top."""
    return isinstance(app.screen, PicturePage)


async def chosen_file(pilot: Pilot[Any], file: Path) -> None:
    """The form for a file is open: type its name."""
    assert isinstance(pilot.app.screen, Form)
    await write(pilot, str(file))
    await keys(pilot, "enter")
    await settle(pilot)


async def test_from_the_shelf_one_is_added_replaced_removed_and_a_note_written_all_by_keys(tmp_path: Path) -> None:
    (tmp_path / "first.png").write_bytes(as_file(drawn((60, 40)), "PNG"))
    (tmp_path / "other.jpg").write_bytes(as_file(drawn((30, 50))))
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "escape")
        row = app.screen.chosen  # type: ignore[attr-defined]
        item, place = row.item_id, row.bin_id
        assert "V Picture, note" in shown(pilot)  # the key line says how to come here
        await keys(pilot, "v")
        await settle(pilot)
        assert is_page(app)
        assert f"Item {row.item_name}   1 of 2" in shown(pilot)
        assert "No picture of it yet; Enter adds one from a file." in shown(pilot)

        await keys(pilot, "enter")
        await chosen_file(pilot, tmp_path / "none.png")
        assert not is_page(app)  # refused, and what is typed stays
        await chosen_file(pilot, tmp_path / "first.png")
        assert "60 × 40 pixels, added by" in shown(pilot)
        assert "Added the picture of" in shown(pilot)
        await keys(pilot, "n")
        await chosen_file(pilot, tmp_path / "other.jpg")
        assert kept(app, What.ITEM, item) == (30, "")
        await keys(pilot, "f9")
        assert kept(app, What.ITEM, item) == (60, "")
        assert ("Undone: the picture of the item." in shown(pilot), toasts(pilot)) == (True, "")
        await keys(pilot, "d")
        await settle(pilot)
        assert kept(app, What.ITEM, item) == (None, "")
        assert "Removed the picture of" in shown(pilot)
        await keys(pilot, "z")
        assert kept(app, What.ITEM, item) == (60, "")

        await keys(pilot, "t")
        await settle(pilot)
        assert f"Bin {row.bin_code}   2 of 2" in shown(pilot)
        before = kept(app, What.BIN, place)[1]
        await keys(pilot, "e")
        assert app.screen.query_one(Input).value == before
        await write(pilot, "top drawer")
        await keys(pilot, "enter")
        await settle(pilot)
        assert kept(app, What.BIN, place) == (None, "top drawer")
        assert "Note: top drawer" in shown(pilot)
        await keys(pilot, "d")  # there is none to remove: said, nothing done
        await settle(pilot)
        assert "There is no picture of" in shown(pilot)

        await keys(pilot, "v")  # as it was opened
        await settle(pilot)
        assert app.current_mode == "shelf"
        assert f"▸{ANNOTATED[0]}{row.bin_code}" in shown(pilot)
        assert "picture of the item: V shows it" in shown(pilot)


async def test_a_position_and_its_machine_each_have_their_own_and_their_rows_say_so(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    with app.workshop.open().write() as session:
        machine = machines.listed(session)[0]
        place = machines.add_position(
            session, act(), machine_id=machine.machine_id, name="nozzle ring", takes=Kind.RING
        ).position_id
        keeping.add(session, act(), What.POSITION, place, a_picture())
        notes.write(session, act(), What.MACHINE, machine.machine_id, "metric threads")
    app.plain_glyphs = True
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+o", "escape")
        await settle(pilot)
        lines = shown(pilot).splitlines()
        assert any(line.startswith(f" {ANNOTATED[1]}{machine.name}") for line in lines)
        assert any(line.startswith(f"▸{ANNOTATED[1]}  nozzle ring") for line in lines)
        assert "V shows its picture." in shown(pilot)
        await keys(pilot, "v")
        await settle(pilot)
        assert "Position nozzle ring   1 of 2" in shown(pilot)
        assert "40 × 30 pixels, added by tess on 2026-11-25" in shown(pilot)
        view = app.screen.query_one(PictureView)
        assert view.in_letters  # a terminal without half-blocks
        assert "▀" not in shown(pilot)
        assert INK[-1] * 8 in shown(pilot)
        await keys(pilot, "t", "e")
        assert app.screen.query_one(Input).value == "metric threads"
        await keys(pilot, "escape", "escape", "up")
        await settle(pilot)
        assert "V adds a picture or a note." in shown(pilot)  # the machine's own line
        await keys(pilot, "v")
        await settle(pilot)
        assert f"Machine {machine.name}" in shown(pilot)
        assert " of 1" not in shown(pilot)


async def test_where_nothing_is_highlighted_the_menu_asks_what_is_meant(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f11")
        for names, said in (((), "name one thing"), (("Rags", "C1"), "name one thing"), (("", "", "", "x"), "machine")):
            app.action_anywhere("picture", "show")
            await settle(pilot)
            fields = list(app.screen.query(Input))
            assert [one.id for one in fields] == ["item", "bin", "machine", "position"]
            for field, name in zip(fields, names, strict=False):
                field.value = name
            await keys(pilot, "enter")
            await settle(pilot)
            assert said in shown(pilot).casefold()
            await keys(pilot, "escape")
        app.action_anywhere("picture", "show")
        await settle(pilot)
        app.screen.query_one("#bin", Input).value = "c1"
        await keys(pilot, "enter")
        await settle(pilot)
        assert "Bin C1" in shown(pilot)


async def test_without_pillow_it_says_so_in_one_sentence_and_the_note_is_there_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = make_app(tmp_path)
    with app.workshop.open().write() as session:
        for what in (What.ITEM, What.BIN):
            keeping.add(session, act(), what, 1, a_picture())
        notes.write(session, act(), What.ITEM, 1, "sheds less")
    monkeypatch.setattr(taking_in, "find_spec", lambda name: None)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "escape", "v")
        await settle(pilot)
        assert "Note: sheds less" in shown(pilot)
        assert "Pictures are read with Pillow, which is not installed. Install the extra" in shown(pilot)
        await keys(pilot, "n")
        await chosen_file(pilot, tmp_path / "any.jpg")
        assert "which is not installed" in shown(pilot)


@settings(max_examples=30)
@given(st.integers(40, 320), st.integers(40, 320), st.integers(8, 90), st.integers(8, 80))
def test_what_is_drawn_keeps_the_shape_and_its_room(wide: int, high: int, columns: int, rows: int) -> None:
    """To half a point of the screen each way; a point is one letter wide and half a letter high."""
    found = pixels(_flat(wide, high), columns, rows)
    assert (found.width == columns or found.height == rows, found.width <= columns, found.height <= rows) == (True,) * 3
    assert abs(found.width - found.height * wide / high) <= 0.501 + 0.5 * wide / high


def _flat(wide: int, high: int) -> bytes:
    return taking_in.taken(as_file(drawn((wide, high)))).jpeg


COLOURS = st.tuples(*[st.integers(0, 255)] * 3)


@given(st.integers(1, 5), st.integers(1, 7), st.data())
def test_each_letter_has_its_two_points_the_upper_before_the_lower(wide: int, high: int, data: st.DataObject) -> None:
    points = [[data.draw(COLOURS) for _ in range(wide)] for _ in range(high)]
    picture = Pixels(wide, high, bytes(value for line in points for point in line for value in point))
    for at, line in enumerate(half_blocks(picture)):
        letters = [part.style for part in line for _ in part.text]
        assert len(letters) == wide
        for x, style in enumerate(letters):
            assert style is not None
            assert style.color == Color.from_rgb(*points[2 * at][x])
            lower = Color.from_rgb(*points[2 * at + 1][x]) if 2 * at + 1 < high else None
            assert style.bgcolor == lower


def test_letters_are_spread_over_the_greys_there_are_the_lighter_the_more_ink() -> None:
    greys = (100, 110, 120, 130)
    assert ramp(Pixels(4, 2, bytes(grey for _ in range(2) for grey in greys for _ in "rgb"))) == [" -*@"]
    assert ramp(Pixels(2, 1, bytes([255] * 6))) == ["@@"]
    assert ramp(Pixels(2, 1, bytes(6))) == [""]


@pytest.mark.parametrize("which", [0, 1], ids=["80x24", "120x40"])
def test_how_it_looks(snap_one_of: Pictured, which: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLORTERM", "truecolor")

    def made() -> KitwrightApp:
        app = make_app(tmp_path)
        with app.workshop.open().write() as session:
            keeping.add(session, act(), What.ITEM, 1, pictures.taking_in.taken(as_file(drawn((400, 300)), "PNG")))
            notes.write(session, act(), What.ITEM, 1, "the blue ones swell in brake fluid; old stock in the drawer")
        return app

    async def page(pilot: Pilot[Any]) -> None:
        await settle(pilot)
        await keys(pilot, "f5", "escape", "v")
        await settle(pilot)

    assert snap_one_of.both(made, page, which)


@pytest.mark.parametrize("which", [0, 1], ids=["80x24", "120x40"])
def test_how_it_looks_without_colours(
    snap_one_of: Pictured, which: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    test_how_it_looks(snap_one_of, which, tmp_path, monkeypatch)


async def test_a_picture_that_is_still_being_drawn_never_stands_for_what_has_none() -> None:
    class Page(App[None]):
        def compose(self) -> ComposeResult:
            yield PictureView(plain=False)

    app = Page()
    async with app.run_test(size=(40, 12)) as pilot:
        view = app.query_one(PictureView)
        view.show(as_file(drawn((60, 40))))
        await asyncio.sleep(0)  # the drawing begins
        view.show(b"", "No picture of it yet.")
        await app.workers.wait_for_complete()
        assert view.render_line(0).text.strip() == "No picture of it yet."
        await pilot.pause()
