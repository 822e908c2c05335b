"""Kits, driven by keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.counter import STORABLE, keys, make_app, settle, shown, toasts, write
from tui.screens.kits.lines import whole_parts


async def test_jobs_and_the_first_kit_are_shown_with_have_and_short_in_words(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4")
        text = shown(pilot)
        assert "Reseal the spray pump" in text
        assert " SHORT 1 " in text
        assert " Reseal the spray pump on Sprayer 2, due 2026-11-27" in text
        assert "27 Nov" in text
        for line in ("AS568-214, 1 spare", "● have", "○ SHORT"):
            assert line in text


async def test_another_job_shows_its_kit_and_enter_goes_to_its_lines(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down")
        assert " NO NEEDS YET  Loader lift valve weeps" in shown(pilot)
        assert "X closes it" in shown(pilot)
        # A hint that does not fit whole is left out.
        assert [whole_parts("A: one · B: two · C", room) for room in (19, 18, 6, 1)] == [
            "A: one · B: two · C", "A: one · B: two", "A: one", "A: one",
        ]  # fmt: skip
        assert "Nothing on this kit." in shown(pilot)
        await keys(pilot, "up", "enter")
        assert app.screen.focused.id == "lines"  # type: ignore[union-attr]
        await keys(pilot, "escape")
        assert app.screen.focused.id == "jobs"  # type: ignore[union-attr]


async def test_release_look_again_and_undo(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        job = app.workshop.jobs()[0].job_id
        await keys(pilot, "f4", "enter", "down", "d")
        assert "Released 3 O-ring AS568-214 NBR 70: it is free again." in toasts(pilot)
        assert app.workshop.kit(job).needs[0].missing == 3
        await keys(pilot, "f")
        assert app.workshop.kit(job).needs[0].missing == 0
        await keys(pilot, "f9")
        assert app.workshop.kit(job).needs[0].missing == 3
        await keys(pilot, "f9")
        assert app.workshop.kit(job).needs[0].missing == 0
        assert "Undone: the release." in toasts(pilot)


async def test_pick_takes_stock_off_the_shelf_and_undo_puts_it_back(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "enter", "down", "p")
        assert "✓ picked" in shown(pilot)
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 11
        await keys(pilot, "f9")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14


async def test_p_on_a_job_picks_all_of_it_and_one_undo_puts_it_back(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "p")
        assert "Picked 2 lines. Not all there: JIS P25. F9 takes it back." in toasts(pilot)
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 11
        await keys(pilot, "f9")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14
        # From the lines by the other key; a job that has nothing promised says so.
        await keys(pilot, "enter", "a", "escape", "down", "p")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 11
        assert "Nothing is promised to “Loader lift valve weeps” that waits to be picked." in toasts(pilot)


async def test_what_a_jobs_parts_cost_stands_on_screen_and_on_its_sheet(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "dollar_sign")
        text = shown(pilot)
        for words in (
            "cost of parts",
            "Parts: no price is known.",
            "No price known: O-ring AS568-214",
            "3 O-ring AS568-214 NBR 70: no price known",
        ):
            assert words in text, words
        await keys(pilot, "escape", "v", "end")
        assert "Cost of parts" in shown(pilot)
        await keys(pilot, "escape", "down", "dollar_sign")
        assert "Nothing is picked or promised yet" in shown(pilot)


async def test_a_line_in_another_state_is_refused_in_words(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "enter", "b")
        assert "Highlight a line that says “picked” to put it back." in toasts(pilot)
        await app.screen.run_action("operate('unpin', 'kit')")
        await settle(pilot)
        assert "Highlight a line that says “have” or “pinned” to unpin it." in toasts(pilot)
        await keys(pilot, "down", "b")
        await app.screen.run_action("operate('unpin', 'kit')")
        await settle(pilot)
        assert "This line was not pinned by hand." in toasts(pilot)
        # The row says which deed a key means: of what lies promised another amount, of a need another number.
        page = app.screen
        assert app._check_action_state("operate('release', 'kit')", page)
        assert not app._check_action_state("operate('strike', 'kit')", page)
        assert not app._check_action_state("operate('due', 'job')", page)
        await keys(pilot, "up")
        assert app._check_action_state("operate('strike', 'kit')", page)
        assert app._check_action_state("operate('change', 'kit')", page)
        assert not app._check_action_state("operate('pick-amount', 'kit')", page)


async def test_strike_a_need_and_undo(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        job = app.workshop.jobs()[0].job_id
        await keys(pilot, "f4", "enter", "delete")
        assert [need.title for need in app.workshop.kit(job).needs] == ["JIS P25"]
        await keys(pilot, "f9")
        assert [need.title for need in app.workshop.kit(job).needs] == ["AS568-214", "JIS P25"]


@pytest.mark.parametrize("title", ["Reseal the lift", *STORABLE])
async def test_open_a_job_under_any_title(tmp_path: Path, title: str) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40), notifications=True, tooltips=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "n")
        assert app.screen.name == "new-job"
        await write(pilot, title)
        await keys(pilot, "enter")
        assert len(app.workshop.jobs()) == 3
        assert app.screen.job.title == app.workshop.jobs()[-1].title  # type: ignore[attr-defined]


async def test_escape_opens_no_job(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "n")
        await write(pilot, "something")
        await keys(pilot, "escape")
        assert len(app.workshop.jobs()) == 2


@pytest.mark.parametrize(("answer", "left"), [("escape", 2), ("enter", 1)])
async def test_closing_a_job_asks_first_and_can_be_undone(tmp_path: Path, answer: str, left: int) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        # Keys are shown as capitals; with Shift or Caps Lock they do the same.
        await keys(pilot, "f4", "x" if answer == "enter" else "X")
        assert app.screen.name == "close-job"
        await keys(pilot, answer)
        assert len(app.workshop.jobs()) == left
        await keys(pilot, "f9")
        assert len(app.workshop.jobs()) == 2


async def test_what_another_area_changed_is_there_when_the_area_opens_again(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "f2")
        app.workshop.open_job("From elsewhere")
        await keys(pilot, "f4")
        assert "From elsewhere"[:12] in shown(pilot)


async def test_a_resize_keeps_the_job_and_the_line(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "enter", "down", "down")
        await pilot.resize_terminal(80, 24)
        await settle(pilot)
        assert app.screen.rows.cursor == 2  # type: ignore[attr-defined]
        assert app.screen.focused.id == "lines"  # type: ignore[union-attr]
