"""Every key of the area, pressed; and what is open to the palette and to help."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.binding import Binding
from textual.widgets import Input

from tests.tui.counter import keys, make_app, shown, toasts
from tests.tui.judge.opened import LARGE, LETTERS, bench, fill, judge_screen, judging, panel, screen_text, settle
from tui.app import KitwrightApp
from tui.screens.judge.bench import Bench
from tui.screens.judge.screen import SUBJECTS, JudgeScreen


async def test_f11_opens_it_from_every_area(tmp_path: Path) -> None:
    app = KitwrightApp(data=str(tmp_path / "w.sqlite3"))
    async with app.run_test() as pilot:
        for area in ("f2", "f3", "f4", "f5"):
            await pilot.press(area)
            await settle(pilot)
            await pilot.press("f11")
            await settle(pilot)
            assert isinstance(app.screen, JudgeScreen), area
            assert bench(pilot).id == "element"


async def test_alt_with_a_letter_opens_its_thing_with_the_focus_in_a_field(tmp_path: Path) -> None:
    async with judging(tmp_path) as pilot:
        for name, letter in LETTERS.items():
            await pilot.press("escape", f"alt+{letter}")
            await settle(pilot)
            assert bench(pilot).id == name
            assert isinstance(pilot.app.focused, Input)
            assert next(iter(bench(pilot).query(Input).results(Input))).is_on_screen
            await pilot.press("z")
            assert pilot.app.focused.value == "z", "in a field a letter is only a letter"
            await pilot.press("backspace")


async def test_alt_with_the_letter_opens_it_from_inside_a_field(tmp_path: Path) -> None:
    async with judging(tmp_path, "tables") as pilot:
        # Terminals send Alt+F and Alt+B as Ctrl+Right and Ctrl+Left, so fluid and tables have a letter more.
        for name, letter in [*LETTERS.items(), ("fill", LETTERS["fill"]), ("fluid", "l"), ("tables", "d")]:
            await pilot.press("1", f"alt+{letter}")
            await settle(pilot)
            assert bench(pilot).id == name
        assert all(set(field.value) <= {"1"} for field in judge_screen(pilot).query(Input).results(Input))


async def test_one_key_steps_through_all_and_round(tmp_path: Path) -> None:
    async with judging(tmp_path) as pilot:
        names = [subject.name for subject in SUBJECTS]
        for name in [*names[1:], names[0]]:
            await pilot.press("f12")
            await settle(pilot)
            assert bench(pilot).id == name
        await pilot.press("escape", "t")
        await settle(pilot)
        assert bench(pilot).id == names[1]


async def test_example_then_empty_then_back(tmp_path: Path) -> None:
    async with judging(tmp_path, "torque") as pilot:
        for first, again in (("insert", "f8"), ("f", "c")):
            await pilot.press(first)
            await settle(pilot)
            filled = panel(pilot).values
            assert filled["thread"] == "M16x2"
            await pilot.press(again)
            await settle(pilot)
            assert panel(pilot).values["thread"] == ""
            assert not panel(pilot).ruling.lines
            await pilot.press(again)
            await settle(pilot)
            assert panel(pilot).values == filled
            await pilot.press(again)
            if first == "insert":
                await pilot.press("escape")
            await settle(pilot)


async def test_the_example_never_overwrites(tmp_path: Path) -> None:
    async with judging(tmp_path, "torque") as pilot:
        await fill(pilot, thread="M8")
        await pilot.press("insert")
        await settle(pilot)
        assert panel(pilot).values["thread"] == "M8"
        assert "F8 empties it" in toasts(pilot)


async def test_list_or_drawing_in_a_small_window_and_both_in_a_large_one(tmp_path: Path) -> None:
    async with judging(tmp_path, "fill") as pilot:
        await pilot.press("insert")
        await settle(pilot)
        assert "Sight glass" not in screen_text(pilot)
        await pilot.press("pagedown")
        await settle(pilot)
        assert "Sight glass" in screen_text(pilot)
        assert not panel(pilot).rows.is_on_screen
        await pilot.press("pagedown")
        await settle(pilot)
        assert panel(pilot).rows.is_on_screen
        await pilot.resize_terminal(*LARGE)
        await settle(pilot)
        assert "Sight glass" in screen_text(pilot)
        assert "more to low mark" in screen_text(pilot)


async def test_why_shows_every_sentence_with_its_source(tmp_path: Path) -> None:
    async with judging(tmp_path, "torque", LARGE) as pilot:
        await pilot.press("insert")
        await settle(pilot)
        for keys in (["question_mark"], ["escape", "w"], ["enter"]):
            await pilot.press(*keys)
            await settle(pilot)
            assert pilot.app.screen.name == "reasons"
            text = screen_text(pilot)
            assert "Why this answer" in text
            assert "source: a guide to nut factors by lubricant" in text, "the publication stands there by its name"
            await pilot.press("escape")
            assert isinstance(pilot.app.screen, JudgeScreen)


async def test_arrows_move_in_the_list_from_a_field(tmp_path: Path) -> None:
    async with judging(tmp_path) as pilot:
        await pilot.press("insert")
        await settle(pilot)
        await pilot.press("down", "down", "up")
        assert panel(pilot).rows.cursor == 1
        assert panel(pilot).ruling.lines[1].name in screen_text(pilot)


async def test_enter_and_tab_go_to_the_next_field(tmp_path: Path) -> None:
    async with judging(tmp_path, "fill") as pilot:
        await pilot.press("1", "1", "enter", "1", "2", "tab", "1")
        await settle(pilot)
        values = panel(pilot).values
        assert (values["low"], values["full"], values["held"]) == ("11", "12", "1")


async def test_arrows_and_space_pick_a_word(tmp_path: Path) -> None:
    async with judging(tmp_path, "thread") as pilot:
        panel(pilot).field("wear").focus()
        await pilot.press("right")
        assert panel(pilot).values["wear"] == "worn"
        await pilot.press("space")
        await settle(pilot)  # a key that prints waits for a scanner
        assert panel(pilot).values["wear"] == "damaged"
        await pilot.press("left", "left")
        assert panel(pilot).values["wear"] == "sound"


async def test_a_click_picks_a_word_and_opens_a_thing(tmp_path: Path) -> None:
    async with judging(tmp_path, "thread") as pilot:
        await pilot.click("#ask-wear")
        assert panel(pilot).values["wear"] == "worn"
        await pilot.click("#subject", offset=(3, 0))
        await settle(pilot)
        assert bench(pilot).id == "element"


async def test_escape_goes_to_the_list_and_back_to_the_same_field(tmp_path: Path) -> None:
    async with judging(tmp_path, "fill") as pilot:
        await pilot.press("tab", "4")
        field = pilot.app.focused
        await pilot.press("escape")
        assert pilot.app.focused is panel(pilot).rows
        await pilot.press("escape")
        assert pilot.app.focused is field


async def test_the_unit_flips_what_a_bare_number_means(tmp_path: Path) -> None:
    async with judging(tmp_path, "thread") as pilot:
        await fill(pilot, diameter="0.5")
        assert panel(pilot).ruling.notes["diameter"].echo.startswith("0.5 mm")
        await pilot.press("f6")
        await settle(pilot)
        assert panel(pilot).ruling.notes["diameter"].echo.startswith("0.5 in = 12.7 mm")


async def test_help_names_every_thing(tmp_path: Path) -> None:
    async with judging(tmp_path, size=LARGE) as pilot:
        await pilot.press("f1")
        await settle(pilot)
        assert "Would this do here?" in screen_text(pilot)
    page = JudgeScreen.PAGE.read_text(encoding="utf-8")
    for subject in SUBJECTS:
        assert f"| {subject.name} |" in page


async def test_every_binding_has_id_words_and_a_way_through_the_palette(tmp_path: Path) -> None:
    mine = [one for one in JudgeScreen.BINDINGS if isinstance(one, Binding)]
    assert all(one.id and one.description and one.tooltip for one in mine)
    assert len({one.id for one in mine}) == len(mine)
    async with judging(tmp_path) as pilot:
        titles = {command.title for command in pilot.app.get_system_commands(judge_screen(pilot))}
    assert {"Next", "Example", "Picture", "Why", "Empty"} <= titles
    assert {subject.name.capitalize() for subject in SUBJECTS} <= titles


async def test_a_panel_is_made_when_it_is_first_opened(tmp_path: Path) -> None:
    async with judging(tmp_path) as pilot:
        assert [one.id for one in judge_screen(pilot).query(Bench)] == ["element"]
        await pilot.press("alt+s")
        await settle(pilot)
        assert [one.id for one in judge_screen(pilot).query(Bench)] == ["element", "fill"]


async def test_the_tables_narrow_and_turn(tmp_path: Path) -> None:
    async with judging(tmp_path, "tables") as pilot:
        await pilot.press(*"utto")
        await settle(pilot)
        assert "of 186 fluids" in screen_text(pilot)
        assert "universal tractor" in screen_text(pilot)
        await pilot.press("insert")  # there is nothing to fill in
        await pilot.press("tab", "right", "shift+tab")
        await settle(pilot)
        assert "0 of 268 threads" in screen_text(pilot)
        assert "F8 empties the filter" in screen_text(pilot)
        await pilot.press("f8")
        await settle(pilot)
        await pilot.press("m", "1", "6", "enter")
        await settle(pilot)
        assert pilot.app.screen.name == "reasons"
        assert "24 mm (ISO 4014)" in screen_text(pilot)


async def test_a_thread_leads_to_its_ports_ring_with_one_key(tmp_path: Path) -> None:
    """SAE J1926-1: the port of 7/16-20 takes a ring 8.92 × 1.83 mm (AS568-904)."""
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f11", "alt+r")
        app.screen.panel.fill({"diameter": "11.0 mm", "tpi": "20tpi"})  # type: ignore[attr-defined]
        await settle(pilot)
        assert "7/16-20" in shown(pilot)
        await keys(pilot, "ctrl+s")
        await settle(pilot)
        panel = app.screen.panel  # type: ignore[attr-defined]
        assert panel.id == "port"
        assert panel.values["diameter"] == "11.0 mm"
        assert panel.values["tpi"] == "20tpi"
        assert "904" in " ".join((*panel.ruling.says, *(line.sentence for line in panel.ruling.lines)))


async def test_an_element_asks_first_its_kind_and_then_only_its_fields(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f11", "alt+e")
        panel = app.screen.panel  # type: ignore[attr-defined]
        assert not panel.field("gasket_id").display
        assert not panel.field("first").display
        # A line without a comma says the kind as well.
        panel.field("line").answer = "cartridge 60 x 120"
        await settle(pilot)
        assert panel.field("first").display
        assert not panel.field("gasket_id").display
        panel.field("line").answer = ""
        panel.field("kind").answer = "spin-on"
        await settle(pilot)
        assert panel.field("gasket_id").display
        assert not panel.field("first").display
        # No choice is cut off: every kind is in sight at once.
        assert all(kind in shown(pilot) for kind in ("spin-on", "cartridge", "suction strainer", "in-line"))


@pytest.mark.parametrize(("subject", "first"), [("port", "seal"), ("fluid", "have")])
async def test_emptied_fields_begin_anew_at_the_first(tmp_path: Path, subject: str, first: str) -> None:
    async with judging(tmp_path, subject) as pilot:
        await pilot.press("insert", "tab", "tab", "f8")
        await settle(pilot)
        assert not any(panel(pilot).values[ask.key] for ask in panel(pilot).ASKS if not ask.words)
        focused = pilot.app.focused
        assert focused is not None
        assert panel(pilot).field(first) in (focused, focused.parent)
