"""Receive with a lot, use, scrap, the count round, reorder points and boxes, driven by keys; each change undone."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from textual import events
from textual.widgets import Input, Static

from models import shelf
from models.inventory import assortments, bins, reorder_rules
from tests.models.shop import act
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.scanner import scan
from tests.tui.seed import NOON
from tui.app import KitwrightApp
from tui.screens.shelf.round import RoundScreen
from tui.sheets.bin_code import bin_code
from tui.widgets.answer_band import AnswerBand


def said(app: KitwrightApp, where: str) -> str:
    """What a widget says, however it is broken into lines on screen."""
    return str(app.screen.query_one(where, Static).content)


def on_hand(app: KitwrightApp, text: str) -> int:
    (row,) = app.workshop.stock(text).rows
    return row.on_hand


async def test_receive_with_lot_and_days_use_and_scrap(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        app.workshop.open().clock = lambda: NOON
        await keys(pilot, "f5")
        assert "Esc: P use · S scrap · M move · A round · O low · F boxes · L box · N code" in shown(pilot)
        await write(pilot, "p25")
        await keys(pilot, "ctrl+r")
        for name, typed in (("quantity", "5"), ("lot", "L9"), ("cured", "30 June")):
            app.screen.query_one(f"#{name}", Input).focus()
            await settle(pilot)
            await write(pilot, typed)
        await keys(pilot, "enter")
        assert "Type the day like 2029-06-30" in shown(pilot)
        await write(pilot, "2025-06-30")
        await keys(pilot, "enter")
        assert "Received 5: O-ring JIS P25 FKM in bin C1, lot L9" in toasts(pilot)
        (new,) = [row for row in app.workshop.stock("p25").rows if row.lot_code == "L9"]
        # ISO 2230 puts fluorocarbon rubber in group C: ten years from cure before it must be looked at.
        assert new.expires_on == date(2035, 6, 30)
        await keys(pilot, "f9")
        assert [row.on_hand for row in app.workshop.stock("p25").rows if row.lot_code == "L9"] == [0]
        # A reason is asked for before anything is thrown away.
        await keys(pilot, "f8")
        await write(pilot, "rags")
        await keys(pilot, "escape", "s")
        assert "40 free in bin C1." in shown(pilot)
        await write(pilot, "7")
        await keys(pilot, "enter", "enter")
        assert "type a reason: it stays in the ledger" in said(app, "#reason-said")
        await write(pilot, "soaked")
        await keys(pilot, "enter")
        assert on_hand(app, "rags") == 33
        assert "soaked" in said(app, "#ledger")
        await keys(pilot, "f9", "p")
        await write(pilot, "41")
        await keys(pilot, "enter")
        assert on_hand(app, "rags") == 40
        # The form stays with the sentence, so that the number can be put right.
        assert "40 free (40 on hand, 0 promised)" in said(app, "#quantity-said")
        app.screen.query_one("#quantity", Input).value = ""
        await write(pilot, "4")
        await keys(pilot, "enter")
        assert on_hand(app, "rags") == 36
        await keys(pilot, "f9")
        assert on_hand(app, "rags") == 40


async def test_the_round_walks_every_bin_and_each_count_is_booked_at_once(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "escape", "a")
        assert isinstance(app.screen, RoundScreen)
        assert "bin B3, 1 of 3; 0 counted, 0 differ" in said(app, "#round-title")
        # Three are promised: the rule refuses fewer, and the round stands at that row with what was typed.
        await write(pilot, "1")
        await keys(pilot, "enter")
        assert "3 are promised to kits" in said(app, "#round-error")
        assert (app.focused.value, "bin B3" in said(app, "#round-title")) == ("1", True)  # type: ignore[union-attr]
        await write(pilot, "12")
        await keys(pilot, "enter")
        assert "bin C1, 2 of 3; 1 counted, 1 differ" in said(app, "#round-title")
        assert on_hand(app, "214") == 12
        await keys(pilot, "f9")
        assert "bin B3, 1 of 3; 0 counted" in said(app, "#round-title")
        assert on_hand(app, "214") == 14
        await write(pilot, "=")
        await keys(pilot, "enter", "enter")  # the second leaves the first row of C1 uncounted
        assert "How many Rags?" in said(app, "#round-asks")
        await write(pilot, "lots")
        await keys(pilot, "enter")
        assert "is not a whole number from 0 up" in said(app, "#round-error")
        await write(pilot, "38")
        await keys(pilot, "enter")
        assert "bin F2, 3 of 3; 2 counted, 1 differ" in said(app, "#round-title")
        await keys(pilot, "pageup")
        assert "bin C1" in said(app, "#round-title")
        await scan(pilot, bin_code("F2"))
        assert "bin F2" in said(app, "#round-title")
        await write(pilot, "25 gal")
        await keys(pilot, "enter")
        assert "The round is over: 3 counted, 1 differ" in said(app, "#round-title")
        assert said(app, "#round-asks") == "Rags in C1: 40 on record, 38 there"
        await keys(pilot, "enter")
        assert "38" in shown(pilot)
        rows = {row.item_name: row for row in app.workshop.stock("").rows}
        # NIST SP 811: 25 US gallons are 94.635 L, which is what the ledger had, to the microlitre.
        assert rows["Tractor fluid, drum"].on_hand == 94_635_295
        reasons = [one.reason for one in app.workshop.movements(rows["Rags"].stock_id)]
        assert reasons[0] == "count round"


async def test_a_count_of_what_moved_meanwhile_is_not_booked(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "escape", "a")
        (row,) = app.workshop.stock("rags").rows
        await keys(pilot, "pagedown", "down")
        assert "How many Rags?" in said(app, "#round-asks")
        for typed, used in (("=", 3), ("35", 2)):
            with app.workshop.open().write() as session:  # another bench
                shelf.use(session, act("Bench 2"), stock_id=row.stock_id, quantity=used)
            await write(pilot, typed)
            await keys(pilot, "enter")
            assert "moved meanwhile" in said(app, "#round-error")
            assert "How many Rags?" in said(app, "#round-asks")
        assert "now 35 on record" in said(app, "#round-error")
        assert on_hand(app, "rags") == 35
        assert "35" in shown(pilot)
        # Counted as it lies now, then counted again, then taken back one by one.
        await write(pilot, "34")
        await keys(pilot, "enter")
        await keys(pilot, "pageup", "down")
        await write(pilot, "33")
        await keys(pilot, "enter")
        assert on_hand(app, "rags") == 33
        await keys(pilot, "f9")
        assert on_hand(app, "rags") == 34
        await write(pilot, "=")
        await keys(pilot, "enter")
        assert on_hand(app, "rags") == 35
        assert "1 counted, 0 differ" in said(app, "#round-title")


async def test_to_order_boxes_and_an_opened_pail(tmp_path: Path) -> None:
    from models.inventory import items
    from models.inventory.item_figures import ItemFigures
    from models.words import Kind
    from tests.tui.seed import act

    gallon = 3_785_412
    app = make_app(tmp_path)
    with app.workshop.open().write() as session:
        rows = {row.item_name: row for row in shelf.stock_rows(session).rows}
        ring, rags = rows["O-ring AS568-214 NBR 70"], rows["Rags"]
        assortments.set_model(session, act(), ring.bin_id, {ring.item_id: 20})
        reorder_rules.set_rule(session, act(), rags.item_id, order_at=40, up_to=100, lead_days=4)
        reorder_rules.set_rule(session, act(), ring.item_id, order_at=5, up_to=20)
        pail = items.add(
            session, act(), kind=Kind.FLUID, name="Hydraulic oil, pail", spec_class="HM",
            figures=ItemFigures(container=5 * gallon),
        )  # fmt: skip
        place = bins.page(session, "F2")[0].bin_id
        shelf.receive(session, act(), item_id=pail.item_id, bin_id=place, quantity=10 * gallon)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        app.workshop.open().clock = lambda: NOON
        await keys(pilot, "f5", "escape", "o")
        text = shown(pilot)
        for words in ("To order: 1 of 2 have fallen", "○ order 60", "· enough"):
            assert words in text, words
        assert "a new order takes 4 days" in said(app, "#choices-words")
        await keys(pilot, "e")
        assert [one.value for one in app.screen.query(Input)] == ["40", "100", "4"]
        # Every field is filled already: the first Enter keeps the point.
        await write(pilot, "30")
        await keys(pilot, "enter")
        assert "above the reorder point of 30" in toasts(pilot)
        await keys(pilot, "f9", "o")
        assert "Undone: setting the reorder point." in toasts(pilot)
        assert "To order: 1 of 2 have fallen" in shown(pilot)
        await keys(pilot, "escape")
        await keys(pilot, "f")
        text = shown(pilot)
        for words in ("What is missing from 1 boxes: 1 sizes", "B3, rings by dash number", "14", "20", "6"):
            assert words in text, words
        await keys(pilot, "down", "enter")
        assert "bin B3: 1 row · F8 all" in shown(pilot)
        # Two pails of five gallons; three gallons gone from one: it says what is left of it.
        await keys(pilot, "f8", "slash")
        await write(pilot, "pail")
        await keys(pilot, "escape", "p")
        await write(pilot, "3 gal")
        await keys(pilot, "enter")
        left = "1 full of 18.93 L, one opened with 7.57 L (2.00 US gal) left of 18.93 L (5.00 US gal)"
        assert left in app.screen.query_one(AnswerBand).text
        assert "26.50 L on hand (1 full and one opened with 7.57 L)" in toasts(pilot)
        await keys(pilot, "f9")
        assert on_hand(app, "pail") == 10 * gallon


async def test_a_box_is_filled_by_one_paste_and_one_undo_empties_it(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "ctrl+l")
        await write(pilot, "Box 9")
        await keys(pilot, "enter")
        app.screen.post_message(events.Paste("item;count\nAS568-116 NBR 70;12\nP22A;8\n"))
        await settle(pilot)
        await keys(pilot, "enter")
        assert "Line 3, “P22A;8”: the rubber is missing." in " ".join(shown(pilot).replace("│", " ").split())
        app.screen.query_one("#rubber", Input).value = "NBR 70"
        # What each row is stands there before anything is booked.
        app.screen.query_one("#rows", Input).value += " "
        await settle(pilot)
        assert "2 rows, 20 pieces:" in shown(pilot)
        assert "12 × O-ring AS568-116 NBR 70 · 8 × O-ring JIS P22A" in shown(pilot)
        await keys(pilot, "enter")
        assert "Booked 2 rows, 20 pieces, into Box 9; 2 items are new. F9 takes it back." in toasts(pilot)
        assert sorted(row.on_hand for row in app.workshop.stock("box 9").rows) == [8, 12]
        await keys(pilot, "f9")
        assert app.workshop.stock("box 9").rows == ()
