"""The groove screen, driven by keys over a seeded workshop."""

from __future__ import annotations

from pathlib import Path

from textual.binding import Binding

from catalog.orings.gland import assess
from catalog.orings.groove import GrooveKind
from catalog.orings.sizes import by_key
from catalog.orings.standard_grooves import groove_for
from tests.tui.counter import HOSTILE, keys, settle, shown, toasts, write
from tests.tui.groove.opened import LARGE, at_groove, fill, groove_screen, typed
from tui.screens.choose_job import ChooseJob
from tui.screens.groove.lists import INSTEAD, MEASURED, SEALS
from tui.screens.groove.screen import GrooveScreen
from tui.screens.measure.screen import MeasureScreen
from tui.widgets.judge.ask_field import PickField

# SAE AS568-214: 0.984 × 0.139 in.
RING = ("24.99", "3.53")
# Static gland for the .139 section in AS568 groove charts: depth .111 to .113 in, width .187 to .192 in.
PISTON = {"root": "25.45±0.03", "bore": "31.14±0.03", "width": "4.81±0.06"}


async def test_ring_and_groove_stand_side_by_side(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING) as pilot:
        await fill(pilot, **PISTON)
        text = shown(pilot)
        chosen = groove_screen(pilot).chosen
        assert chosen is not None
        assert chosen.ring.label == "AS568-214"
        assert chosen.by_readings is not None
        assert chosen.with_groove is not None
        assert "✓ seals here" in text
        assert "Readings " in text
        assert "with groove" in text
        assert "seal in this groove" in text
        assert "free in B3" in text
        assert "squeeze " in text
        assert "fill " in text


async def test_two_sizes_that_fit_the_reading_are_told_apart_by_the_groove(tmp_path: Path) -> None:
    # AS568-214 (3.53 wide) against JIS G25 (24.4 × 3.1): in a groove 2.45 deep only the thinner one has room.
    async with at_groove(tmp_path, ("24.7±0.5", "3.3±0.3")) as pilot:
        await fill(pilot, root="24.9", bore="29.8", width="4.1")
        lines = groove_screen(pilot)._judged.lines
        assert len({line.sealing.verdict for line in lines if line.sealing}) > 1
        for line in lines:
            assert line.by_readings is not None
            assert line.with_groove is not None
        said = groove_screen(pilot)._judged.told
        assert "seal" in said
        assert said[:20] in shown(pilot)


async def test_the_groove_alone_ranks_what_seals_and_the_shelf_goes_first(tmp_path: Path) -> None:
    async with at_groove(tmp_path) as pilot:
        assert "Still to measure: root, width" in shown(pilot)
        await fill(pilot, **PISTON)
        screen = groove_screen(pilot)
        assert screen._view == SEALS
        rings = [line.ring.key for line in screen._lines]
        assert rings[0] == "as568:214"
        assert len(rings) > 5
        assert "yes" in shown(pilot)
        margins = [
            line.sealing.margin for line in screen._lines[1:] if line.sealing and line.sealing.verdict == "seals"
        ]
        assert margins[1:] == sorted(margins[1:], reverse=True)
        await keys(pilot, "down")
        assert screen.chosen == screen._lines[1]


async def test_instead_lists_stand_ins_and_look_alikes_with_why(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING, LARGE) as pilot:
        await fill(pilot, **PISTON)
        await keys(pilot, "f12", "f12")
        screen = groove_screen(pilot)
        assert screen._view == INSTEAD
        assert screen._lines[0].ring.key == "as568:214"
        verdicts = [line.sealing.verdict for line in screen._lines if line.sealing]
        assert verdicts[1] == "seals"
        assert screen._whys
        await keys(pilot, "escape", "end")
        chosen = screen.chosen
        assert chosen is not None
        assert screen._whys[chosen.ring.key][:30] in shown(pilot)


