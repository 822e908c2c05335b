"""The bands of the areas: the answer, the one drawing, what is next; and that they hold whatever the numbers."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tui.counter import keys, make_app, settle, shown, write
from tui.fields.field import Asked, Field, FieldError
from tui.fields.units import Units
from tui.fields.words import in_a_form
from tui.operations.registry import AREAS as AREAS_OF_OPERATIONS
from tui.operations.registry import operations
from tui.screens.form import Form
from tui.widgets import kit_strip, stock_bars, time_line
from tui.widgets.answer_band import AnswerBand
from tui.widgets.choice import Choice
from tui.widgets.kit_strip import Part
from tui.widgets.next_line import NextLine
from tui.widgets.rows import Rows
from tui.widgets.sketch import Sketch
from tui.widgets.stock_bars import Heap, Mark
from tui.widgets.time_line import Due, Times

WORDS = ("used", "swollen", "shrunk", "not said", "new", "new", "new")
JUNK = ("", "x", "-1", "9e9", "88.9", "1/0", "a,b", "12:99", "1=", "?", "9" * 30, "3.5 banana")
AMOUNTS = st.integers(0, 10**9)
DAYS = st.integers(-800, 800)
TODAY = date(2026, 11, 25)


@given(AMOUNTS, AMOUNTS, st.integers(1, 10**9), st.integers(1, 60), st.none() | AMOUNTS)
def test_a_bar_has_its_length_and_shows_what_is_there_and_the_mark(
    free: int, promised: int, whole: int, cells: int, mark: int | None
) -> None:
    drawn = stock_bars.bar(free, promised, max(whole, free + promised), cells, mark=mark)
    assert len(drawn) == cells
    assert drawn.count("┃") == (mark is not None)
    if mark is None and cells > 1:
        assert ("█" in drawn) == bool(free)
        assert ("▒" in drawn) == bool(promised)
    if mark is not None and cells > 2 and free > mark:
        # Enough is free: the mark never stands behind what is free.
        assert "·┃" not in drawn
        assert "▒┃" not in drawn


@given(st.lists(st.tuples(AMOUNTS, AMOUNTS), min_size=1, max_size=9), st.integers(1, 60), st.integers(1, 14))
def test_bins_as_bars_fit_their_room(places: list[tuple[int, int]], columns: int, rows: int) -> None:
    heaps = [Heap(f"Box {i}", free, promised) for i, (free, promised) in enumerate(places)]
    drawn = stock_bars.stock_lines(heaps, Mark(3, 9), columns, rows, str)
    assert len(drawn) <= rows
    assert all(len(line) == columns for line in drawn)
    assert not drawn or any("in all" in line for line in drawn)


@given(st.none() | DAYS, st.lists(DAYS, max_size=6), st.integers(3, 80), st.integers(1, 13))
def test_a_time_line_fits_its_room_and_says_late_where_it_is(
    arrives: int | None, dues: list[int], columns: int, rows: int
) -> None:
    comes = None if arrives is None else TODAY + timedelta(days=arrives)
    times = Times(TODAY, comes, tuple(Due(f"Job {i}", TODAY + timedelta(days=on)) for i, on in enumerate(dues)))
    drawn = time_line.time_lines(times, columns, rows)
    assert len(drawn) <= rows
    assert all(len(line) == columns for line in drawn)
    # What should have come and did not is not here before today.
    late = any(max(comes or TODAY, TODAY) > one.on for one in times.dues)
    assert times.late == late
    # The job that is due first is the one that is late, if any is.
    assert ("LATE" in time_line.time_line(times, 20)) == late
    if not late:
        assert all("▒" not in line for line in drawn)


@given(st.lists(st.tuples(AMOUNTS, AMOUNTS, AMOUNTS), min_size=1, max_size=9), st.integers(1, 80), st.integers(1, 12))
def test_a_kit_strip_fits_its_room_and_never_hides_what_is_short(
    numbers: list[tuple[int, int, int]], columns: int, rows: int
) -> None:
    parts = [Part(f"need {i}", *one) for i, one in enumerate(numbers)]
    drawn = kit_strip.strip_lines(parts, columns, rows, lambda at, quantity: f"{quantity}")
    assert len(drawn) <= rows
    assert all(len(line) == columns for line in drawn)
    bars = kit_strip.strip_line(parts, 40).split("│")
    assert len(bars) == len(parts)
    assert [("·" in one) for one in bars] == [bool(part.short) for part in parts]


AREAS = {
    "f3": ("as568-214", "AS568-214"),
    "f4": ("", " SHORT 1 "),
    "f5": ("", " OK  O-ring AS568-214 NBR 70 in bin B3"),
    "ctrl+f": ("214", " ON SHELF  O-ring AS568-214 NBR 70"),
    "ctrl+y": ("", " LATE  JIS P25: 2 to buy"),
}


@pytest.mark.parametrize("key", AREAS)
async def test_each_area_answers_first_then_lists_and_draws(tmp_path: Path, key: str) -> None:
    typed, says = AREAS[key]
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, key)
        if typed:
            await write(pilot, typed)
        elif key == "ctrl+y":
            await keys(pilot, "down")
        band = app.screen.query_one(AnswerBand)
        # Right under the areas' names; its words stand nowhere else.
        assert band.region.y == 1
        assert says in band.lines[0].plain
        assert shown(pilot).count(band.lines[0].plain[:60].rstrip()) == 1
        height = band.region.height
        await pilot.resize_terminal(120, 40)
        await settle(pilot)
        assert app.screen.query_one(AnswerBand).region.height == height
        if key != "f3":
            sketch = app.screen.query_one(Sketch)
            assert sketch.region.area > 0
            assert any(line.strip() for line in sketch.render().plain.splitlines())


async def test_a_long_message_moves_nothing_and_the_keys_come_back(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.9")
        before = app.screen.query_one(Rows).region
        keys_line = shown(pilot).splitlines()[-1]
        assert "Enter Accept" in keys_line
        for text in ("Short.", "A message of more than one line. " * 4, "One that no two lines can hold. " * 20):
            app.tell(text, trouble=True)
            await settle(pilot)
            assert app.screen.query_one(Rows).region == before
            assert app.screen.query_one(NextLine).region.bottom <= 24
        assert shown(pilot).splitlines()[-1].rstrip().endswith("…")
        await keys(pilot, "right")
        assert shown(pilot).splitlines()[-1] == keys_line
        assert app.screen.query_one(Rows).region == before


async def test_a_letter_on_a_choice_among_fields_takes_its_word_and_does_no_deed(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        page = app.screen
        looks, sits = page.query_one("#condition", Choice), page.query_one("#joint", Choice)
        looks.focus()
        for letter, word in zip("ussnnx4", WORDS, strict=True):
            await keys(pilot, letter)
            assert looks.word.startswith(word), letter
            assert app.screen is page
        sits.focus()
        await keys(pilot, "b")
        assert sits.word == "bore"
        await keys(pilot, "c", "q", "i")
        assert sits.word == "cover"
        assert app.screen is page
        assert app.is_running


async def test_f1_in_a_form_says_what_its_fields_take(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "escape", "s")
        form = app.screen
        assert isinstance(form, Form)
        await keys(pilot, "f1")
        text = shown(pilot)
        assert "What this asks for" in text
        assert all(field.label in text for field in form._fields)
        assert "--" not in text.replace("──", "")
        await keys(pilot, "f1")
        assert app.screen is form


def test_a_form_says_fields_by_their_labels() -> None:
    said = in_a_form("say how much came: --quantity N, or --packs N with --pack N", {"--quantity": "“How many”"})
    assert said == "say how much came: “How many” N, or packs N with pack N"
    assert in_a_form("no size goes by 'x'; look with: kitwright sizes") == "no size goes by 'x'; look in the Catalog"
    assert in_a_form("Type a class. All of them: kitwright rubber --fluids") == "Type a class. Look in Judge, Rubber."


@pytest.mark.parametrize("area", AREAS_OF_OPERATIONS)
def test_what_a_field_of_a_form_refuses_names_no_option_and_no_command(area: str) -> None:
    """The same sentences stand in forms, where nobody types an option."""
    for one in operations(area):
        for unit in ("mm", "in"):
            asked = Asked(Units(length=unit))
            for field in one.fields:
                if field.LOOKS or field.ROW:
                    continue
                for text in JUNK:
                    said = in_a_form(refusal(field, text, asked).replace(f"'{text}'", ""))
                    assert "kitwright " not in said, (one.name, field.name, text)
                    assert "--" not in said, (one.name, field.name, text)


def refusal(field: Field[Any], text: str, asked: Asked) -> str:
    """What a field says of a text that it refuses; "" of any other, and of what is judged by what stands before it."""
    try:
        field.from_text(text, asked)
    except FieldError as refused:
        return str(refused)
    except (KeyError, NotImplementedError):
        return ""
    return ""


async def test_a_field_that_can_not_be_used_is_told_in_one_sentence(tmp_path: Path) -> None:
    app = make_app(tmp_path, unit="in")
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "tab", "tab")
        await write(pilot, "3.5")
        await keys(pilot, "enter")
        assert "Width can't be used: no ring is 88.9 mm thick; did you mean 3.5 mm? Type it as 3.5mm" in app.said
