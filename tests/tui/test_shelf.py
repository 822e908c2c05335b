"""The Shelf, driven by keys."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input, Static

from models import kits
from models.inventory import arrivals, items
from models.words import Kind
from tests.tui.counter import HOSTILE, STORABLE, Shown, keys, make_app, settle, shown, toasts, write
from tests.tui.seed import seed
from tui.screens.form import Form
from tui.screens.shelf.lines import bar
from tui.screens.shelf.receive import NEW, ReceiveForm
from tui.workshop import MOST_ROWS, Workshop


async def test_the_shelf_lists_bins_by_code_with_free_and_promised(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        lines = shown(pilot).splitlines()
        rows = [line.split() for line in lines[6:10]]
        assert [row[0] if row[0] != "▸" else row[1] for row in rows] == ["B3", "C1", "C1", "F2"]
        assert "O-ring AS568-214 NBR 70" in lines[6]
        assert lines[1].startswith(" OK  O-ring AS568-214 NBR 70 in bin B3: 14 on hand, 11 free, 3 promised.")
        assert "received  +14 on hand" in shown(pilot)
        # What lies there for kits alone is not called fine.
        await keys(pilot, "down")
        assert " ALL PROMISED  O-ring JIS P25 FKM in bin C1, lot L7: 2 on hand, all promised." in shown(pilot)


async def test_on_an_empty_shelf_letters_are_keys(sqlite_workshop: Path) -> None:
    app = Shown(data=str(sqlite_workshop))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        assert "R books a delivery in, L a whole box by one paste." in " ".join(shown(pilot).split())
        await keys(pilot, "l")
        assert isinstance(app.screen, Form)
        await keys(pilot, "escape", "r")
        assert isinstance(app.screen, ReceiveForm)


def test_the_first_rows_are_those_that_the_shelf_gives_and_come_only_while_nothing_is_open(tmp_path: Path) -> None:
    workshop = Workshop(str(seed(tmp_path / "workshop.sqlite3")), demo=False)
    first = workshop.first_stock()
    assert first is not None
    assert len(first.rows) == first.total == 4
    assert first == workshop.stock("")
    assert workshop.first_stock() is None
    workshop.close()


@pytest.mark.parametrize(
    ("data", "demo"),
    [("nowhere.sqlite3", False), ("mysql://shop", False), ("~nobody-here/x", False), (None, False), (None, True)],
)
def test_where_nothing_can_be_seen_the_ordinary_way_is_taken(
    data: str | None, demo: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, own_folders: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    assert Workshop(data, demo).first_stock() is None
    assert not own_folders.exists()
    assert not list(tmp_path.iterdir())


def test_an_empty_shelf_is_left_to_the_ordinary_way(sqlite_workshop: Path) -> None:
    """It may be a demo that was never filled."""
    assert Workshop(str(sqlite_workshop), demo=True).first_stock() is None


async def test_search_as_you_type(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        expected = {"fkm": 1, "ring": 2, "C1": 2, "ring b3": 1, "utto": 1, "214": 1, "nothing": 0}
        for typed, found in expected.items():
            await write(pilot, typed)
            assert app.screen.rows.count == found  # type: ignore[attr-defined]
            assert f"{found} row{'s' * (found != 1)}" in shown(pilot)
        await keys(pilot, "f8")
        assert app.screen.rows.count == 4  # type: ignore[attr-defined]


async def test_a_hostile_search_finds_nothing_and_says_so(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True, tooltips=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        for text in HOSTILE:
            await write(pilot, text)
            # Accents fold away and a control character parts words, so these three look for plain letters.
            plain = text in ("e\u0301\u0301", "a\x00b", "a\nb")
            assert (app.screen.rows.count == 0) != plain, repr(text)  # type: ignore[attr-defined]
            assert ("Nothing found. F8 clears the search." in shown(pilot)) != plain


async def test_count_and_undo(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "enter")
        assert isinstance(app.screen, Form)
        assert "On record: 14, 3 of them promised." in shown(pilot)
        await write(pilot, "12")
        await keys(pilot, "enter")
        assert "Counted O-ring AS568-214 NBR 70 in bin B3: 12 on hand, 9 free (−2, fewer than was on record)" in toasts(
            pilot
        )
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 12
        await keys(pilot, "f9")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14


async def test_a_count_below_what_is_promised_is_refused_in_words(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "enter")
        await write(pilot, "1")
        await keys(pilot, "enter")
        # The form stays with the sentence under the field and what was typed.
        assert "3 are promised to kits" in str(app.screen.query_one("#quantity-said", Static).content)
        assert app.screen.query_one("#quantity", Input).value == "1"
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14


async def test_count_a_fluid_in_the_unit_at_hand(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        await write(pilot, "utto")
        await keys(pilot, "enter")
        await write(pilot, "20 gal")
        await keys(pilot, "enter")
        # NIST SP 811, B.8: one US gallon is 3.785 411 784 L.
        assert app.workshop.stock("utto").rows[0].on_hand == 75_708_236


async def test_receive_into_a_known_bin_needs_only_the_amount(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", *"214", "ctrl+r")
        assert isinstance(app.screen, ReceiveForm)
        await pilot.press(*"10", "enter")
        await settle(pilot)
        assert "Received 10: O-ring AS568-214 NBR 70 in bin B3: 24 on hand" in toasts(pilot)
        await keys(pilot, "f9")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14


async def test_where_nobody_looked_for_the_highlighted_row_another_name_is_typed_over_it(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "ctrl+r")
        assert app.screen.query_one("#item", Input).value == "O-ring AS568-214 NBR 70"
        # Its bin is offered, and written over in the same way.
        await keys(pilot, *"Rags", "enter", *"C1", "enter", "8", "enter")
        assert app.workshop.stock("rags").rows[0].on_hand == 48
        # It is highlighted since, and nobody looked for it: two Enters take it, its bin comes with it.
        await keys(pilot, "ctrl+r", "enter", "2", "enter")
        assert app.workshop.stock("rags").rows[0].on_hand == 50
        # The arrows have looked for it: only the amount is asked.
        await keys(pilot, "up", "down", "ctrl+r", "3", "enter")
        assert app.workshop.stock("rags").rows[0].on_hand == 53


async def test_receive_something_new_named_by_its_size_makes_a_ring_and_a_bin(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        await write(pilot, "nothing here")
        await keys(pilot, "ctrl+r")
        # The rubber is asked for, for the name does not say it.
        await pilot.press(*"AS568-116", "enter", *"fkm 75", "enter", *"Z9", "enter", *"5", "enter")
        await settle(pilot)
        row = app.workshop.stock_of_sizes(["as568:116"])[0]
        assert (row.bin_code, row.on_hand, row.kind, row.rubber) == ("Z9", 5, "ring", "FKM")
        await keys(pilot, "f9")
        assert app.workshop.stock_of_sizes(["as568:116"]) == ()
        assert app.workshop.read(lambda session: arrivals.bin_called(session, "Z9").known) is False


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_what_a_new_name_is_is_said_while_it_is_typed_and_only_the_rest_is_asked(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        await write(pilot, "nothing here")
        await keys(pilot, "ctrl+r")
        await write(pilot, "UTTO oil, pail 20 L")
        await settle(pilot)
        assert "a fluid UTTO, counted by volume, 20.00 L in one" in " ".join(shown(pilot).replace("│", " ").split())
        asked = {one for one in NEW if not app.screen.query_one(f"#row-{one}").has_class("spare")}
        assert asked == set()
        for name, wanted in (("Brake cleaner 5 L", {"kind", "counted"}), ("O-ring, blue", {"size", "rubber"})):
            app.screen.query_one("#item", Input).value = name
            await settle(pilot)
            asked = {one for one in NEW if not app.screen.query_one(f"#row-{one}").has_class("spare")}
            assert asked == wanted
        # A size that is none is said at once, and nothing is lost.
        await keys(pilot, "enter")
        await write(pilot, "no such size")
        await keys(pilot, "enter")
        assert "no standard size" in shown(pilot)
        assert app.screen.query_one("#item", Input).value == "O-ring, blue"
        app.screen.query_one("#size", Input).value = "P22"
        await keys(pilot, "enter", "enter")
        await write(pilot, "Z9")
        await keys(pilot, "enter")
        await write(pilot, "12")
        await keys(pilot, "enter")
        row = app.workshop.stock_of_sizes(["jis:P22"])[0]
        assert (row.item_name, row.rubber, row.on_hand) == ("O-ring, blue", "", 12)


async def test_two_pails_are_said_as_two_pails_and_understood_while_they_are_typed(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        await write(pilot, "nothing here")
        await keys(pilot, "ctrl+r")
        await write(pilot, "UTTO oil, pail 20 L")
        await keys(pilot, "enter", *"Rack", "enter")
        await write(pilot, "2 pails of 20 L")
        await settle(pilot)
        news = app.screen.query_one("#receive-news", Static)
        assert str(news.content).splitlines()[-1].endswith(": 2 full, 20.00 L in each")
        assert "= 40.00 L (42.27 US qt, 10.57 US gal)" in str(news.content)
        assert "= 40.00 L" in shown(pilot)
        await write(pilot, "2 x")
        await settle(pilot)
        assert str(news.content).splitlines()[-1].endswith(": 2 full, 20.00 L in each")
        await keys(pilot, "enter")
    assert app.workshop.stock("pail").rows[0].on_hand == 40_000_000


async def test_the_class_that_a_kit_waits_for_is_offered_for_a_new_filter(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    spec = kits.NeedSpec(Kind.FILTER, spec_class="spin-on 1-12 UNF, 10 µm", title="return element")
    app.workshop.change(lambda session, act: kits.add_need(session, act, 1, spec))
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        await write(pilot, "nothing here")
        await keys(pilot, "ctrl+r")
        await write(pilot, "Return filter, black")
        await keys(pilot, "enter")
        assert "A kit waits for “spin-on 1-12 UNF, 10 µm”" in " ".join(shown(pilot).replace("│", " ").split())
        # The bin comes next, whatever the item is; its class is asked last.
        await keys(pilot, *"F1", "enter", "1", "enter", "down", "enter")
    assert app.workshop.stock("Return filter").rows[0].bin_code == "F1"
    app.workshop.change(lambda session, act: kits.allocate(session, act, 1))
    row = app.workshop.kit(1).needs[-1]
    assert [line.item_name for line in row.lines] == ["Return filter, black"]


async def test_an_item_beyond_the_cut_list_is_known_and_what_a_new_name_makes_is_said_first(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    many = [items.NewItem(Kind.CONSUMABLE, f"A {number:03}") for number in range(MOST_ROWS + 1)]
    app.workshop.change(lambda session, act: items.add_many(session, act, many))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        oil = app.workshop.stock("tractor").rows[0]
        await keys(pilot, "f5")
        await write(pilot, "nothing here")
        await keys(pilot, "ctrl+r")
        assert oil.item_name not in app.screen._known["item"]  # type: ignore[attr-defined]
        await write(pilot, "TRACTOR  fluid, drum")
        await keys(pilot, "enter")
        await write(pilot, "f2")
        await keys(pilot, "enter")
        await write(pilot, "20 drums")
        await keys(pilot, "enter")
        assert "! " in shown(pilot)
        assert "Makes a new" not in shown(pilot)
        # What was wrong in one field is not said in another.
        await keys(pilot, "tab")
        assert "! " not in shown(pilot)
        await keys(pilot, "shift+tab")
        await write(pilot, "20 L")
        await keys(pilot, "enter")
        assert app.workshop.stock("tractor").rows[0].on_hand == oil.on_hand + 20_000_000
        assert app.workshop.read(lambda session: items.page(session).total) == MOST_ROWS + 5
        await keys(pilot, "ctrl+r")
        for item, place, news in (
            ("Ragz", "C9", ("Makes a new item: Ragz, a consumable, counted in pieces. Did you mean Rags?",
                            "Makes a new bin: C9.")),
            ("AS568-116", "zz", ("Makes a new item: AS568-116, a ring AS568-116.", "Makes a new bin: zz.")),
        ):  # fmt: skip
            app.screen.query_one("#item", Input).value = item
            app.screen.query_one("#bin", Input).value = place
            app.screen.query_one("#quantity", Input).focus()
            await settle(pilot)
            said = str(app.screen.query_one("#receive-news", Static).content)
            assert all(line in said for line in news), said
            assert news[0][:30] in shown(pilot)


async def test_an_offer_is_taken_with_the_arrow(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        await write(pilot, "nothing here")
        await keys(pilot, "ctrl+r")
        await pilot.press(*"fkm", "down", "enter", *"c1", "enter", *"3", "enter")
        await settle(pilot)
        assert "Received 3: O-ring JIS P25 FKM in bin C1" in toasts(pilot)


async def test_a_form_says_what_is_missing_and_keeps_the_rest(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "down", "up", "ctrl+r")
        await write(pilot, "lots")
        await keys(pilot, "enter")
        assert isinstance(app.screen, ReceiveForm)
        assert "is not a whole number from 1 up" in shown(pilot)
        assert "lots" in shown(pilot)
        await keys(pilot, "escape")
        assert app.workshop.stock("").total == 4


async def test_hostile_names_are_stored_and_shown_as_they_are(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40), notifications=True, tooltips=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        for number, name in enumerate(STORABLE, 1):
            await write(pilot, "nothing here")
            await keys(pilot, "ctrl+r")
            await write(pilot, name)
            await keys(pilot, "enter")
            while app.screen.focused is not None and app.screen.focused.id in NEW:
                await keys(pilot, "enter")
            await write(pilot, name)
            await keys(pilot, "enter")
            await write(pilot, "5")
            await keys(pilot, "enter", "f8")
            assert app.workshop.stock("").total == 4 + number
            if name.isascii():
                assert name in shown(pilot)


def test_the_bar_tells_free_from_promised_by_glyph() -> None:
    assert bar(10, 0, 10) == "█" * 10
    assert bar(5, 5, 10) == "█" * 5 + "▒" * 5
    assert bar(0, 1, 100) == "▒"
    assert bar(0, 0, 10) == "empty"
    assert bar(5, 5, 10, plain=True) == "#####/////"