# JIS B 2401-2 and AS568 charts: the standard ring in its standard groove seals.
async def test_one_key_fills_the_standard_groove_and_again_brings_the_readings_back(tmp_path: Path) -> None:
    size = by_key("as568:214")
    assert size is not None
    async with at_groove(tmp_path, RING) as pilot:
        screen = groove_screen(pilot)
        for kind in (kind for kind in GrooveKind if kind is not GrooveKind.PORT):
            assert screen._draft.kind is kind
            expected = groove_for(size, kind)
            assert expected is not None
            await fill(pilot, width="4.7")
            await keys(pilot, "insert")
            assert screen._judged.groove == expected
            chosen = screen.chosen
            assert chosen is not None
            assert chosen.sealing == assess(size, expected)
            # Nobody measured it: it neither weighs the sizes nor goes on record.
            assert chosen.with_groove is None
            assert screen._draft.groove is None
            assert "not a measured one" in screen._judged.told
            assert "✓ seals here" in shown(pilot)
            await keys(pilot, "insert")
            assert typed(pilot, "width") == "4.7"
            assert groove_screen(pilot)._judged.groove is None
            await keys(pilot, "ctrl+b")


async def test_a_standard_groove_that_is_changed_is_a_reading_again(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING) as pilot:
        await keys(pilot, "insert")
        await fill(pilot, width="4.2")
        groove = groove_screen(pilot)._judged.groove
        assert groove is not None
        assert groove.source == "measured"
        assert groove.width is not None
        assert groove.width.nominal == 4.2


async def test_what_is_wrong_stands_at_its_field(tmp_path: Path) -> None:
    wrong: list[tuple[dict[str, str], str, str]] = [
        ({"root": "25 bananas"}, "root", "is not a unit of length"),
        ({"root": "0.01±5", "bore": "31", "width": "4.8"}, "root", "is not smaller than the value"),
        ({"root": "32", "bore": "31", "width": "4.8"}, "bore", "must be smaller than the bore"),
        ({"root": "25", "bore": "31", "depth": "2.8", "width": "4.8"}, "depth", "not both"),
        ({"ring": "no such ring"}, "ring", "no standard size is called"),
        ({"hardness": "200"}, "hardness", "from 50 to 95"),
        ({"swell": "1000"}, "swell", "from -90 to 300"),
        ({"pressure": "160 mm"}, "pressure", "is a unit of length, not of pressure"),
        ({"temperature": "9000 °C"}, "temperature", "outside what rubber meets"),
    ]
    async with at_groove(tmp_path, RING) as pilot:
        for texts, field, words in wrong:
            await fill(pilot, **texts)
            note = groove_screen(pilot)._judged.notes[field]
            assert words in note.error
            if field in ("root", "bore"):
                assert "! " in shown(pilot)
            if field == "pressure":
                # No ring is taken while a field is wrong.
                await keys(pilot, "enter")
                assert isinstance(pilot.app.screen, GrooveScreen)
                assert "right first. " + note.error in toasts(pilot)
            await fill(pilot, **dict.fromkeys(texts, ""))
            assert field not in groove_screen(pilot)._judged.notes


async def test_a_face_groove_too_wide_for_its_diameter_is_refused_at_the_width(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING) as pilot:
        await keys(pilot, "ctrl+b", "ctrl+b")
        await fill(pilot, outer="9", depth="2.6", width="4.6")
        assert "does not fit inside" in groove_screen(pilot)._judged.notes["width"].error


async def test_a_port_by_neck_mouth_and_chamfer(tmp_path: Path) -> None:
    async with at_groove(tmp_path) as pilot:
        await keys(pilot, *["ctrl+b"] * 4)
        assert "Neck" in shown(pilot)
        await keys(pilot, "escape", "e")
        assert "stands still" in toasts(pilot)
        # AS568-910: 0.755 × 0.097 in (SAE AS568).
        await fill(pilot, neck="19.6", mouth="23.8", chamfer="15", ring="AS568-910")
        groove = groove_screen(pilot)._judged.groove
        assert groove is not None
        assert groove.kind is GrooveKind.PORT
        await keys(pilot, "insert")
        assert "A port is its own groove" in toasts(pilot)
        await fill(pilot, chamfer="80")
        assert "from 0 to 45" in groove_screen(pilot)._judged.notes["chamfer"].error


