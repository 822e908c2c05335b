"""Every key of Buy, pressed; the day from what is short to a ready kit."""

from __future__ import annotations

import threading
import time
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from models import jobs, shelf
from models.errors import WorkshopUnavailableError
from models.orders.planning import Proposal
from models.storage import check
from models.words import KitState
from tests.tui.buy.opened import buy_screen, buying, short_shop
from tests.tui.counter import HOSTILE, Shown, keys, settle, shown, toasts, write
from tui.buying import Buying
from tui.screens.form import Form

TAKES = 2.0
"""Seconds that a plan in a test takes which is to be stopped."""


async def ordered(pilot: Pilot[Any]) -> None:
    """Plan, accept, and mark the first order as sent."""
    await keys(pilot, "o", "enter", "enter")
    assert "Enter marks it as sent to the supplier; V shows its text." in shown(pilot)
    await keys(pilot, "enter")


def at(pilot: Pilot[Any], state: str) -> int | None:
    """The row of the first order in that state."""
    rows = enumerate(buy_screen(pilot)._entries)
    return next((i for i, one in rows if one.row.tone == "head" and one.row.cells[0].endswith(state)), None)


async def each(pilot: Pilot[Any], state: str, bin_code: str = "") -> None:
    """Enter on every order in that state, and the bin where it is asked for."""
    while (row := at(pilot, state)) is not None:
        buy_screen(pilot).rows.move_to(row)
        await keys(pilot, "enter")
        if isinstance(pilot.app.screen, Form):
            await write(pilot, bin_code)
            await keys(pilot, "enter")


VIEW_ORDER = ("short", "plan", "orders", "keep")


async def view(pilot: Pilot[Any], name: str) -> None:
    """Turn to a list."""
    at = VIEW_ORDER.index(buy_screen(pilot)._view)
    await keys(pilot, *["t"] * ((VIEW_ORDER.index(name) - at) % len(VIEW_ORDER)))


async def test_it_opens_from_a_field_and_by_its_number(tmp_path: Path) -> None:
    async with Shown(data=str(short_shop(tmp_path))).run_test() as pilot:
        await settle(pilot)
        for pressed in (["ctrl+y"], ["f2", "escape", "6"]):
            await keys(pilot, *pressed)
            assert buy_screen(pilot)


async def test_its_key_stands_on_the_top_line_at_both_sizes(tmp_path: Path) -> None:
    for size in ((80, 24), (120, 40)):
        async with Shown(data=str(tmp_path / f"{size[0]}.sqlite3")).run_test(size=size) as pilot:
            await settle(pilot)
            top = shown(pilot).splitlines()[0]
            assert "^Y Buy" in top
            assert "F10 quit" in top


