"""Machines' positions, driven by keys: the record before anything is measured, a question where readings differ."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding
from textual.pilot import Pilot
from textual.widgets import Input

from catalog.orings.prior import Built
from models import machines
from models.database import open_workshop
from models.errors import WorkshopUnavailableError
from models.fits import fit_records
from tests.tui.counter import STORABLE, Shown, keys, settle, shown, toasts, write
from tests.tui.groove.opened import fill, measured
from tests.tui.position.opened import LARGE, at_positions, fitted, position_screen, told
from tests.tui.seed import act
from tui.screens.choose_job import ChooseJob
from tui.screens.measure.screen import MeasureScreen
from tui.screens.position.note_fit import NoteFit
from tui.screens.position.screen import PositionScreen
from tui.widgets.answer_band import AnswerBand
from tui.widgets.reading_field import ReadingField


def records(folder: Path) -> list[fit_records.FitRow]:
    """Every record in the seeded workshop, the one that holds first, by position."""
    workshop = open_workshop(folder / "workshop.sqlite3")
    with workshop.read() as session:
        return [
            one for row in fit_records.all_holding(session) for one in fit_records.history(session, row.position_id)
        ]


def slots(pilot: Pilot[Any]) -> list[str]:
    """What stands in Measure's fields."""
    return [field.input.value for field in pilot.app.screen.query(ReadingField)]


def answered(pilot: Pilot[Any]) -> str:
    """What Measure answers, before it is broken into lines."""
    return pilot.app.screen.query_one(AnswerBand).text


