"""A list of rings in the app: read, worked through one by one on Measure, put on a kit together."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.events import Paste
from textual.pilot import Pilot
from textual.widgets import Static

from tests.tui.command_line import CommandLine
from tests.tui.counter import HOSTILE, keys, make_app, settle, shown, toasts, write
from tui.screens.measure.screen import MeasureScreen
from tui.screens.ring_list.listed import Listed
from tui.screens.ring_list.screen import RingListScreen
from tui.widgets.reading_field import ReadingField
from tui.widgets.rows import Rows

# SAE AS568: 214 is 24.99 × 3.53 mm, 226 is 50.39 × 3.53.
ROWS = "nr;bag;id;width;condition\n7;left;24.99;3.53;new\n8;;bent;3.53;\n9;right;50.39;3.53;new\n10;x;33.9;4.4;new\n"


async def paste(pilot: Pilot[Any], text: str = ROWS) -> list[Listed]:
    """Open the list from Measure and paste rows into it."""
    await keys(pilot, "ctrl+l")
    screen = pilot.app.screen
    assert isinstance(screen, RingListScreen)
    screen.query_one("#list-source").focus()
    await settle(pilot)
    pilot.app.post_message(Paste(text))
    await settle(pilot)
    return screen._list.rings


async def test_pasted_rows_are_answered_and_keep_the_users_own_columns(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        rings = await paste(pilot)
        assert [one.state for one in rings] == ["to fit", "! row", "to fit", "no size"]
        assert [one.chosen.size_key if one.chosen else None for one in rings] == ["as568:214", None, "as568:226", None]
        text = shown(pilot)
        assert "7, left" in text
        assert "11 in B3" in text  # the seeded shelf: 14 of AS568-214, 3 of them promised
        assert "4 rings: 2 to fit, 1 no size, 1 ! row." in text
        await keys(pilot, "down")
        assert "Line 3 can't be read. --id:" in shown(pilot)
        await keys(pilot, "space")
        assert "can't be marked: its row can't be read" in toasts(pilot)
        await keys(pilot, "enter")
        assert isinstance(app.screen, RingListScreen)


async def test_the_screen_and_the_command_say_the_same_of_every_ring(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    app = make_app(tmp_path)
    box = tmp_path / "box.csv"
    box.write_text(ROWS, encoding="utf-8")
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+l")
        await write(pilot, str(box))
        await keys(pilot, "enter")
        screen = app.screen
        assert isinstance(screen, RingListScreen)
        rings = {one.line: one for one in screen._list.rings}
    kitwright = CommandLine(capsys, monkeypatch)
    *told, _ = kitwright("ring", "--batch", str(box), "--json", "--data", str(tmp_path / "workshop.sqlite3")).json_lines
    for one in told:
        ring = rings[one["line"]]
        if "error" in one:
            assert ring.error == one["error"]
        elif ring.chosen is not None:
            first = one["to_fit"][0]
            assert (ring.chosen.label, ring.seals) == (first["name"], first["seals"])
    assert len(told) == len(rings) == 4


async def test_marked_rings_go_on_a_kit_in_one_change_that_one_undo_takes_back(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        rings = await paste(pilot)
        await keys(pilot, "f7")
        assert "Nothing is marked" in toasts(pilot)
        await keys(pilot, "a", "f7")
        assert "2 rings, this count and these spares of each: for which job?" in shown(pilot)
        await write(pilot, "Box [/foo]")
        done = app.workshop.done
        await keys(pilot, "enter")
        assert app.workshop.done == done + 2  # the job, and all rings together
        job = app.workshop.jobs()[-1]
        needs = app.workshop.kit(job.job_id).needs
        assert [need.size_key for need in needs] == ["as568:214", "as568:226"]
        # Each need says whose ring it is and by which readings.
        assert needs[0].why == "measured: nr 7, bag left"
        assert [reading.value_mm for reading in needs[0].readings] == [24.99, 3.53]
        assert needs[0].lines[0].bin_code == "B3"
        assert "2 rings on “Box [/foo]”: SHORT of 1" in toasts(pilot)
        assert [one.state for one in rings] == ["on a kit", "! row", "on a kit", "no size"]
        await keys(pilot, "f9")
        assert app.workshop.kit(job.job_id).needs == ()
        assert [one.state for one in rings] == ["to fit", "! row", "to fit", "no size"]


async def test_a_ring_is_opened_on_measure_and_comes_back_with_what_was_chosen(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "12.3")
        rings = await paste(pilot)
        await keys(pilot, "down", "down", "enter")
        assert isinstance(app.screen, MeasureScreen)
        fields = [field.input.value for field in app.screen.query(ReadingField)]
        assert fields == ["50.39 mm", "", "3.53 mm", "", "", ""]
        assert "[new]" in shown(pilot)
        assert "^L: ring 3 of 4, 9, right" in shown(pilot)
        # Another size than the first is highlighted: that is the one for this ring.
        await keys(pilot, "down")
        other = app.screen.chosen
        assert other is not None
        await keys(pilot, "ctrl+l")
        assert rings[2].chosen is not None
        assert rings[2].chosen.label == other.title
        assert rings[2].state == "chosen"
        assert pilot.app.screen.query_one(Rows).cursor == 2
        # The ring of no size: it is measured again, and taken from Measure straight to a kit.
        await keys(pilot, "down", "enter")
        app.screen.query_one("#slot0", ReadingField).input.value = "24.99"
        app.screen.query_one("#slot2", ReadingField).input.value = "3.53"
        await settle(pilot)
        await keys(pilot, "enter")
        await write(pilot, "One by one")
        await keys(pilot, "enter", "ctrl+l")
        assert rings[3].kit == "One by one"
        await keys(pilot, "ctrl+l")
        # What stood on Measure before the list was opened is not lost.
        await keys(pilot, "f8", "f8")
        assert isinstance(app.screen, MeasureScreen)


async def test_a_long_list_can_be_stopped_and_keeps_what_was_answered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+l")
        screen = app.screen
        assert isinstance(screen, RingListScreen)
        many = "id,width\n" + "24.99,3.53\n" * 2000
        screen._answer("", many)
        while screen._reading is None or not screen._reading.rings:
            await pilot.pause(0.01)
        screen._tell_how_far()
        await pilot.pause()
        assert "Esc stops there" in shown(pilot)
        await pilot.press("escape")
        await settle(pilot)
        assert 0 < len(screen._list.rings) < 2000
        assert "Stopped: the rest was not read." in shown(pilot)


async def test_what_is_no_list_is_said_in_a_sentence_and_the_list_before_stays(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True, tooltips=True) as pilot:
        await settle(pilot)
        rings = await paste(pilot)
        for text in ("nr;bag\n1;2\n", "id,wdith\n1,2\n", "id,width\n\n", *(f"{one}\n{one}" for one in HOSTILE)):
            screen = app.screen
            assert isinstance(screen, RingListScreen)
            screen._answer("", text)
            await settle(pilot)
            assert str(screen.query_one("#list-told", Static).content).startswith("! "), text
            assert screen._list.rings is rings
        screen.query_one("#list-source").focus()
        await settle(pilot)
        await write(pilot, str(tmp_path / "no such file.csv"))
        await keys(pilot, "enter")
        assert "can't be read" in str(screen.query_one("#list-told", Static).content)
