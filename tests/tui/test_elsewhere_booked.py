"""What another bench books shows without a key: marked, the cursor where it was, what is typed untouched."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from textual.pilot import Pilot
from textual.widgets import Input

from models import jobs, kits, shelf
from models.acts import by
from models.database import Workshop, open_workshop
from models.inventory import items
from models.stock_rows import StockRow
from models.watching.moved import Move
from models.words import Kind, Moved, Unit
from tests.models.shop import ring_spec
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tui.screens.elsewhere import Marks, told
from tui.screens.form import Form
from tui.screens.kits.lines import key_of
from tui.widgets.rows import Row

SOON = 1.0
PATIENCE = 20.0


@contextmanager
def bench_2(folder: Path) -> Iterator[Workshop]:
    """Another program on the same file."""
    other = open_workshop(folder / "workshop.sqlite3")
    yield other
    other.close()


def use(other: Workshop, stock_id: int, quantity: int = 1) -> None:
    with other.write() as session:
        shelf.use(session, by("Bench 2"), stock_id=stock_id, quantity=quantity)


async def until(pilot: Pilot[Any], there: Callable[[], bool]) -> float:
    """Wait, without a key, until something is so; the seconds that took."""
    began = time.monotonic()
    while not there():
        assert time.monotonic() - began < PATIENCE, shown(pilot)
        await asyncio.sleep(0.02)
        await pilot.pause()
    return time.monotonic() - began


async def watching(pilot: Pilot[Any]) -> None:
    await settle(pilot)
    assert await asyncio.to_thread(pilot.app.watcher.ready.wait, PATIENCE)  # type: ignore[attr-defined]


async def test_the_shelf_shows_what_another_bench_took_marks_it_and_keeps_the_cursor(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 24)) as pilot:
        await watching(pilot)
        await keys(pilot, "f5", "down", "down")
        page: Any = app.screen
        with bench_2(tmp_path) as other:
            use(other, page._stock[0].stock_id, 2)
            assert await until(pilot, lambda: page._stock[0].on_hand == 12) < SOON
            await settle(pilot)
            lines = shown(pilot).splitlines()
            assert lines[6].startswith(" •B3")
            assert lines[8].startswith("▸ C1")
            assert page.rows.cursor == 2
            assert "meanwhile" not in toasts(pilot)
            # The row in hand: told as well, with its ledger.
            use(other, page._stock[2].stock_id)
            await until(pilot, lambda: "meanwhile" in toasts(pilot))
            await settle(pilot)
            assert "Rags in C1: Bench 2 took 1 meanwhile: 39 free." in toasts(pilot)
            assert "used  −1 on hand" in shown(pilot)
            assert shown(pilot).splitlines()[8].startswith("▸•C1")
            # Seen once the cursor has left it.
            await keys(pilot, "up")
            assert shown(pilot).splitlines()[8].startswith("  C1")
            assert shown(pilot).splitlines()[6].startswith(" •B3")
            # An own change is no news.
            said = len(app.said)
            await keys(pilot, "down", "enter")
            await write(pilot, "11")
            await keys(pilot, "enter")
            await asyncio.sleep(0.5)
            await settle(pilot)
            assert "meanwhile" not in "".join(list(app.said)[said:])
    assert "watching" not in {thread.name for thread in threading.enumerate()}


async def test_a_row_that_is_new_on_the_shelf_comes_into_the_list_and_the_cursor_stays_on_its_own(
    tmp_path: Path,
) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 24)) as pilot:
        await watching(pilot)
        await keys(pilot, "f5", "down")
        page: Any = app.screen
        item, place = page._stock[1].item_id, page._stock[0].bin_id
        with bench_2(tmp_path) as other, other.write() as session:
            shelf.receive(session, by("Bench 2"), item_id=item, bin_id=place, quantity=7)
        assert await until(pilot, lambda: page.rows.count == 5) < SOON
        await settle(pilot)
        lines = shown(pilot).splitlines()
        assert lines[7].startswith(" •B3")
        assert page.rows.cursor == 2
        assert page.chosen.bin_code == "C1"


async def test_a_form_half_filled_in_is_told_and_left_alone(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 24)) as pilot:
        await watching(pilot)
        await keys(pilot, "f5", "enter")
        form = app.screen
        assert isinstance(form, Form)
        await write(pilot, "12")
        page: Any = app.screen_stack[-2]
        with bench_2(tmp_path) as other:
            use(other, page._stock[0].stock_id)
            assert await until(pilot, lambda: "meanwhile" in shown(pilot)) < SOON
        assert "! Bench 2 took 1 meanwhile: 13 on hand, 10 free" in shown(pilot)
        assert "On record: 13, 3 of them promised." in shown(pilot)
        # Once is enough.
        assert "meanwhile" not in toasts(pilot)
        assert form.query_one("#quantity", Input).value == "12"
        assert form.query_one("#quantity", Input).has_focus
        await keys(pilot, "enter")
        assert "12 on hand, 9 free" in toasts(pilot)


async def test_a_kit_shows_what_another_bench_did_to_it_and_the_cursor_stays_on_its_line(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(110, 30)) as pilot:
        await watching(pilot)
        await keys(pilot, "f4", "enter", "down", "down")
        page: Any = app.screen
        here = page.entry
        job_id, need_id = page.job.job_id, page._lines[0].need.need_id
        with bench_2(tmp_path) as other:
            with other.write() as session:
                kits.pick(session, by("Bench 2"), [page._lines[1].line.line_id])
            assert await until(pilot, lambda: page._lines[1].line.state == "picked") < SOON
            await settle(pilot)
            assert "• ✓ picked" in shown(pilot)
            assert key_of(page.entry) == key_of(here)
            # Above it a line more: the cursor goes with its row.
            with other.write() as session:
                kits.withdraw_need(session, by("Bench 2"), here.need.need_id)
                kits.add_need(session, by("Bench 2"), job_id, ring_spec("as568:215", pieces=9, title="AS568-215"))
            await until(pilot, lambda: any(one.need.title == "AS568-215" for one in page._lines))
            assert page._lines[0].need.need_id == need_id
            with other.write() as session:
                jobs.open_job(session, by("Bench 2"), title="Hose burst", due_on=date(2026, 11, 26))
            assert await until(pilot, lambda: "Hose burst" in shown(pilot)) < SOON
            await settle(pilot)
            assert page.job.job_id == job_id
            assert any("•Hose burst" in line for line in shown(pilot).splitlines())


async def test_buy_shows_what_another_bench_needs_and_stays_on_its_row(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(110, 30)) as pilot:
        await watching(pilot)
        await keys(pilot, "ctrl+y", "down")
        page: Any = app.screen
        assert page.entry.row.cells[2] == "JIS P25"
        with bench_2(tmp_path) as other, other.write() as session:
            early = jobs.open_job(session, by("Bench 2"), title="Hose burst", due_on=date(2026, 11, 26))
            kits.add_need(session, by("Bench 2"), early.job_id, ring_spec("as568:215", pieces=9, title="AS568-215"))
            kits.allocate(session, by("Bench 2"), early.job_id)
        assert await until(pilot, lambda: "AS568-215" in shown(pilot)) < SOON
        await settle(pilot)
        assert page.entry.row.cells[2] == "JIS P25"
        marked = [line for line in shown(pilot).splitlines() if line.startswith(" •")]
        assert ["Hose burst" in marked[0], "AS568-215" in marked[1]] == [True, True]
        assert len(marked) == 2


async def test_find_shows_an_item_that_another_bench_added(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(110, 30)) as pilot:
        await watching(pilot)
        await keys(pilot, "ctrl+f", "down")
        page: Any = app.screen
        here = page.hit.name
        with bench_2(tmp_path) as other, other.write() as session:
            items.add(session, by("Bench 2"), kind=Kind.CONSUMABLE, name="Absorbent, bag")
        assert await until(pilot, lambda: "Absorbent, bag" in shown(pilot)) < SOON
        await settle(pilot)
        assert page.hit.name == here
        assert [line[:10] for line in shown(pilot).splitlines() if "Absorbent" in line] == [" •● ours   "[:10]]


def test_what_was_done_is_said_by_its_kind_and_never_as_more_than_is_known() -> None:
    row = StockRow(1, 1, "Rags", Kind.CONSUMABLE, None, "", Unit.EACH, 1, "C1", "", None, 12, 4, 8)
    bare = row._replace(promised=0, free=12)
    cases = {
        "Bench 2 took 2 meanwhile: 12 free": (Move(1, -2, 0, Moved.USED, "shelf.use", "Bench 2"), bare),
        "Bench 2 took 2 meanwhile: 12 on hand, 8 free": (Move(1, -2, -2, Moved.USED, "kits.pick", "Bench 2"), row),
        "Bench 2 promised 4 to a kit meanwhile: 12 on hand, 8 free": (
            Move(1, 0, 4, Moved.PROMISED, "kits.allocate", "Bench 2"), row,
        ),
        "Bench 2 counted it meanwhile: 12 on hand, 12 free": (
            Move(1, -3, 0, Moved.COUNTED, "shelf.count", "Bench 2"), bare,
        ),
        "Bench 2 moved 3 meanwhile: 12 free": (Move(1, -3, 0, Moved.COUNTED, "shelf.move", "Bench 2"), bare),
        "Others changed it meanwhile: 12 free": (Move(1, -1, 0, None, "", ""), bare),
        "tess, in another program, booked 5 in meanwhile: 12 free": (
            Move(1, 5, 0, Moved.RECEIVED, "shelf.receive", "tess"), bare,
        ),
    }  # fmt: skip
    for said, (move, now) in cases.items():
        assert told(move, now, "tess") == said


@given(
    st.dictionaries(st.integers(0, 6), st.integers(0, 2)),
    st.dictionaries(st.integers(0, 6), st.integers(0, 2)),
    st.lists(st.integers(0, 6)),
)
def test_a_mark_stands_on_what_changed_until_the_cursor_has_been_there(
    before: dict[int, int], after: dict[int, int], walk: list[int]
) -> None:
    marks = Marks()
    fresh = marks.took(before, after)
    assert fresh == {key for key in after if key not in before or before[key] != after[key]}
    for key in walk:
        marks.at(key)
    seen = {one for one, following in pairwise(walk) if following != one}
    for key in after:
        assert (marks.on(Row(()), key, plain=False).mark == "•") == (key in fresh - seen)