async def test_the_record_is_there_before_anything_is_measured(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        text = shown(pilot)
        assert "Orchard tractor 3, pump inlet flange" in text
        assert "AS568-214" in text
        assert "HNBR 70 Shore A" in text
        assert "Noted by tess on 2026-11-25" in text
        assert "ID: 24.90 mm = 0.980 in" in text
        assert "free in B3" in text
        assert "Seeped within a week. [/b]" in text.replace("\n", "")
        assert "return line element" not in text


async def test_enter_measures_here_and_the_machine_weighs_the_sizes(tmp_path: Path) -> None:
    # Between AS568-214 and JIS P25 by these readings: a machine built in Japan makes the latter likelier.
    ring = ("24.85±0.15", "3.515±0.05")
    chances = []
    for place in (False, True):
        folder = tmp_path / str(place)
        folder.mkdir()
        app = fitted(folder)
        with app.workshop.open().write() as session:
            # No ring is on record on it, which would weigh the sizes too.
            loader = machines.add(session, act(), name="Loader", built=Built.JAPAN).machine_id
            machines.add_position(session, act(), machine_id=loader, name="lift valve ring")
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(pilot)
            if place:
                await keys(pilot, "ctrl+o", *"lift", "enter")
                assert "At: Loader, lift valve ring" in shown(pilot)
            await measured(pilot, *ring)
            screen = pilot.app.screen
            assert isinstance(screen, MeasureScreen)
            found = {one.size.key: one.probability for one in screen._candidates if one.size and one.probability}
            chances.append(found["jis:P25"] / found["as568:214"])
    assert chances[1] > 2 * chances[0]


async def test_a_reading_that_differs_raises_a_question_and_overwrites_nothing(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "enter")
        assert "Fitted last: " in shown(pilot)
        await measured(pilot, "37.69", "3.53")
        assert "! Differs from the record" in shown(pilot)
        await keys(pilot, "ctrl+o")
        assert "On record at pump inlet flange ring: AS568-214 HNBR" in told(pilot)
        assert "? On record" in shown(pilot)
        await keys(pilot, "ctrl+r")
        assert isinstance(pilot.app.screen, NoteFit)
        assert "Is the old ring a wrong one" in shown(pilot).replace("\n", " ")
        await keys(pilot, "escape")
        assert [row.size_key for row in records(tmp_path)] == ["as568:214", "as568:213"]
        await keys(pilot, "ctrl+r")
        await write(pilot, "[b]NRB")
        assert "? [b]NRB is not a rubber in our tables. Enter keeps it as typed." in shown(pilot)
        await write(pilot, "fkm")
        assert "is not a rubber in our tables" not in shown(pilot)
        await keys(pilot, "tab")
        await write(pilot, "soft")
        await keys(pilot, "enter")
        assert "is not a whole number from 1 to 100" in shown(pilot)
        await write(pilot, "75")
        await keys(pilot, "tab")
        await write(pilot, "[/foo] reworked")
        await keys(pilot, "enter")
        assert "Noted: AS568-222" in toasts(pilot)
        kept = records(tmp_path)
        assert [row.size_key for row in kept] == ["as568:222", "as568:214", "as568:213"]
        assert (kept[0].rubber, kept[0].hardness_shore_a, kept[0].note) == ("FKM", 75, "[/foo] reworked")
        assert [round(one.value_mm, 2) for one in kept[0].readings] == [37.69, 3.53]
        assert "AS568-222" in shown(pilot)
        await keys(pilot, "f9")
        assert "Undone: noting the fit." in toasts(pilot)
        assert [row.size_key for row in records(tmp_path)] == ["as568:214", "as568:213"]
        assert "On record at pump inlet flange ring: AS568-214 HNBR" in told(pilot)


async def test_a_reading_that_agrees_says_so_and_the_groove_goes_with_the_record(tmp_path: Path) -> None:
    async with fitted(tmp_path).run_test(size=LARGE, notifications=True) as pilot:
        await settle(pilot)
        await measured(pilot, "24.99", "3.53")
        await keys(pilot, "ctrl+g")
        await fill(pilot, root="25.45", bore="31.14", width="4.81")
        await keys(pilot, "ctrl+g", "ctrl+o")
        assert "Your readings agree with the record." in shown(pilot)
        await keys(pilot, "ctrl+r", "enter")
        groove = records(tmp_path)[0].groove
        assert groove is not None
        assert groove.inner is not None
        assert groove.inner.nominal == 25.45
        assert records(tmp_path)[0].rubber == "HNBR"  # the same ring again: offered, not asked anew
        assert "Groove: piston" in shown(pilot)


async def test_the_ring_on_record_goes_straight_on_a_kit(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "f7")
        assert isinstance(pilot.app.screen, ChooseJob)
        await write(pilot, "loader")
        await keys(pilot, "enter")
        assert "AS568-214 on “Loader lift valve weeps”" in toasts(pilot)
        await keys(pilot, "down", "f7")
        assert "Nothing is on record here" in toasts(pilot)


async def test_typing_narrows_and_a_new_place_can_be_named(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await write(pilot, "tractor cover")
        chosen = position_screen(pilot).chosen
        assert chosen is not None
        assert chosen.position.name == "strainer cover ring"
        await write(pilot, "no such place")
        # In the field the letter would be typed.
        assert "No match. Esc: N names a new" in shown(pilot)
        assert "Next: Esc: N names a new position" in shown(pilot)
        await keys(pilot, "enter")
        assert "Highlight a position first" in toasts(pilot)
        await write(pilot, "")
        await keys(pilot, "escape", "n")
        await write(pilot, "Bin tipper")
        await keys(pilot, "enter")
        await write(pilot, "cylinder gland ring")
        await keys(pilot, "enter")
        made = position_screen(pilot).chosen
        assert made is not None
        assert (made.position.machine_name, made.position.name) == ("Bin tipper", "cylinder gland ring")
        await keys(pilot, "n", "enter")
        await write(pilot, "cylinder gland ring")
        await keys(pilot, "enter")
        assert "already has a position" in toasts(pilot)


async def test_a_place_named_by_mistake_is_taken_back_where_it_is_measured_for(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "escape", "n")
        await write(pilot, "Baler")
        await keys(pilot, "enter")
        await write(pilot, "knotter ring")
        await keys(pilot, "enter", "enter")
        assert "At: Baler, knotter ring" in shown(pilot)
        await keys(pilot, "f9")
        assert "Undone: adding the position." in toasts(pilot)
        assert "At: " not in shown(pilot)
        await keys(pilot, "f9")
        assert "Undone: adding the machine." in toasts(pilot)
        await keys(pilot, "ctrl+o")
        assert "Baler" not in shown(pilot)


async def test_a_fit_taken_back_on_measure_is_not_shown_there_any_more(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "enter")
        await measured(pilot, "37.69", "3.53")
        await keys(pilot, "ctrl+o", "ctrl+r", "enter", "enter")
        assert "Fitted last: AS568-222" in shown(pilot)
        await keys(pilot, "f9")
        assert "Undone: noting the fit." in toasts(pilot)
        assert "Fitted last: AS568-214" in shown(pilot)


async def test_where_the_machine_was_built(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        assert "Built in: Japan" in shown(pilot)
        await keys(pilot, "escape", "e")
        assert "Built in: North America" in shown(pilot)
        await keys(pilot, "up")
        assert position_screen(pilot).chosen is None
        assert "Highlight one of its positions" in shown(pilot)
        await keys(pilot, "e")
        assert "Built in: Europe" in shown(pilot)
        await keys(pilot, "f9")
        assert "Undone: noting where it was built." in toasts(pilot)
        assert "Built in: North America" in told(pilot)
        assert position_screen(pilot).chosen is None


async def test_noting_needs_a_measured_ring(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "ctrl+r")
        assert "Measure the ring first" in toasts(pilot)


async def test_hostile_names_are_kept_and_shown_as_they_are(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "escape")
        for text in STORABLE:
            await keys(pilot, "n")
            await write(pilot, text)
            await keys(pilot, "enter")
            await write(pilot, text)
            await keys(pilot, "enter")
            made = position_screen(pilot).chosen
            assert made is not None
            # Names are kept in Unicode's composed form (NFC).
            assert made.position.name == unicodedata.normalize("NFC", text)
            assert text in shown(pilot) or not text.isascii()


async def test_an_empty_workshop_says_what_to_do(tmp_path: Path) -> None:
    async with Shown(data=str(tmp_path / "new.sqlite3")).run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+o")
        assert "No machine yet." in shown(pilot)
        await keys(pilot, "enter", "f7", "ctrl+r", "escape", "e")
        assert "No machine is highlighted" in toasts(pilot)


async def test_a_critical_place_asks_once_more_before_a_kit_takes_its_ring(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "escape", "space")
        assert "pump inlet flange ring is a critical place. F9 takes it back." in toasts(pilot)
        assert "! Critical place" in told(pilot)
        await keys(pilot, "f7")
        assert pilot.app.screen.name == "yes-or-no"
        assert "AS568-214 is what tess noted here on 2026-11-25." in shown(pilot).replace("\n", " ")
        await keys(pilot, "escape")
        assert type(pilot.app.screen).__name__ == "PositionScreen"
        await keys(pilot, "enter")
        await measured(pilot, "24.99", "3.53")
        text = shown(pilot)
        assert "At (critical): " in text
        assert "Critical place:" in text
        await keys(pilot, "enter")
        assert pilot.app.screen.name == "yes-or-no"
        asked = shown(pilot)
        assert "Critical place: AS568-214 on a kit?" in asked
        assert "of the standard joints that the old" in asked
        assert "machine's manual" in asked
        await keys(pilot, "escape")
        assert type(pilot.app.screen).__name__ == "MeasureScreen"
        await keys(pilot, "enter", "enter")
        assert type(pilot.app.screen).__name__ == "ChooseJob"
        await keys(pilot, "escape", "f9")
        await settle(pilot)
        assert "(critical)" not in shown(pilot)
        await keys(pilot, "enter")
        assert type(pilot.app.screen).__name__ == "ChooseJob"


async def test_how_it_went_is_said_by_one_key_and_counts_when_measuring_there(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "escape", "x")
        assert "How did the old ring hold up?" in shown(pilot)
        await keys(pilot, "escape")
        assert [row.went for row in records(tmp_path)] == [None, None]
        await keys(pilot, "x", "space", "space", "space", "enter")
        assert "Noted: pump inlet flange ring: leaked. F9 takes it back." in toasts(pilot)
        assert re.search(r"It leaked, said .+ on \d{4}-\d\d-\d\d\.", told(pilot))
        await keys(pilot, "enter")
        await measured(pilot, "24.9", "3.5")
        assert "AS568-214 in HNBR 70 leaked here on 20" in " ".join(answered(pilot).split())
        screen = pilot.app.screen
        assert isinstance(screen, MeasureScreen)
        assert next(one.title for one in screen._candidates) != "AS568-214"
        await keys(pilot, "f9")
        await settle(pilot)
        assert "leaked here" not in answered(pilot)
        assert next(one.title for one in screen._candidates) == "AS568-214"


async def test_the_machines_other_rings_are_told_where_they_change_the_answer(tmp_path: Path) -> None:
    app = fitted(tmp_path)
    with app.workshop.open().write() as session:
        (tractor,) = (one for one in machines.listed(session) if one.name == "Orchard tractor 3")
        machines.set_built(session, act(), tractor.machine_id, Built.ANYWHERE)
        for name in ("one", "two", "three"):
            place = machines.add_position(session, act(), machine_id=tractor.machine_id, name=name)
            fit_records.record(session, act(), place.position_id, "jis:P22")
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await measured(pilot, "24.85", "3.515")
        assert "rings of this machine" not in answered(pilot)
        await keys(pilot, "ctrl+o", *"strainer", "enter")
        await settle(pilot)
        assert "3 of 4 rings of this machine were JIS." in " ".join(answered(pilot).split())


async def test_back_and_resize_lose_nothing(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await write(pilot, "tractor")
        await keys(pilot, "down")
        for size in ((40, 20), (120, 40), (80, 24)):
            await pilot.resize_terminal(*size)
            await settle(pilot)
        chosen = position_screen(pilot).chosen
        assert chosen is not None
        assert chosen.position.name == "strainer cover ring"
        await keys(pilot, "escape", "escape")
        assert type(pilot.app.screen).__name__ == "MeasureScreen"
        await keys(pilot, "escape", "h")
        assert type(pilot.app.screen).__name__ == "PositionScreen"
        await keys(pilot, "f2")
        assert type(pilot.app.screen).__name__ == "MeasureScreen"


async def test_every_binding_has_id_and_words_and_few_stand_in_the_key_line(tmp_path: Path) -> None:
    mine = [one for one in PositionScreen.BINDINGS if isinstance(one, Binding)]
    assert all(one.id and one.description and one.tooltip for one in mine)
    async with at_positions(tmp_path) as pilot:
        assert 1 <= len(pilot.app.screen.query("FooterKey")) <= 6
        await keys(pilot, "f1")
        assert "Machines and positions" in shown(pilot)


async def test_the_fluid_of_a_place_is_said_by_one_key(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        assert "Next: Enter measures a ring for " in shown(pilot)
        await keys(pilot, "escape", "f")
        assert "Which fluid is there?" in shown(pilot)
        await write(pilot, "UTTO")
        await keys(pilot, "tab")
        await write(pilot, "100 C")
        await keys(pilot, "enter")
        assert "Noted." in toasts(pilot)
        await keys(pilot, "enter")
        assert "UTTO" in [field.value for field in pilot.app.screen.query(Input)]


async def test_a_ring_that_went_on_a_kit_is_not_the_next_positions(tmp_path: Path) -> None:
    async with at_positions(tmp_path) as pilot:
        await keys(pilot, "enter")
        await measured(pilot, "24.9", "3.53")
        await keys(pilot, "ctrl+o", *"strainer", "enter")
        assert slots(pilot)[:3:2] == ["24.9", "3.53"], "measured first, its position picked after: nothing is put away"
        await keys(pilot, "enter", "enter")
        await keys(pilot, "escape", "ctrl+o", *"pump", "enter")
        assert "pump inlet" in shown(pilot)
        assert not any(slots(pilot)), "that ring was the strainer's"
        await keys(pilot, "f8")
        assert slots(pilot)[:3:2] == ["24.9", "3.53"], "one key brings it back"


async def test_what_could_not_be_read_is_not_said_to_be_read_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away(_: object) -> None:
        raise WorkshopUnavailableError("The server is away.", "Wait.")

    monkeypatch.setattr("tui.screens.position.records.positions", away)
    async with at_positions(tmp_path) as pilot:
        await write(pilot, "pump")
        await settle(pilot)
        assert "The workshop could not be read." in shown(pilot)
        assert "Reading" not in shown(pilot)