async def test_a_ring_by_name_is_judged_without_any_reading(tmp_path: Path) -> None:
    async with at_groove(tmp_path) as pilot:
        await fill(pilot, ring="p22a")
        screen = groove_screen(pilot)
        assert screen._view == MEASURED
        await keys(pilot, "insert")
        chosen = screen.chosen
        assert chosen is not None
        assert chosen.ring.label == "JIS P22A"
        assert chosen.by_readings is None
        assert "✓ seals here" in shown(pilot)


async def test_pressure_asks_for_the_play_and_then_judges_it(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING, LARGE) as pilot:
        await fill(pilot, **PISTON, pressure="160 bar")
        assert "? Not judged under pressure" in shown(pilot)
        await keys(pilot, "question_mark")
        assert pilot.app.screen.name == "reasons"
        assert "measure the clearance" in shown(pilot)
        await keys(pilot, "escape")
        await fill(pilot, clearance="2")
        chosen = groove_screen(pilot).chosen
        assert chosen is not None
        assert chosen.sealing is not None
        assert chosen.sealing.verdict == "will not"
        assert "✗ will not" in shown(pilot)


async def test_play_is_judged_pushed_over_and_asked_for_where_unknown(tmp_path: Path) -> None:
    """A 3.53 mm ring, 34 mm root in a 40.3 mm bore: 8.5 % centred, 2.7 % pushed over by 0.2 mm, under the 3 % floor."""
    async with at_groove(tmp_path, size=LARGE) as pilot:
        await fill(pilot, root="34±0.001", bore="40.3±0.001", width="4.8", ring="AS568-219")
        assert "✓ seals here" in shown(pilot)
        await pilot.pause(0.3)
        await settle(pilot)
        assert "taken as centred; over" in shown(pilot)
        await fill(pilot, clearance="0.4")
        assert "✗ will not" in shown(pilot)
        assert "Pushed over by 0.2 mm" in shown(pilot)
        await fill(pilot, play="centred")
        assert "✓ seals here" in shown(pilot)
        assert "Guided centred" in shown(pilot)
        await fill(pilot, play="0.5")
        assert "can't be more than the clearance" in groove_screen(pilot)._judged.notes["play"].error
        assert groove_screen(pilot)._judged.groove is None


async def test_a_size_is_taken_as_read_with_the_tool_that_stands_there(tmp_path: Path) -> None:
    async with at_groove(tmp_path, size=LARGE) as pilot:
        await fill(pilot, root="25", depth="2.5", width="4.8±0.1")
        readings = {one.name: one for one in groove_screen(pilot)._judged.readings}
        assert [(one.tool.value, round(one.plus_minus_mm, 4)) for one in readings.values()] == [
            ("caliper", 0.035), ("depth gauge", 0.0305), ("stated", 0.1),
        ]  # fmt: skip
        assert "±0.035 caliper" in shown(pilot)
        groove_screen(pilot).query_one("#groove-tool", PickField).index = 2
        await settle(pilot)
        assert {one.tool.value for one in groove_screen(pilot)._judged.readings} == {"rule", "stated"}
        assert "rule" in shown(pilot)


async def test_reasons_with_their_sources_on_a_key(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING, LARGE) as pilot:
        await keys(pilot, "insert", "question_mark")
        text = shown(pilot)
        assert "AS568-214" in text
        assert "source: a guide to squeeze, stretch and fill" in text
        await keys(pilot, "end")
        assert "Relieve the pressure" in shown(pilot)


