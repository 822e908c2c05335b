"""Find: what is typed narrows a list of any length, drawn from blocks."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from models.search.found import Hit, How, Page, Where
from tests.tui.counter import HOSTILE, keys, settle, shown, toasts, write
from tests.tui.find.opened import find, with_list
from tui.screens.choose_job import ChooseJob
from tui.screens.find.screen import FindScreen
from tui.screens.find.window import BLOCK, MOST_BLOCKS, MOST_WANTED, HitWindow

RINGS = ("R-1;ORING 24,99X3,53 N70;0,45;1", "R-2;[/foo] x ORING 24,6X3,55;1,20;1", "H-9;HYD OIL 5GAL;88,00;1")


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_everything_is_listed_first_and_words_narrow_it(tmp_path: Path, size: tuple[int, int]) -> None:
    app = with_list(tmp_path, 30, extra=RINGS)
    async with app.run_test(size=size, notifications=True, tooltips=True) as pilot:
        await find(pilot)
        assert isinstance(app.screen, FindScreen)
        for words in ("37 rows", "O-ring AS568-214 NBR 70", "● ours", "Load a list", "Find"):
            assert words in shown(pilot)
        await write(pilot, "hyd oil")
        assert "1 row" in shown(pilot)
        assert "HYD OIL 5GAL" in shown(pilot)
        assert "88.00 EUR" in shown(pilot)
        assert "North Valley Supply" in shown(pilot)


async def test_a_ring_is_found_by_its_dimensions_and_says_how_sure_its_reading_is(tmp_path: Path) -> None:
    app = with_list(tmp_path, 5, extra=RINGS)
    async with app.run_test(size=(120, 40)) as pilot:
        await find(pilot)
        # AS568-214 is 24.99 × 3.53 mm (SAE AS568).
        await write(pilot, "3.53 x 25 nbr")
        text = shown(pilot)
        assert text.index("O-ring AS568-214") < text.index("ORING 24,99X3,53 N70")
        await keys(pilot, "down")
        assert "read as AS568-214 NBR 70, 80 % sure; check it before you buy" in shown(pilot)
        assert "check it before you buy" in shown(pilot)
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChooseJob)
        await keys(pilot, "enter")
        assert "AS568-214" in toasts(pilot)


async def test_a_seven_typed_into_a_field_stays_there_and_opens_find_from_a_list(tmp_path: Path) -> None:
    app = with_list(tmp_path, 3)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "7")
        assert app.current_mode == "shelf"
        await keys(pilot, "escape", "7")
        assert app.current_mode == "find"
        await keys(pilot, "7", "W")
        assert app.screen.query_one("#find-text", Input).value == "7W"
        # Emptied from the list, the field takes what is typed next.
        for area, name in (("find", "#find-text"), ("shelf", "#search"), ("catalog", "#filter")):
            await keys(pilot, {"find": "ctrl+f", "shelf": "f5", "catalog": "f3"}[area])
            await keys(pilot, "escape", "f8", *"213")
            assert (app.current_mode, app.screen.query_one(name, Input).value) == (area, "213")


async def test_what_is_no_ring_does_not_go_on_a_kit(tmp_path: Path) -> None:
    app = with_list(tmp_path, 5, extra=RINGS)
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        await write(pilot, "hyd")
        # Enter is not offered where it does nothing, and what is next says so.
        assert "Next: no ring: put it on a job in Kits (F4), and Buy (^Y) orders it" in shown(pilot)
        assert "Put on a kit" not in shown(pilot)
        await keys(pilot, "enter")
        assert toasts(pilot) == ""
        # An item of our own has no number that could begin so.
        await write(pilot, "tract")
        assert "found: by its words" in shown(pilot)
        assert "Next: no ring: F4 Kits puts it on a job" in shown(pilot)


async def test_enter_right_after_the_last_letter_takes_the_answer_to_that_letter(tmp_path: Path) -> None:
    app = with_list(tmp_path, 3, extra=RINGS)
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        assert app.screen.hit.size_key != "jis:P25"  # type: ignore[attr-defined]
        await pilot.press(*"jis p25", "enter")
        await settle(pilot)
        assert "JIS P25: for which job?" in shown(pilot)


async def test_any_text_is_searched_for_as_it_is(tmp_path: Path) -> None:
    app = with_list(tmp_path, 3, extra=RINGS)
    async with app.run_test(size=(80, 24), notifications=True, tooltips=True) as pilot:
        await find(pilot)
        for text in HOSTILE:
            await write(pilot, text)
            assert isinstance(app.screen, FindScreen)
            await keys(pilot, "f8")
            assert "10 rows" in shown(pilot)


async def test_the_last_of_many_rows_is_drawn_without_the_ones_between(tmp_path: Path) -> None:
    app = with_list(tmp_path, 3000)
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        await keys(pilot, "escape", "G")
        await settle(pilot)
        assert "V-0002999" in shown(pilot)
        assert len(app.screen._window._blocks) <= 3  # type: ignore[attr-defined]
        await keys(pilot, "g")
        assert "O-ring AS568-214" in shown(pilot)


async def test_a_search_with_many_hits_says_more_and_goes_on_when_its_end_is_near(tmp_path: Path) -> None:
    app = with_list(tmp_path, 700)
    async with app.run_test(size=(80, 24)) as pilot:
        await find(pilot)
        await write(pilot, "valve cap")
        assert "more than 200" in shown(pilot)
        await keys(pilot, "escape")
        for _ in range(6):
            await keys(pilot, "G")
        assert "700 rows" in shown(pilot)
        assert "V-0000699" in shown(pilot)


def hit(number: int) -> Hit:
    return Hit(Where.LIST, number, How.LISTED, str(number), "", "", None, 1, "", 1, "each", None, "", None, None, "")


def page(block: int, total: int, *, more: bool = False) -> Page:
    rows = range(block * BLOCK, min(total, (block + 1) * BLOCK))
    return Page(tuple(hit(number) for number in rows), total, more)


def test_a_million_rows_hold_no_more_than_a_few_blocks() -> None:
    window = HitWindow("")
    window.put(0, page(0, 1_000_000))
    assert window.row(999_999) is None
    assert window.wanted == [4999]
    for block in range(200):
        window.put(block, page(block, 1_000_000))
    assert len(window._blocks) == MOST_BLOCKS
    assert window.total == 1_000_000
    found = window.row(199 * BLOCK + 7)
    assert found is not None
    assert found.row_id == 199 * BLOCK + 7


def test_a_fast_scroll_wants_only_what_it_saw_last() -> None:
    window = HitWindow("")
    window.put(0, page(0, 1_000_000))
    for index in range(0, 100_000, BLOCK):
        window.row(index + BLOCK)
    assert len(window.wanted) == MOST_WANTED
    assert window.wanted[-1] == 100_000 // BLOCK


def test_the_count_never_claims_more_than_is_known() -> None:
    window = HitWindow("cap")
    window.put(0, page(0, BLOCK, more=True))
    assert window.said() == "more than 200"
    assert window.near_end(BLOCK - 1)
    assert window.wanted == [1]
    window.put(1, page(1, BLOCK + 30))
    assert (window.said(), window.wanted) == ("230 rows", [])
    assert not window.near_end(229)


def test_where_the_search_looks_no_further_it_is_not_asked_again() -> None:
    window = HitWindow("cap")
    for block in range(50):
        window.put(block, page(block, (block + 1) * BLOCK, more=True))
    assert window.near_end(9_999)
    window.put(50, Page((), 10_000, True))
    assert (window.said(), window.total) == ("more than 10,000", 10_000)
    assert not window.near_end(9_999)
    assert window.wanted == []