async def test_short_lines_stand_under_their_jobs(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        text = shown(pilot)
        assert "Short" in text
        for word in ("Pump inlet leaks", "2026-12-04", "ring as568:116", "Gearbox refill", "25.36 L oil"):
            assert word in text, word


async def test_from_short_to_a_ready_kit(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await keys(pilot, "enter", "O")  # the seeded job is left out; a capital is its small letter
        assert "Reseal the spray pump" not in shown(pilot)
        text = shown(pilot)
        assert "the lowest possible (proven)" in text
        assert "Can't be bought" in text
        assert "! look" in text
        await keys(pilot, "enter")
        assert pilot.app.screen.name == "yes-or-no"
        assert "Have you checked that each" in shown(pilot)
        await keys(pilot, "enter")
        assert "planned" in shown(pilot)
        await keys(pilot, "enter")
        assert "○ ordered" in shown(pilot)
        await each(pilot, "planned")
        await each(pilot, "ordered", "Box 7")
        assert "Pump inlet leaks: ready" in toasts(pilot)
        workshop = pilot.app.workshop  # type: ignore[attr-defined]
        by_title = {job.title: job.state for job in workshop.jobs()}
        assert by_title["Pump inlet leaks"] is KitState.READY
        assert workshop.read(check.check).findings == ()


async def test_the_key_line_says_what_enter_does_with_each_row(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await keys(pilot, "o", "enter", "enter", "home")
        # Whichever row of a planned order is highlighted, it is the order that is sent.
        for _ in range(2):
            assert "Enter Mark as sent" in shown(pilot).splitlines()[-1]
            await keys(pilot, "down")
        await keys(pilot, "home", "enter", "home")
        order = buy_screen(pilot).entry
        assert order is not None
        assert "Enter Book in all" in shown(pilot).splitlines()[-1]
        assert f"Enter books in all that is still to come of order {order.at[0].order_id}" in shown(pilot)
        await keys(pilot, "enter")
        assert f"Receive all of order {order.at[0].order_id}" in shown(pilot)
        assert "Did less come? Esc, then Enter on its line." in " ".join(shown(pilot).replace("│", " ").split())
        await keys(pilot, "escape", "down")
        assert "Enter Book in line" in shown(pilot).splitlines()[-1]
        assert "Enter books in this line alone, or a part of it: " in shown(pilot)
        await keys(pilot, "enter")
        assert f"Receive one line of order {order.at[0].order_id}: " in shown(pilot)
        await write(pilot, "1")
        await keys(pilot, "enter")
        await write(pilot, "Box 7")
        await keys(pilot, "enter")
        assert f"Booked in. Order {order.at[0].order_id}: " in toasts(pilot)
        assert "still to come." in toasts(pilot)


async def test_a_line_is_received_in_parts_with_its_lot(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await ordered(pilot)
        pilot.app.clear_notifications()  # they would lie over the form
        lines = buy_screen(pilot)._entries
        at = next(i for i, one in enumerate(lines) if one.at[1] is not None and one.at[1].waits > 1)
        buy_screen(pilot).rows.move_to(at)
        order, line = lines[at].at
        await keys(pilot, "enter")
        form = pilot.app.screen
        assert isinstance(form, Form)
        await write(pilot, str(line.waits + 1))
        await keys(pilot, "enter")
        # More came than was ordered: what to do with it is said.
        told = " ".join(shown(pilot).replace("│", " ").split())
        assert "still to come of this line; type" in told
        assert "receive what came beyond it on the Shelf" in told
        await write(pilot, "1")
        await keys(pilot, "enter")  # it has no bin yet, so that is asked next
        await write(pilot, "Box 7")
        await keys(pilot, "tab")
        await write(pilot, "L-9")
        await keys(pilot, "tab")
        await write(pilot, "someday")
        await keys(pilot, "enter")
        assert "Type the day like 2029-06-30" in shown(pilot)
        await write(pilot, "2029-06-30")
        await keys(pilot, "enter")
        assert "part received" in shown(pilot)
        workshop = pilot.app.workshop  # type: ignore[attr-defined]
        rows = [row for row in workshop.stock("").rows if row.lot_code == "L-9"]
        assert [(row.bin_code, str(row.expires_on)) for row in rows] == [("Box 7", "2029-06-30")]
        assert Buying(workshop).order(order.order_id).lines[0].received_packs == 1


async def test_an_order_is_received_as_ordered_with_the_cure_days_on_its_bags(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await ordered(pilot)
        pilot.app.clear_notifications()
        await keys(pilot, "enter")
        order = Buying(pilot.app.workshop).orders()[0]  # type: ignore[attr-defined]
        rings = [line for line in order.lines if line.ages]
        assert [field.id for field in pilot.app.screen.query(Input)] == [
            "bin", *(f"cured-{line.line_id}" for line in rings)
        ]  # fmt: skip
        await write(pilot, "Box 7")
        await keys(pilot, "tab", "tab")
        await write(pilot, "2099-06-30")
        await keys(pilot, "enter")
        assert "A cure on 2099-06-30 lies ahead." in " ".join(shown(pilot).split())
        await write(pilot, "2026-06-30")
        await keys(pilot, "enter")
        assert "Booked in." in toasts(pilot)
        rows = {row.item_name: row for row in pilot.app.workshop.stock("box 7").rows}  # type: ignore[attr-defined]
        dated = [row for row in rows.values() if row.lot_code == "cured 2026-06-30"]
        assert [row.item_name for row in dated] == [rings[1].item_name]
        assert rows[rings[0].item_name].lot_code == ""
        # One change: one undo takes all of it off the shelf.
        await keys(pilot, "f9")
        assert not [row for row in pilot.app.workshop.stock("box 7").rows if row.on_hand]  # type: ignore[attr-defined]


async def test_f9_takes_each_step_back(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await ordered(pilot)
        await keys(pilot, "enter")
        await write(pilot, "Box 7")
        await keys(pilot, "enter", "f9")
        assert "Undone: receiving the order" in toasts(pilot)
        await keys(pilot, "z", "z")
        assert "Undone: the plan" in toasts(pilot)
        assert "Orders 0" in shown(pilot)
        workshop = pilot.app.workshop  # type: ignore[attr-defined]
        assert not workshop.read(lambda session: [row for row in shelf.stock_rows(session, "box").rows if row.on_hand])


async def test_a_key_an_arrow_or_a_click_turns_the_lists(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        for key, name in (("t", "▐Plan"), ("f12", "▐Orders"), ("right", "▐Rings"), ("t", "▐Short"), ("left", "▐Rings")):
            await keys(pilot, key)
            assert name in shown(pilot)
        await pilot.click("#views", offset=(14, 0))
        await settle(pilot)
        assert "▐Plan" in shown(pilot)


async def test_the_plan_is_worked_out_by_either_key(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        for key in ("o", "ctrl+s"):
            await view(pilot, "short")
            assert "the lowest possible (proven)" not in shown(pilot)
            await keys(pilot, key)
            assert "the lowest possible (proven)" in shown(pilot)


async def test_a_placed_plan_shows_orders_before_they_are_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with buying(tmp_path) as pilot:
        await keys(pilot, "o")
        page = buy_screen(pilot)
        # The workshop is slow to answer; what Enter does is said meanwhile.
        monkeypatch.setattr(page, "_read", lambda: None)
        await keys(pilot, "enter", "enter")
        assert page._view == "orders"
        assert page.rows.count == len(page._orders)
        page.say_next()


async def test_days_and_a_limit_of_suppliers_change_the_plan(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await keys(pilot, "o")
        with_days = buy_screen(pilot)._plan
        assert with_days is not None
        # The second supplier says no lead time, so nothing with a day comes from there.
        assert "Pump inlet leaks" not in str([one.lines for one in with_days.orders if "Second" in one.supplier])
        await pilot.app.screen.run_action("days")
        await settle(pilot)
        without = buy_screen(pilot)._plan
        assert without is not None
        assert without.total < with_days.total
        await keys(pilot, *["minus"] * 4)
        one = buy_screen(pilot)._plan
        assert one is not None
        assert (one.max_suppliers, len(one.orders)) == (1, 1)
        await keys(pilot, *["plus"] * 5)
        assert buy_screen(pilot)._max_suppliers is None


async def test_escape_stops_the_working_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[float] = []

    def slow(self: Buying, *given: object) -> Proposal:
        begun.append(time.monotonic())
        time.sleep(TAKES)
        raise AssertionError("its answer is not waited for")

    monkeypatch.setattr(Buying, "work_out", slow)
    async with buying(tmp_path) as pilot:
        await pilot.press("o")
        while not begun:
            await pilot.pause(0.02)
        await pilot.pause(0.3)
        assert "Working out the plan … " in shown(pilot)
        await pilot.press("t", "escape")  # the screen goes on meanwhile
        await pilot.pause(0.05)
        assert time.monotonic() - begun[0] < TAKES
        assert "Stopped. O works the plan out again." in shown(pilot)


async def test_a_plan_that_ends_does_not_take_the_list_one_reads_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_on, work_out = threading.Event(), Buying.work_out

    def later(self: Buying, *given: Any) -> Proposal:
        assert read_on.wait(10)
        return work_out(self, *given)

    monkeypatch.setattr(Buying, "work_out", later)
    async with buying(tmp_path) as pilot:
        await pilot.press("o", "t", "t")
        for _ in range(500):  # a letter waits a moment: a scanner might be typing
            if "▐Orders" in shown(pilot):
                break
            await pilot.pause(0.02)
        read_on.set()
        await settle(pilot)
        assert "▐Orders" in shown(pilot)
        assert "The plan is worked out. T turns to it." in toasts(pilot)
        await view(pilot, "plan")
        assert "the lowest possible (proven)" in shown(pilot)


async def test_without_the_solver_one_sentence_names_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "highspy", None)
    async with buying(tmp_path) as pilot:
        await keys(pilot, "o")
        assert "Install kitwright[buying]." in toasts(pilot)
        await view(pilot, "keep")
        assert "kitwright[buying] is not installed" in " ".join(shown(pilot).split())


async def test_a_plan_that_is_out_of_date_is_refused_in_words(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await keys(pilot, "o")
        buying_too = Buying(pilot.app.workshop)  # type: ignore[attr-defined]
        buying_too.accept(buying_too.work_out(buying_too.gather()), True)
        await keys(pilot, "enter", "enter")
        assert "by another amount by now" in toasts(pilot)


async def test_an_order_is_called_off_once_asked(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await ordered(pilot)
        before = shown(pilot).count("ordered")
        await keys(pilot, "x")
        assert "Tell the supplier." in shown(pilot)
        await keys(pilot, "escape")
        assert shown(pilot).count("ordered") == before
        await keys(pilot, "x")
        await write(pilot, "out of stock")
        await keys(pilot, "enter", "a")
        assert "× cancelled" in shown(pilot)
        await keys(pilot, "a")
        assert "× cancelled" not in shown(pilot)


async def test_an_order_is_written_for_its_supplier(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await ordered(pilot)
        for turns, start in enumerate((b"%PDF-", b"sku,name,packs", b"Order from ")):
            await keys(pilot, "v")
            assert "Goods" in shown(pilot)
            await keys(pilot, *["e"] * turns, "enter")
            await write(pilot, str(tmp_path / str(turns)))
            await keys(pilot, "enter")
            assert (tmp_path / str(turns)).read_bytes().startswith(start)
            await keys(pilot, "escape")
            assert buy_screen(pilot)


async def test_rings_to_keep_by_share(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await view(pilot, "keep")
        first = buy_screen(pilot)._keeping
        assert first is not None
        assert "100 %│" in shown(pilot)
        await keys(pilot, "minus", "minus", "minus", "minus", "minus", "minus", "minus", "minus")
        less = buy_screen(pilot)._keeping
        assert less is not None
        assert len(less.keep) < len(first.keep)
        await keys(pilot, "plus")
        assert "To cover 55 %" in shown(pilot)


async def test_what_does_not_apply_says_so(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await view(pilot, "plan")
        await keys(pilot, "enter")
        assert "There is nothing to accept" in toasts(pilot)
        await view(pilot, "orders")
        for key in ("enter", "v", "x"):
            await keys(pilot, key)
        assert toasts(pilot).count("Highlight an order.") == 2
        assert "Cancel order: highlight the order first." in toasts(pilot)


async def test_an_empty_workshop_says_what_each_list_is_for(tmp_path: Path) -> None:
    async with buying(tmp_path, empty=True) as pilot:
        for name, words in (
            ("short", "Nothing is short"), ("plan", "No plan yet"), ("orders", "No order is open"),
            ("keep", "No position has a fit"),
        ):  # fmt: skip
            await view(pilot, name)
            assert words in shown(pilot)
        await view(pilot, "short")
        await keys(pilot, "o")
        assert "Nothing is short." in shown(pilot)


async def test_hostile_words_are_only_words(tmp_path: Path) -> None:
    file = short_shop(tmp_path)
    app = Shown(data=str(file))
    async with app.run_test(notifications=True) as pilot:
        await settle(pilot)
        for text in (one for one in HOSTILE if one.isprintable() and len(one) < 200):
            app.workshop.change(lambda session, act, text=text: jobs.open_job(session, act, title=text))  # type: ignore[misc]
        await keys(pilot, "ctrl+y", "o", "enter", "enter", "enter", "enter")
        assert isinstance(app.screen, Form)
        await write(pilot, "[/foo] x")
        await keys(pilot, "enter")
        assert "Booked in." in toasts(pilot)


async def test_forty_columns_lose_nothing_that_was_typed(tmp_path: Path) -> None:
    async with buying(tmp_path) as pilot:
        await ordered(pilot)
        await keys(pilot, "enter")
        await write(pilot, "Box 7")
        await pilot.resize_terminal(40, 24)
        await settle(pilot)
        assert pilot.app.screen.query_one("#bin", Input).value == "Box 7"


async def test_what_could_not_be_read_is_neither_reading_for_ever_nor_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away(*_: object, **__: object) -> None:
        raise WorkshopUnavailableError("The server is away.", "Wait.")

    with monkeypatch.context() as patch:
        patch.setattr(Buying, "orders", away)
        async with buying(tmp_path) as pilot:
            await view(pilot, "orders")
            assert "The workshop could not be read." in shown(pilot)
            assert "No order is open" not in shown(pilot)
            patch.setattr(Buying, "shorts", away)
            buy_screen(pilot).action_refresh()
            await settle(pilot)
            for name in ("short", "orders"):
                await view(pilot, name)
                assert "The workshop could not be read." in shown(pilot)
                assert "Reading" not in shown(pilot)
            patch.undo()
            buy_screen(pilot).action_refresh()
            await settle(pilot)
            assert "No order is open" in shown(pilot)
