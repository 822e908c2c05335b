"""The bands of the areas: the answer to the highlighted row, the one drawing, and that both fit whatever the numbers."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tui.counter import keys, make_app, settle, shown, write
from tui.widgets import kit_strip, stock_bars, time_line
from tui.widgets.answer_band import AnswerBand
from tui.widgets.kit_strip import Part
from tui.widgets.sketch import Sketch
from tui.widgets.stock_bars import Heap, Mark
from tui.widgets.time_line import Due, Times

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
