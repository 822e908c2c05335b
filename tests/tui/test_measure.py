"""The Measure screen, driven by keys."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from catalog.orings.evidence import Tool
from models import machines
from models.acts import by
from tests.tui.counter import HOSTILE, keys, make_app, settle, shown, toasts, write
from tui.answers.chances import short_percent as percent
from tui.screens.choose_job import ChooseJob
from tui.screens.measure.result import SLOTS
from tui.screens.measure.screen import MeasureScreen
from tui.widgets.answer_band import AnswerBand
from tui.widgets.meets_field import MeetsField
from tui.widgets.reading_field import ReadingField


async def test_readings_typed_one_after_the_other_sharpen_the_answer(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        first = app.screen.chosen.probability  # type: ignore[attr-defined]
        await keys(pilot, "tab", "tab")
        await write(pilot, "3.53")
        # SAE AS568: size 214 is 0.984 in inside, 0.139 in wide.
        chosen = app.screen.chosen  # type: ignore[attr-defined]
        assert chosen.size.label == "AS568-214"
        assert chosen.probability > first
        assert "24.99 × 3.53 mm = 0.984 × 0.139 in" in shown(pilot)


# SAE AS568: 0.984 × 0.139 in. Inside circumference π·ID = 78.51 mm; length on the mean line π·(ID + width) = 89.60 mm.
async def test_each_way_of_measuring_finds_the_published_size(tmp_path: Path) -> None:
    ways = (
        {0: "63/64", 2: "9/64"},
        {0: "24,99 mm", 2: ".139in"},
        {1: "32.05", 2: "3.53"},
        {4: "78.51±0.3", 2: "3.53"},
        {5: "89.6±0.3", 2: "3.53"},
    )
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for readings in ways:
            for slot in range(len(SLOTS)):
                app.screen.query_one(f"#slot{slot}", ReadingField).input.value = readings.get(slot, "")
            await settle(pilot)
            names = [c.size.label for c in app.screen._candidates if c.size]  # type: ignore[attr-defined]
            assert "AS568-214" in names[:4]


async def test_a_reading_that_cannot_be_read_gets_its_sentence_and_the_others_still_count(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        await keys(pilot, "tab")
        await write(pilot, "12 bananas")
        text = shown(pilot)
        assert "! 'bananas' is not a unit of length" in text
        assert "AS568-214" in text
        # Nothing is taken from the rest while a reading is wrong; Enter goes to it and says what to type.
        await keys(pilot, "tab", "enter")
        assert isinstance(app.screen, MeasureScreen)
        assert "OD can't be used: 'bananas' is not a unit of length" in toasts(pilot)
        assert app.focused.value == "12 bananas"  # type: ignore[union-attr]
        await write(pilot, "")
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChooseJob)
        await keys(pilot, "tab")
        assert app.focused.id == "pieces"  # type: ignore[union-attr]


async def test_a_value_in_the_wrong_field_is_said_there_and_the_others_count(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, *"24.9", "tab", *"3.5")
        assert "! No ring has this and that ID. Wrong" in shown(pilot)
        assert "AS568-214" in shown(pilot)
        assert "No standard size fits" not in shown(pilot)
        await keys(pilot, "enter")
        assert "OD can't be used: No ring has this and that ID." in toasts(pilot)
        await write(pilot, "32")
        assert "! No ring has this" not in shown(pilot)


async def test_hostile_text_in_a_field_is_refused_in_words(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True, tooltips=True) as pilot:
        await settle(pilot)
        for text in HOSTILE:
            await write(pilot, text)
            assert app.screen._result.notes[0].error  # type: ignore[attr-defined]
            assert "! " in shown(pilot)
            await keys(pilot, "enter")
            assert "ID can't be used: " in toasts(pilot)
            app.clear_notifications()


async def test_no_standard_size_shows_neighbours_and_cord(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "33.9±0.02")
        await keys(pilot, "tab", "tab")
        await write(pilot, "4.4±0.02")
        await keys(pilot, "ctrl+n")
        text = shown(pilot)
        assert "No size in our tables" in text
        assert "above:" in text
        assert "below:" in text
        # A butt-joined cord on the mean line: π·(33.9 + 4.4) = 120.32 mm.
        assert "cut 120.3" in text
        await keys(pilot, "enter")
        assert "None of our sizes fits" in toasts(pilot)
        await keys(pilot, "down", "enter")
        assert isinstance(app.screen, ChooseJob)


async def test_keys_change_tool_look_picture_and_show_why(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        assert "caliper ±0." in shown(pilot)
        await keys(pilot, "ctrl+t")
        assert "micrometer ±0." in shown(pilot)
        for _ in range(len(Tool) - 2):
            await keys(pilot, "ctrl+t")
        assert "caliper ±0." in shown(pilot)
        assert "[?]" in shown(pilot)
        for word in ("new", "used", "flat", "swollen", "shrunk", "?"):
            await keys(pilot, "ctrl+n")
            assert f"[{word}]" in shown(pilot)
        for word in ("plug", "bore", "cover", "shaft", "port", "?"):
            await keys(pilot, "ctrl+b")
            assert f"[{word}]" in shown(pilot)
        assert "As measured, to scale; thin: limits" in shown(pilot)
        assert "ID 24.99 ±0.13" in shown(pilot)
        await keys(pilot, "pagedown")
        assert "Readings; [ ]" in shown(pilot)
        assert "As measured, to scale" not in shown(pilot)
        await keys(pilot, "pagedown")
        assert "ID across, width up" in shown(pilot)
        assert "Readings; [ ]" not in shown(pilot)
        await keys(pilot, "question_mark")
        assert app.screen.name == "why"
        assert "Why this answer" in shown(pilot)
        assert "seals in" in shown(pilot)
        assert ": it " not in shown(pilot)  # “it marginal in some grooves” is no sentence
        await keys(pilot, "escape")
        assert isinstance(app.screen, MeasureScreen)


async def test_letters_work_once_the_field_is_left(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        await keys(pilot, "pagedown", "pagedown", "escape", "ctrl+t", "ctrl+n", "j")
        text = shown(pilot)
        assert "micrometer" in text
        assert "[new]" in text
        assert "ID across" in text
        assert app.screen.rows.cursor == 1  # type: ignore[attr-defined]
        await keys(pilot, "w")
        assert app.screen.name == "why"
        await keys(pilot, "escape", "c")
        assert [field.input.value for field in app.screen.query(ReadingField)] == [""] * 6


async def test_an_emptied_ring_comes_back_with_all_that_was_said_of_it(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        await keys(pilot, "ctrl+t", "ctrl+n", "ctrl+b", "tab", "tab")
        await write(pilot, "3.53")
        meets = app.screen.query_one(MeetsField)
        meets.fill("UTTO", "100")
        await settle(pilot)
        before = shown(pilot)
        await keys(pilot, "f8")
        assert "Measure the ring." in shown(pilot)
        assert "F8 again brings the last one back" in toasts(pilot)
        assert meets.texts == ("", "")
        assert "[?] new" in shown(pilot)
        app.clear_notifications()
        await keys(pilot, "f8")
        assert shown(pilot) == before
        # Once brought back there is nothing more to bring: the next time it empties again.
        await keys(pilot, "f8", "f8", "f8")
        assert "Measure the ring." in shown(pilot)


async def test_nothing_beneath_the_answer_moves_while_somebody_types(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    for size in ((80, 24), (120, 40)):
        async with app.run_test(size=size) as pilot:
            await settle(pilot)
            parts = ("#answer", "#readings", "#slot5", "#meets", "#drawing", "#matches", "#chosen", "#next")
            regions = [app.screen.query_one(part).region for part in parts]
            await write(pilot, "24.99")
            for text in ("3.53", "12 bananas", "3.", "99", "bent [/b]"):
                await keys(pilot, "tab")
                await write(pilot, text)
                assert [app.screen.query_one(part).region for part in parts] == regions, text
        app = make_app(tmp_path)


async def test_the_fluid_judges_the_rubber_and_goes_to_the_kits_need(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        await keys(pilot, "tab", "tab")
        await write(pilot, "3.53")
        assert "Rubber not judged: which fluid?" in shown(pilot)
        # From the width: Width 2, tape, cut length, the look, the joint, the fluid.
        await keys(pilot, "tab", "tab", "tab", "tab", "tab", "tab")
        await write(pilot, "DOT 4")
        # NBR swells in glycol brake fluid and EPDM is what such seals are made of: common practice, no source.
        assert "not counted: NBR in B3" in shown(pilot)
        assert "NBR 70: will not do in glycol brake fluid" in " ".join(shown(pilot).split())
        await write(pilot, "UTTO")
        assert "free in B3 (NBR)" in shown(pilot)
        await keys(pilot, "tab")
        await write(pilot, "100")
        assert "NBR 70: good in UTTO to 100 °C (212 °F)." in " ".join(shown(pilot).split())
        await keys(pilot, "enter")
        await write(pilot, "Wet brakes")
        await keys(pilot, "enter")
        need = app.workshop.kit(app.workshop.jobs()[-1].job_id).needs[0]
        assert need.rubbers[0] == "NBR"
        assert "EPDM" not in need.rubbers


async def test_the_fluid_said_at_a_position_is_there_the_next_time(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    with app.workshop.open().write() as session:
        loader = machines.add(session, by("Bench"), name="Loader").machine_id
        gland = machines.add_position(session, by("Bench"), machine_id=loader, name="lift valve ring").position_id
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        meets = app.screen.query_one(MeetsField)
        await keys(pilot, "ctrl+o", *"lift", "enter")
        assert meets.texts == ("", "")
        await write(pilot, "24.99")
        meets.fill("UTTO", "100")
        await settle(pilot)
        await keys(pilot, "enter")
        await write(pilot, "Reseal")
        await keys(pilot, "enter")
        with app.workshop.open().read() as session:
            assert machines.position(session, gland)[-2:] == ("UTTO", 100)
        # A new ring for the same position starts with what is on record, and so does another session.
        await keys(pilot, "f8")
        assert meets.texts == ("UTTO", "100 °C")
        await keys(pilot, "f8")
        assert app.screen.query_one("#slot0", ReadingField).input.value == "24.99"
        # F9 takes the ring back first, then the fluid; a position without one empties what came from it.
        await keys(pilot, "f9", "f9")
        assert "Undone: noting the fluid." in toasts(pilot)
        with app.workshop.open().read() as session:
            assert machines.position(session, gland).meets == ""


async def test_a_fluid_that_is_none_is_said_at_its_field_and_nothing_is_taken(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        meets = app.screen.query_one(MeetsField)
        for fluid, hottest, wrong, field in (
            ("bananas", "", "'bananas' is not in the tables", meets.fluid),
            ("", "100", "which fluid gets so hot", meets.hottest),
            ("UTTO", "warm", "Hottest:", meets.hottest),
        ):
            meets.fill(fluid, hottest)
            await settle(pilot)
            assert wrong in app.screen.query_one(AnswerBand).text
            assert "AS568-214" in shown(pilot)
            await keys(pilot, "enter")
            assert isinstance(app.screen, MeasureScreen)
            assert app.focused is field
            assert "can't be used" in toasts(pilot)
            app.screen.heard()


async def test_where_no_rubber_may_go_in_no_ring_goes_on_a_kit(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        app.screen.query_one(MeetsField).fill("DOT 4", "390")
        await settle(pilot)
        await keys(pilot, "enter")
        assert isinstance(app.screen, MeasureScreen)
        assert "No rubber in our tables suits that fluid" in toasts(pilot)


async def test_arrows_move_in_the_list_from_inside_a_field(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        first = app.screen.chosen.title  # type: ignore[attr-defined]
        await keys(pilot, "down")
        assert app.screen.chosen.title != first  # type: ignore[attr-defined]
        await keys(pilot, "up")
        assert app.screen.chosen.title == first  # type: ignore[attr-defined]


async def test_a_resize_keeps_what_was_typed_and_the_tools(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        await keys(pilot, "ctrl+t")
        for size in ((80, 24), (40, 20), (200, 60), (80, 24)):
            await pilot.resize_terminal(*size)
            await settle(pilot)
            assert app.screen.query_one("#slot0", ReadingField).input.value == "24.99"
            assert "micrometer" in shown(pilot)
            assert "24.99 mm" in shown(pilot)


async def test_the_main_job_accept_need_shelf_answer_undo(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        await keys(pilot, "tab", "tab")
        await write(pilot, "3.53")
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChooseJob)
        await write(pilot, "Bench test [/foo]")
        await keys(pilot, "enter")
        # The seeded shelf holds 14 of AS568-214, 3 of them promised: a piece and a spare are there.
        assert "AS568-214 on “Bench test [/foo]”: have 2 in bin B3" in toasts(pilot)
        assert "! NBR 70 taken; rubber not judged: which fluid?" in toasts(pilot)
        assert "Shelf: 9 free in B3" in shown(pilot)
        jobs = app.workshop.jobs()
        kit = app.workshop.kit(jobs[-1].job_id)
        assert kit.title == "Bench test [/foo]"
        need = kit.needs[0]
        assert (need.size_key, need.pieces, need.spares) == ("as568:214", 1, 1)
        assert [reading.value_mm for reading in need.readings] == [24.99, 3.53]
        await keys(pilot, "f9")
        assert "Undone: accepting the match." in toasts(pilot)
        assert app.workshop.kit(jobs[-1].job_id).needs == ()
        assert "Shelf: 11 free in B3" in shown(pilot)


async def test_more_than_the_shelf_has_says_short(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        await keys(pilot, "tab", "tab")
        await write(pilot, "3.53")
        await keys(pilot, "enter", "tab", "tab")
        await write(pilot, "20")
        await keys(pilot, "enter")
        # 20 pieces and 1 spare wanted, 11 free.
        assert "have 11 in bin B3; SHORT 10" in toasts(pilot)


async def test_a_question_that_comes_late_is_not_put_over_another_screen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        read, go_on = app.workshop.jobs, threading.Event()

        def slow() -> object:
            assert go_on.wait(30)
            return read()

        monkeypatch.setattr(app.workshop, "jobs", slow)
        await pilot.press("enter")
        await pilot.press("f3")
        go_on.set()
        await settle(pilot)
        assert app.current_mode == "catalog"
        assert not isinstance(app.screen, ChooseJob)
        assert "is on no job" in toasts(pilot)


async def test_escape_in_the_question_changes_nothing(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        before = [app.workshop.kit(job.job_id) for job in app.workshop.jobs()]
        await keys(pilot, "enter", "escape")
        assert isinstance(app.screen, MeasureScreen)
        assert [app.workshop.kit(job.job_id) for job in app.workshop.jobs()] == before


async def test_a_senseless_number_of_pieces_is_refused_in_words(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await write(pilot, "24.99")
        await keys(pilot, "enter", "tab")
        for typed in ("0", "-1", "1.5", "²", "1000001", "x", ""):
            await write(pilot, typed)
            await keys(pilot, "enter")
            assert isinstance(app.screen, ChooseJob)
            assert "whole number from 1 to 1000000" in shown(pilot)
            assert (f"Pieces: '{typed}' is not" if typed else "Pieces: Nothing is typed") in shown(pilot)


async def test_enter_right_after_the_last_letter_takes_the_answer_to_that_letter(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press(*"24.99", "tab", "tab", *"3.53", "enter")
        await settle(pilot)
        assert "AS568-214: for which job?" in shown(pilot)


def test_percent_is_never_a_false_certainty() -> None:
    assert [percent(p) for p in (0.9999, 0.6, 0.0004)] == [">99 %", "60 %", "<1 %"]