async def test_nothing_is_lost_on_the_way_back_or_in_another_area(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING) as pilot:
        await keys(pilot, "ctrl+b")
        await fill(pilot, rod="25", depth="2.8", width="4.8")
        await keys(pilot, "ctrl+b", "f4")
        assert not isinstance(pilot.app.screen, GrooveScreen)
        await keys(pilot, "f2")
        assert groove_screen(pilot)._draft.kind is GrooveKind.FACE_INSIDE
        await keys(pilot, "f2")
        assert isinstance(pilot.app.screen, MeasureScreen)
        assert "24.99" in shown(pilot)
        await keys(pilot, "ctrl+g")
        assert groove_screen(pilot)._draft.kind is GrooveKind.FACE_INSIDE
        assert typed(pilot, "depth") == "2.8"
        await keys(pilot, *["ctrl+b"] * 4)
        assert typed(pilot, "rod") == "25"
        await keys(pilot, "escape", "escape")
        assert isinstance(pilot.app.screen, MeasureScreen)


async def test_nothing_is_lost_when_the_window_changes(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING) as pilot:
        await fill(pilot, **PISTON)
        before = groove_screen(pilot).chosen
        for size in ((40, 20), (120, 40), (60, 12), (80, 24)):
            await pilot.resize_terminal(*size)
            await settle(pilot)
            assert typed(pilot, "root") == PISTON["root"]
        assert groove_screen(pilot).chosen == before


async def test_empty_and_bring_back(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING) as pilot:
        await fill(pilot, **PISTON)
        await keys(pilot, "f8")
        assert typed(pilot, "root") == ""
        assert groove_screen(pilot)._judged.groove is None
        await keys(pilot, "f8")
        assert typed(pilot, "bore") == PISTON["bore"]


async def test_the_unit_flips_bare_numbers_and_both_units_stay(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING) as pilot:
        await fill(pilot, root="1")
        assert "1 mm = 0.0394 in" in shown(pilot)
        await keys(pilot, "f6")
        assert "1 in = 25.4 mm" in shown(pilot)


async def test_accepting_puts_the_ring_on_a_kit(tmp_path: Path) -> None:
    async with at_groove(tmp_path, RING) as pilot:
        await fill(pilot, **PISTON)
        await keys(pilot, "enter")
        assert isinstance(pilot.app.screen, ChooseJob)
        await write(pilot, "loader")
        await keys(pilot, "enter")
        assert "AS568-214 on “Loader lift valve weeps”" in toasts(pilot)
        await keys(pilot, "f9")
        assert "Undone: accepting the match" in toasts(pilot)


async def test_keys_that_have_nothing_to_act_on_say_so(tmp_path: Path) -> None:
    async with at_groove(tmp_path) as pilot:
        for key, words in (
            ("enter", "Nothing to accept yet"),
            ("insert", "type its name"),
            ("question_mark", "Nothing is judged yet"),
        ):
            await keys(pilot, key)
            assert words in toasts(pilot)


async def test_hostile_text_is_refused_in_words(tmp_path: Path) -> None:
    async with at_groove(tmp_path) as pilot:
        for text in HOSTILE:
            await fill(pilot, root=text, ring=text, swell=text, pressure=text, chamfer=text)
            notes = groove_screen(pilot)._judged.notes
            assert all(notes[key].error for key in ("root", "ring", "swell", "pressure"))
            assert "! " in shown(pilot)


async def test_every_binding_has_id_and_words(tmp_path: Path) -> None:
    mine = [one for one in GrooveScreen.BINDINGS if isinstance(one, Binding)]
    assert all(one.id and one.description and one.tooltip for one in mine)
    async with at_groove(tmp_path) as pilot:
        assert 1 <= len(pilot.app.screen.query("FooterKey")) <= 6
        await keys(pilot, "f1")
        assert "Does the ring seal" in shown(pilot)
