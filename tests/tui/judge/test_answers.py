"""What each judgement says, asked without a screen; outside facts where there are any."""

from __future__ import annotations

import json
from itertools import product
from typing import cast

import pytest

from tests.tui.command_line import CommandLine
from tui.answers.chances import short_percent
from tui.fields.units import Units, keep
from tui.operations.fill import FILL, filled
from tui.screens.judge.element import ElementPanel
from tui.screens.judge.element_fields import ELEMENT_ASKS, EXAMPLE, HOUSING_ASKS
from tui.screens.judge.fill import FillPanel
from tui.screens.judge.fluid import FluidPanel
from tui.screens.judge.panel import Panel, answer
from tui.screens.judge.port import PortPanel
from tui.screens.judge.reading import Reader
from tui.screens.judge.rubber import RubberPanel
from tui.screens.judge.ruling import Line, Ruling
from tui.screens.judge.seal import SealPanel
from tui.screens.judge.thread import ThreadPanel
from tui.screens.judge.torque import TorquePanel
from tui.screens.judge.viscosity import ViscosityPanel
from tui.widgets.judge.element_in_housing import InHousing
from tui.widgets.judge.load_bars import LoadBar
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.section_text import Drawn
from tui.widgets.judge.sight_glass import Glass
from tui.widgets.judge.step_path import Step
from tui.widgets.judge.viscosity_plot import Plot

PANELS: tuple[type[Panel], ...] = (
    *(ElementPanel, FluidPanel, RubberPanel, ViscosityPanel),
    *(FillPanel, ThreadPanel, PortPanel, TorquePanel, SealPanel),
)


def ask(kind: type[Panel], unit: str = "mm", /, **answers: str) -> Ruling:
    """The judgement on these answers; every word that is not named is the first one."""
    blank = {one.key: one.words[0] if one.words else "" for one in kind.ASKS}
    assert answers.keys() <= blank.keys()
    return kind().judge({**blank, **answers}, unit)


def line(ruling: Ruling, name: str) -> Line:
    return next(one for one in ruling.lines if one.name == name)


def element(**changes: str) -> Ruling:
    return ask(ElementPanel, **{**EXAMPLE, **changes})


@pytest.mark.parametrize("kind", PANELS)
def test_nothing_typed_says_what_to_type(kind: type[Panel]) -> None:
    ruling = ask(kind)
    assert not ruling.word
    assert not ruling.lines
    assert ruling.picture is None
    assert ruling.says[0] == kind.EMPTY


@pytest.mark.parametrize("kind", PANELS)
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_example_is_judged_and_drawn(kind: type[Panel], unit: str) -> None:
    ruling = ask(kind, unit, **dict(kind.EXAMPLE))
    assert ruling.word
    assert ruling.lines
    assert ruling.picture
    assert not [note.error for note in ruling.notes.values() if note.error]
    assert kind.CAUTION


@pytest.mark.parametrize("kind", PANELS)
def test_a_field_that_cannot_be_read_leaves_no_verdict(kind: type[Panel]) -> None:
    """Nobody may go by a tick while a figure that could have turned it was not understood."""
    blank = {one.key: one.words[0] if one.words else "" for one in kind.ASKS}
    sound = {**blank, **kind.EXAMPLE}
    if kind is FluidPanel:
        sound |= {"have": "DOT 5.1", "need": "DOT 4"}
    if kind is ViscosityPanel:
        sound["start"] = "0 °C"
    if kind is TorquePanel:
        sound["condition"] = "dry"
    permits = {Mark.GOOD, Mark.CARE}
    assert kind().ruled(sound, "mm").mark in permits
    first = sound[kind.ASKS[0].key]
    for one in kind.ASKS:
        if one.words or (one.when and first not in one.when):
            continue
        ruling = kind().ruled({**sound, one.key: "dry=180C wet=140C dry=180C wet=140C"}, "mm")
        assert ruling.mark not in permits, one.key


def test_every_field_of_an_element_has_its_own_key() -> None:
    keys = [one.key for one in (*ELEMENT_ASKS, *HOUSING_ASKS)]
    assert len(set(keys)) == len(keys)


# Element


def test_an_element_that_meets_everything_fits() -> None:
    ruling = element(h_medium="60 mesh")
    assert (ruling.mark, ruling.word) == (Mark.GOOD, "fits")


def test_an_elements_criteria_are_the_commands_own() -> None:
    from tui.answers.filters import GRADES
    from tui.operations.filter import fits
    from tui.screens.judge.element_fields import read_element, read_housing
    from tui.screens.judge.reading import Reader

    reader = Reader(dict(EXAMPLE), "mm")
    body = read_element(reader)
    assert body is not None
    told = fits(body, read_housing(reader, body.kind))
    assert [(one.sentence, one.word, one.source) for one in element().lines] == [
        (one.text, GRADES[one.grade], one.source) for one in told.criteria
    ]


def test_fields_that_do_not_go_together_are_refused_at_their_place() -> None:
    ruling = element(bypass="no", bypass_opens="1 bar")
    assert "leave one of them out" in ruling.notes["bypass"].error
    assert ruling.lines


def test_a_loose_bore_leaks_and_is_named_first() -> None:
    ruling = element(head_diameter="26")
    assert (ruling.mark, ruling.word) == (Mark.BAD, "does not fit")
    assert ruling.lines[0].name == "head-end seal"
    assert "unfiltered oil passes" in ruling.lines[0].sentence
    picture = ruling.picture
    assert isinstance(picture, InHousing)
    assert picture.head.seal is Mark.BAD
    assert picture.cover.seal is Mark.GOOD


def test_a_short_spring_lets_it_float() -> None:
    ruling = element(h_spring_free="5", h_spring_compressed="3")
    assert ruling.word == "does not fit"
    assert "floats off its seat at the head end" in line(ruling, "length").sentence


def test_what_nobody_measured_is_listed_and_never_fits() -> None:
    ruling = element(h_medium="60 mesh", depth="", collapse="")
    assert (ruling.mark, ruling.word) == (Mark.MEASURE, "not known yet")
    assert {one.name for one in ruling.to_measure} >= {"length", "collapse"}
    assert all(one.sentence.startswith("Measure this before you trust it") for one in ruling.to_measure)
    assert "2 things to measure before you trust it" in answer(ruling, plain=False)[-1].plain


def test_a_wrong_field_says_so_and_counts_as_not_measured() -> None:
    ruling = element(depth="13o")
    assert ruling.notes["depth"].error
    assert "length" in {one.name for one in ruling.to_measure}
    assert any("could not be read" in text for text in ruling.says)


def test_a_line_of_words_fills_in_for_empty_fields_and_a_field_wins() -> None:
    by_words = element().picture
    by_field = element(od="62").picture
    assert isinstance(by_words, InHousing)
    assert isinstance(by_field, InHousing)
    assert (by_words.od_mm, by_words.length_mm, by_field.od_mm) == (60, 120, 62)


def test_it_says_when_it_goes_in_turned() -> None:
    ruling = element(line="cartridge, 60 × 120, 60 mesh", first="closed", second="open", second_id="30",
                     first_seal="?", second_seal="grommet")  # fmt: skip
    assert any("turned end for end" in text for text in ruling.says)
    picture = ruling.picture
    assert isinstance(picture, InHousing)
    assert picture.head.form == "open"


def test_a_can_is_judged_by_thread_and_gasket() -> None:
    can = {"kind": "spin-on", "line": "spin-on, 93 × 142, thread 3/4-16, gasket 62 × 71"}
    good = ask(ElementPanel, **can, h_thread="3/4-16", land_id="60", land_od="73", groove_depth="0")
    assert line(good, "thread").mark is Mark.GOOD
    bad = ask(ElementPanel, **can, h_thread="M20x1.5", land_id="60", land_od="73", groove_depth="0")
    assert bad.lines[0].name == "thread"
    assert bad.word == "does not fit"


@pytest.mark.parametrize("text", ["61 meshes", "β", "10 µm beta 0.5", "x" * 200])
def test_a_medium_that_is_none_says_what_to_type(text: str) -> None:
    assert "type" in element(h_medium=text).notes["h_medium"].error


def test_sizes_are_drawn_in_the_session_unit() -> None:
    picture = ask(ElementPanel, "in", **{**EXAMPLE, "line": "cartridge, 60 mm × 120 mm"}).picture
    assert isinstance(picture, InHousing)
    assert picture.sizes.startswith("element 2.362 × 4.724, room ")
    assert picture.sizes.endswith(" in")


# Fluid


@pytest.mark.parametrize(
    ("have", "want", "word"),
    [
        ("UTTO", "UTTO", "yes"),
        ("DOT 4", "DOT 3", "yes"),  # FMVSS 116: glycol fluids, the higher grade exceeds every limit of the lower
        ("DOT 5", "DOT 4", "no"),  # FMVSS 116: silicone; 49 CFR 571.116 S5.1.13 keeps them apart
        ("STOU, 10W-30", "UTTO", "with care"),  # common practice, no source
        ("UTTO, 10W-30", "UTTO, 10W-30", "yes"),
        ("orchard special", "UTTO", "no"),
    ],
)
def test_a_fluid_is_answered_in_a_word(have: str, want: str, word: str) -> None:
    assert ask(FluidPanel, have=have, need=want).word == word


def test_a_stand_in_shows_path_condition_and_trust() -> None:
    ruling = ask(FluidPanel, have="STOU", need="UTTO")
    step = line(ruling, "STOU for UTTO")
    assert "wet brakes" in step.sentence
    assert "unchecked row" in step.source
    assert {one.name for one in ruling.lines if one.word == "asked for"} == {"UTTO"}


def test_an_unknown_class_is_named_with_what_is_near() -> None:
    assert "not in the tables" in ask(FluidPanel, have="UTTX", need="UTTO").notes["have"].echo
    assert "12 at most" in ask(FluidPanel, have=", ".join(["UTTO"] * 13), need="UTTO").notes["have"].error


def test_two_cautions_are_a_no_and_the_way_is_drawn() -> None:
    ruling = ask(FluidPanel, have="API GL-5", need="API GL-1")
    assert ruling.word == "no"
    assert ruling.says[0].startswith("No rule permits")
    (step,) = cast("tuple[Step, ...]", ruling.picture)
    assert step.classes == ("API GL-5", "API GL-4", "API GL-1")


def test_figures_are_judged_alone_or_beside_the_label() -> None:
    # FMVSS 116: DOT 4 boils at 230 °C or more dry, 155 °C or more wet.
    ruling = ask(FluidPanel, need="DOT 4", figures="dry=232C wet=150C")
    assert ruling.word == "no"
    assert line(ruling, "wet boiling point").word == "no"
    assert "446" in line(ruling, "dry boiling point").sentence
    assert any(one.word == "why" and "FMVSS 116" in one.sentence for one in ruling.lines)
    assert ask(FluidPanel, have="DOT 4", need="DOT 3", figures="dry=210C wet=141C").word == "yes"
    assert ask(FluidPanel, have="DOT 4", need="DOT 3", figures="dry=190C wet=130C").word == "no"
    assert "name=value" in ask(FluidPanel, need="DOT 4", figures="232").notes["figures"].error


@pytest.mark.parametrize("have", ["DOT 4", "DOT 5.1"])
def test_a_no_says_why_not_and_nothing_else(have: str) -> None:
    # FMVSS 116: DOT 4 boils at 230 °C or more dry.
    low = ask(FluidPanel, have=have, need="DOT 4", figures="dry=180C wet=160C")
    assert low.word == "no"
    assert len(low.says) == 1
    assert low.says[0].startswith("By what was measured it is not DOT 4: dry boiling point 180 °C")
    claim = ask(FluidPanel, have="DOT 3", need="DOT 4", figures="dry=260C wet=180C")
    assert (claim.word, len(claim.says)) == ("no", 1)
    assert "lower temperature" in claim.says[0]


def test_a_bare_temperature_follows_the_bench_and_not_the_session() -> None:
    # 205 °C is 401 °F; no brake fluid boils at 401 °C.
    for unit in ("mm", "in"):
        assert ask(FluidPanel, unit, need="DOT 3", figures="dry=401 wet=284").word == ""
    keep(Units(temperature="°F"))
    for unit in ("mm", "in"):
        assert ask(FluidPanel, unit, need="DOT 3", figures="dry=401 wet=284").word == "yes"


def test_an_ambiguous_word_is_asked_back_at_its_field() -> None:
    ruling = ask(FluidPanel, have="synthetic", need="HM")
    assert "type which" in ruling.notes["have"].error
    assert ruling.word == ""


def test_grease_over_grease_names_the_charts() -> None:
    ruling = ask(FluidPanel, have="polyurea grease", need="calcium complex grease")
    assert ruling.word == "no"
    assert sum(one.word == "why" for one in ruling.lines) >= 2


# Viscosity


def test_an_iso_grade_is_told_and_the_index_is_a_hundred_or_so() -> None:
    # ISO 3448: VG 46 is 41.4 to 50.6 mm²/s at 40 °C. ASTM D2270: an oil of 46 and 6.8 mm²/s has an index of about 100.
    ruling = ask(ViscosityPanel, cold="46", hot="6.8")
    assert line(ruling, "ISO 3448").word == "VG 46"
    assert line(ruling, "viscosity index").word in ("VI 101", "VI 102", "VI 103")


def test_the_window_answers_the_cold_start() -> None:
    oil = {"cold": "46", "hot": "6.8", "least": "10", "most": "1000"}
    assert ask(ViscosityPanel, **oil, start="-10").word == "no"
    assert ask(ViscosityPanel, **oil, start="50", work="70").word == "yes"
    assert ask(ViscosityPanel, **oil, start="0").word == "with care", "outside the measured temperatures"
    assert ask(ViscosityPanel, **oil, work="95").word == "no"
    plot = ask(ViscosityPanel, **oil).picture
    assert isinstance(plot, Plot)
    assert plot.coldest_c is not None
    assert plot.hottest_c is not None
    assert -10 < plot.coldest_c < 0 < plot.hottest_c < 95


def test_half_a_limit_is_something_to_find_out() -> None:
    ruling = ask(ViscosityPanel, cold="46", hot="6.8", start="-10")
    assert (ruling.mark, ruling.word) == (Mark.MEASURE, "not known yet")
    assert "the most that the pump tolerates" in ruling.to_measure[0].sentence


def test_an_index_stands_in_for_the_second_viscosity() -> None:
    by_index, by_points = ask(ViscosityPanel, cold="46", index="102"), ask(ViscosityPanel, cold="46", hot="6.8")
    assert line(by_index, "ISO 3448").sentence == line(by_points, "ISO 3448").sentence
    assert "keep one" in ask(ViscosityPanel, cold="46", hot="6.8", index="100").notes["index"].error


def test_a_blend_lies_between_its_parts() -> None:
    ruling = ask(ViscosityPanel, cold="46", hot="6.8", mix_cold="100", mix_hot="11", share="50")
    assert line(ruling, "ISO 3448").word == "VG 68"
    assert (
        "between 0 and 1"
        in ask(ViscosityPanel, cold="46", hot="6.8", mix_cold="100", mix_hot="11", share="140").notes["share"].error
    )


def test_a_bare_number_is_in_the_benchs_unit_whatever_lengths_are_read_in() -> None:
    for unit in ("mm", "in"):
        assert ask(ViscosityPanel, unit, cold="46", hot="6.8", start="14").notes["start"].echo.startswith("14 °C = ")
        assert (
            ask(TorquePanel, unit, thread="M16", strength="8.8", torque="100")
            .notes["torque"]
            .echo.startswith("100 N·m = ")
        )
        assert ask(FillPanel, unit, low="3", full="4").notes["full"].echo.startswith("4 L = ")
    keep(Units(torque="lbf·ft", pressure="psi", volume="US qt", temperature="°F"))
    for unit in ("mm", "in"):
        start = ask(ViscosityPanel, unit, cold="46", hot="6.8", start="14").notes["start"]
        assert start.echo.startswith("14 °F = -10 °C")
        assert (
            ask(TorquePanel, unit, thread="M16", strength="8.8", torque="100")
            .notes["torque"]
            .echo.startswith("100 lbf·ft = ")
        )
        assert ask(FillPanel, unit, low="3", full="4").notes["full"].echo.startswith("4 US qt = ")


def test_oil_that_thickens_when_hot_is_refused() -> None:
    assert "thinner" in ask(ViscosityPanel, cold="6.8", hot="46").notes["hot"].error


# Fill


def test_six_and_five_quarts_stand_at_an_eleven_quart_low_mark() -> None:
    # Common practice, no source.
    ruling = ask(FillPanel, low="11 qt", full="12 qt", poured="6 qt, 5 qt")
    assert ruling.word == "at the low mark"
    assert "1.00 US qt" in ruling.says[0]


def test_an_over_fill_is_called_by_how_much() -> None:
    ruling = ask(FillPanel, low="11 qt", full="12 qt", poured="6 qt, 5 qt, 2 qt")
    assert (ruling.mark, ruling.word) == (Mark.BAD, "over the full mark")
    assert "OVER-FILLED by 1.00 US qt (0.95 L)" in ruling.says[0]  # NIST SP 811: 1 US qt = 0.946 352 9 L
    glass = ruling.picture
    assert isinstance(glass, Glass)
    assert glass.over
    assert glass.level == pytest.approx(13 / 12)


def test_what_is_poured_back_counts_as_poured() -> None:
    ruling = ask(FillPanel, full="12 L", drained="10 L", poured="4 L reused, 8 L")
    assert ruling.word == "at the full mark"
    assert line(ruling, "of it poured back").word == "4.00 L"
    assert line(ruling, "goes to disposal").word == "6.00 L"


def test_packs_to_open_come_from_the_usual_ones_of_the_same_family() -> None:
    assert "1 × 1 qt" in line(ask(FillPanel, full="12 qt", poured="11 qt"), "packs to full mark").sentence
    assert "1 × 1 L" in line(ask(FillPanel, full="12 L", poured="11 L"), "packs to full mark").sentence
    own = ask(FillPanel, full="12 L", poured="2 L", packs="4 L, 5 L")
    assert "2 × 5 L" in line(own, "packs to full mark").sentence


def test_packs_of_which_there_are_only_so_many_run_short() -> None:
    # By arithmetic: of 12 qt asked, two gallons are 8 qt (a US gallon is four quarts) and one quart makes nine.
    ruling = ask(FillPanel, full="12 qt", packs="1 gal=2, 1 qt=1")
    found = line(ruling, "packs to full mark")
    assert (found.mark, found.word) == (Mark.BAD, "short")
    assert found.sentence.startswith("2 × 1 gal, 1 × 1 qt, all there is: SHORT 3.00 US qt")
    assert "2 there" in ruling.notes["packs"].echo
    enough = line(ask(FillPanel, full="12 qt", poured="3 qt", packs="1 gal=2, 1 qt"), "packs to full mark")
    assert enough.sentence == "2 × 1 gal, 1 × 1 qt; nothing left over."
    assert "nothing is there" in line(ask(FillPanel, full="1 qt", packs="1 qt=0"), "packs to full mark").sentence
    for typed in ("1 gal=", "1 gal=two", "1 gal=-1", "=3"):
        assert ask(FillPanel, full="12 qt", packs=typed).notes["packs"].error


def test_the_panel_and_the_command_give_one_answer(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    told = {"low": "11 qt", "held": "12", "drained": "10", "poured": "6 qt, 1 L reused", "packs": "1 gal=1, 1 qt"}
    command = CommandLine(capsys, monkeypatch)
    for setting, left_out in product((Units(), Units(volume="US qt")), ((), ("held",), ("packs",), ("held", "poured"))):
        keep(setting)
        typed = {key: text for key, text in told.items() if key not in left_out}
        reader = Reader(typed, "mm")
        answer = reader.answer(FILL, filled, reader.read(FILL))
        assert answer is not None, reader.notes
        words = [word for key, text in typed.items() for word in (f"--{key}", text)]
        assert command("fill", *words, "--json").json == json.loads(json.dumps(answer.as_json()))
        assert command("fill", *words).out.splitlines() == answer.words()
        ruling = ask(FillPanel, **typed)
        assert ruling.says[0] in answer.words()
        assert any(text.startswith(ruling.says[1]) for text in answer.words())
        assert len(ruling.says) == 2


@pytest.mark.parametrize(
    ("answers", "key"),
    [
        ({"low": "12", "full": "11"}, "low"),
        ({"full": "12", "drained": "1", "poured": "2 back"}, "poured"),
        ({"full": "12", "held": "5", "drained": "6"}, "drained"),
        ({"full": "-1"}, "full"),
        ({"full": "12", "poured": ", ".join(["1"] * 201)}, "poured"),
        ({"full": "12 kg"}, "full"),
        ({"full": "12", "held": "1, 2"}, "held"),
        ({"full": "12", "packs": ", ".join(["1 qt"] * 13)}, "packs"),
        ({"full": "12", "packs": "0 qt"}, "packs"),
    ],
)
def test_a_fill_that_cannot_be_is_refused_at_its_field(answers: dict[str, str], key: str) -> None:
    error = ask(FillPanel, **answers).notes[key].error
    assert error
    assert "type" in error or "enter" in error or "check" in error


# Thread


def test_an_m8_takes_a_thirteen_millimetre_wrench() -> None:
    # ISO 4014 and common practice.
    ruling = ask(ThreadPanel, where="bolt", diameter="7.9", pitch="1.25", wear="sound")
    assert (ruling.mark, ruling.word) == (Mark.GOOD, "M8")
    assert "13 mm" in [one.name for one in ruling.lines if one.word == "wrench"]
    assert "5/16-18 UNC" in [one.name for one in ruling.lines if one.word == "look-alike"]


def test_a_diameter_alone_asks_for_the_pitch() -> None:
    ruling = ask(ThreadPanel, where="bolt", diameter="9.4", wear="sound")
    assert ruling.mark is Mark.CARE
    assert any("pitch" in text for text in ruling.says)


def test_threads_per_inch_are_taken_in_place_of_the_pitch() -> None:
    ruling = ask(ThreadPanel, where="bolt", diameter="0.371 in", tpi="24", wear="sound")
    assert ruling.word == "3/8-24 UNF"
    both = ask(ThreadPanel, where="bolt", diameter="9.4", pitch="1", tpi="24", wear="sound")
    assert "keep one" in both.notes["tpi"].error
    # ISO 228-1: G 1/2 has 14 threads per inch; ten of them are 18.14 mm.
    over = ask(ThreadPanel, where="bolt", diameter="20.8", over="18.14", threads="10", wear="sound")
    assert over.word == "G 1/2"
    assert "how many threads" in ask(ThreadPanel, where="bolt", diameter="20.8", over="18.14").notes["threads"].error


def test_a_thread_of_no_table_says_so() -> None:
    ruling = ask(ThreadPanel, where="bolt", diameter="9.0 ± 0.02", pitch="1.11 ± 0.005", wear="sound")
    assert (ruling.mark, ruling.word) == (Mark.BAD, "no standard thread")
    assert "nearest" in ruling.says[0]


def test_damage_is_said() -> None:
    ruling = ask(ThreadPanel, where="bolt", diameter="7.6", pitch="1.25", wear="damaged")
    assert any("Do not put a damaged thread back under load" in text for text in ruling.says)


def test_whitworth_is_named_by_its_leaf() -> None:
    """BS 84: 3/8 BSW has 16 threads per inch at 55°, as 3/8 UNC has at 60°."""
    bolt = {"where": "bolt", "diameter": "9.45", "tpi": "16", "wear": "sound"}
    assert ask(ThreadPanel, **bolt, flank="55").word == "BSW 3/8"
    assert ask(ThreadPanel, **bolt, flank="60").word == "3/8-16 UNC"
    assert any("55° leaf" in text for text in ask(ThreadPanel, **bolt).says)
    assert "56±2" in ask(ThreadPanel, **bolt, flank="57").notes["flank"].error
    assert "6 of 100" in " ".join(one.sentence for one in ask(ThreadPanel, **bolt, flank="55").lines)


# Port


def test_the_seal_is_asked_before_any_ring_is_named() -> None:
    plug = {"diameter": "11.0", "tpi": "20"}
    blind = ask(PortPanel, **plug)
    assert blind.mark is Mark.CARE
    assert "no ring is certain" in blind.says[0]
    assert "how does it seal" in blind.word
    seen = ask(PortPanel, **plug, seal="chamfer")
    # SAE J1926-1: 7/16-20 takes AS568-904.
    assert (seen.mark, seen.word) == (Mark.GOOD, "SAE J1926-1 7/16-20")
    assert "AS568-904" in seen.says[0]
    assert seen.picture == Drawn("port", "chamfer")
    cone = ask(PortPanel, **plug, seal="cone")
    assert cone.mark is Mark.CARE
    assert any("seat gauge" in text for text in cone.says)


def test_port_and_thread_panels_say_the_same_of_a_thread() -> None:
    readings = {"diameter": "20.9", "tpi": "14"}
    thread = ask(ThreadPanel, where="bolt", wear="sound", **readings)
    port = ask(PortPanel, **readings)
    chance = next(one.word for one in thread.lines if one.name == "G 1/2")
    assert f"G 1/2 ({chance})" in port.says[0]


def test_a_tube_names_its_boss_and_the_rows_note_is_shown() -> None:
    assert "AS568-906" in ask(PortPanel, tube="3/8", seal="chamfer").says[0]
    assert "AS568-012" in ask(PortPanel, tube="-6", seal="face").says[0]
    blind = ask(PortPanel, tube="3/8")
    assert "no ring is certain" in blind.says[0]
    assert {one.word for one in blind.lines if one.word != "why"} == {"chamfer", "face", "cone"}
    odd = ask(PortPanel, diameter="20.55", tpi="16", seal="chamfer")
    assert any("not a preferred J1926 size: verify" in text for text in odd.says)
    assert ask(PortPanel, tube="3/8", seal="cone").mark is Mark.CARE, "a 37° flare, a 45° one or an inverted one"
    assert ask(PortPanel, tube="3/8", diameter="11").notes["tube"].error
    assert ask(PortPanel, tube="three").notes["tube"].error
    assert ask(PortPanel, tube="77 mm").word == "no joint"


def test_a_plug_with_a_washer_names_it() -> None:
    plug = ask(PortPanel, diameter="13.9", pitch="1.5", seal="washer")
    assert "14 × 18 × 1.5" in [one.name for one in plug.lines if one.word == "washer"]


def test_a_thread_of_no_port_says_so() -> None:
    assert ask(PortPanel, diameter="50.3", tpi="7.4").word == "no port"
    assert ask(PortPanel, diameter="9.45", tpi="16", seal="chamfer").mark is Mark.BAD


# Washers and shaft seals


def test_a_washer_and_a_shaft_seal_are_named() -> None:
    washer = ask(SealPanel, inside="14.2", outside="17.9", thick="1.4", state="used")
    assert (washer.mark, washer.word) == (Mark.GOOD, "14 × 18 × 1.5")
    shaft = ask(SealPanel, seal="shaft seal", shaft="34.95", bore="52", width="7")
    assert (shaft.mark, shaft.word) == (Mark.GOOD, "35 × 52 × 7")
    assert any("faces the fluid" in one.sentence for one in shaft.lines)
    assert shaft.picture == Drawn("shaft seal")
    plug = ask(SealPanel, thread="M14x1.5")
    assert plug.word == "14 × 18 × 1.5"
    assert ask(SealPanel, thread="NPT 1/2").mark is Mark.BAD


def test_a_seal_of_no_table_says_so_and_a_swap_is_refused() -> None:
    inch = ask(SealPanel, seal="shaft seal", shaft="34.925±0.05", bore="52.388±0.05")
    assert inch.word == "no such size"
    assert any("1 3/8 × 2 1/16 in" in text for text in inch.says)
    assert "swapped" in ask(SealPanel, inside="18", outside="14").notes["inside"].error
    assert "swapped" in ask(SealPanel, seal="shaft seal", shaft="52", bore="35").notes["shaft"].error
    assert "not both" in ask(SealPanel, inside="14", thread="M14x1.5").notes["thread"].error
    assert ask(SealPanel, inside="0").notes["inside"].error


def test_the_seals_panel_and_the_commands_give_one_answer(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    command = CommandLine(capsys, monkeypatch)
    for kind, typed in (
        ("washer", {"inside": "14.2", "outside": "17.9", "thick": "1.4"}),
        ("washer", {"inside": "13.8±0.05", "outside": "20.6", "kind": "bonded"}),
        ("washer", {"inside": "12.75±0.02mm", "outside": "19.05±0.02mm"}),
        ("washer", {"thread": "M14", "kind": "bonded"}),
        ("washer", {"thread": "1/2-20"}),
        ("shaft seal", {"shaft": "34.95", "bore": "52", "width": "7"}),
        ("shaft seal", {"shaft": "1.375", "bore": "2.062"}),
    ):
        for unit, new in product(("mm", "in"), (False, True)):
            words = [word for key, text in typed.items() for word in (f"--{key}", text)]
            words += ["--new"] if new and kind == "washer" else []
            told = command(kind.replace(" ", "-"), *words, "--unit", unit, "--json").json
            ruling = ask(SealPanel, unit, seal=kind, state="new" if new else "used", **typed)
            sizes = [one["size"] for one in told.get("washers", told.get("seals"))]
            assert [one.name for one in ruling.lines if one.name in sizes] == sizes
            found = command(kind.replace(" ", "-"), *words, "--unit", unit)
            assert (ruling.mark is Mark.BAD) == (found.code == 1)
            for sentence in (*told.get("notes", ()), told.get("settle")):
                assert sentence is None or (sentence in ruling.says and sentence in found.out)
            chances = [short_percent(one["probability"]) for one in told.get("washers", told.get("seals"))
                       if "probability" in one]  # fmt: skip
            assert not chances or [one.word for one in ruling.lines if one.name in sizes] == chances


# Torque


def test_a_dry_figure_on_an_oiled_thread_is_flagged_in_percent() -> None:
    ruling = ask(TorquePanel, thread="M16x2", strength="8.8", condition="oiled", torque="100 lbf·ft", meant_for="dry")
    assert ruling.mark is Mark.BAD
    # T = K d F: at one torque the clamp load goes as 1/K; 0.20 dry and 0.15 oiled are the usual handbook figures.
    assert ruling.word == f"{100 * (0.20 / 0.15 - 1):.0f} % too tight"
    assert "manual" in ruling.caution


@pytest.mark.parametrize("condition", ["oiled", "anti-seize", "rusty"])
def test_the_tick_belongs_to_the_condition_that_was_meant(condition: str) -> None:
    bolt = {"thread": "M16x2", "strength": "8.8", "torque": "100 lbf·ft"}
    ruling = ask(TorquePanel, condition=condition, meant_for="dry", **bolt)
    assert ruling.mark is not Mark.GOOD
    assert [line.name for line in ruling.lines if line.mark is Mark.GOOD] == ["dry"]
    assert (ruling.lines[0].name, ruling.lines[0].mark, ruling.lines[1].name) == (condition, ruling.mark, "dry")
    as_meant = ask(TorquePanel, condition=condition, meant_for=condition, **bolt)
    assert {line.name for line in as_meant.lines if line.mark is Mark.GOOD} <= {condition}


def test_stress_and_breaking_load_stand_beside_the_proof_load_that_is_printed() -> None:
    ruling = ask(TorquePanel, thread="M14", strength="8.8", condition="dry", meant_for="dry")
    said = {line.name: line.word for line in ruling.lines}
    # ISO 898-1 prints 66 700 N; 115 mm² × 800 MPa = 92.4 kN; three quarters of 66.7 kN over 115.44 mm² = 433 MPa.
    assert (said["proof load"], said["breaking load"], said["stress"]) == ("66.7 kN", "92.4 kN", "433 MPa")
    assert any(line.name == "rule" and line.source for line in ruling.lines)


def test_dry_stainless_is_with_care() -> None:
    ruling = ask(TorquePanel, thread="M8", strength="A2-70", condition="dry", meant_for="dry")
    assert ruling.mark is Mark.CARE
    assert any("anti-seize" in text for text in ruling.says)


def test_saybolt_seconds_are_read_and_asked_for_their_temperature() -> None:
    ruling = ask(ViscosityPanel, cold="150 SUS", hot="44 SUS", cold_t="100 °F", hot_t="210 °F")
    assert not any("Measured elsewhere" in text for text in ruling.says)
    # ASTM D2161: 150 SUS at 100 °F is 31.9 mm²/s.
    assert ruling.notes["cold"].echo.startswith("150 SUS = 31.9 mm²/s")
    told = ask(ViscosityPanel, cold="150 SUS", hot="44 SUS")
    assert any("Measured elsewhere" in text for text in told.says)


def test_a_wheel_bolt_at_a_hundred_foot_pounds_is_below_the_dry_limit() -> None:
    # Common practice, no source: M16 × 2 wheel bolts near 100 lbf·ft, below the dry class 8.8 limit.
    ruling = ask(TorquePanel, thread="M16x2", strength="8.8", condition="dry", torque="100 lbf·ft", meant_for="dry")
    assert (ruling.mark, ruling.word) == (Mark.GOOD, "within the proof load")
    assert ruling.notes["torque"].echo == "100 lbf·ft = 136 N·m"  # NIST SP 811


def test_a_joint_that_clamps_nothing_gets_no_tick() -> None:
    # 85 lbf·ft is the right figure, 115 N·m; read as lbf·in it is a twelfth. Common practice, no source.
    ruling = ask(TorquePanel, thread="M12", strength="8.8", torque="85 lbf in")
    assert (ruling.mark, ruling.word) == (Mark.BAD, "far too loose")
    assert "1 lbf·ft is 12 lbf·in" in " ".join(ruling.says)
    assert Mark.GOOD not in {one.mark for one in ruling.lines}
    for share, word in (("0.39", "far too loose"), ("0.41", "within the proof load")):
        assert ask(TorquePanel, thread="M12", strength="8.8", fraction=share).word == word


def test_no_torque_gives_the_usual_one_and_too_much_is_an_overload() -> None:
    bolt = {"thread": "M16x2", "strength": "8.8", "condition": "dry", "meant_for": "dry"}
    assert any("75 % of the proof load is usual" in text for text in ask(TorquePanel, **bolt).says)
    over = ask(TorquePanel, **bolt, torque="500")
    assert (over.mark, over.word) == (Mark.BAD, "overload")
    bars = over.picture
    assert isinstance(bars, tuple)
    assert all(isinstance(bar, LoadBar) and bar.low <= bar.typical <= bar.high for bar in bars)
    assert sum(bar.chosen for bar in bars) == 1


@pytest.mark.parametrize(
    ("answers", "key"),
    [
        ({"thread": "M17", "strength": "8.8"}, "thread"),
        ({"thread": "M16", "strength": "9.9"}, "strength"),
        ({"thread": "G 1/2", "strength": "8.8"}, "strength"),
        ({"thread": "M16", "strength": "8.8", "torque": "100 psi"}, "torque"),
        ({"thread": "M16", "strength": "8.8", "torque": "0"}, "torque"),
    ],
)
def test_a_bolt_that_cannot_be_is_refused_at_its_field(answers: dict[str, str], key: str) -> None:
    ruling = ask(TorquePanel, condition="dry", meant_for="dry", **answers)
    assert not ruling.lines
    assert ruling.notes[key].error


# Rubber. 49 CFR 571.116 names SBR, ethylene-propylene, CR and NR as what brake fluid touches.


def test_a_glycol_brake_takes_epdm_first_and_never_silicone_rubber() -> None:
    ruling = ask(RubberPanel, fluid="DOT 4", coldest="-30 C", hottest="80 C")
    assert (ruling.mark, ruling.word) == (Mark.GOOD, "EPDM, SBR, NR")
    assert [one.name for one in ruling.lines][:5] == ["EPDM", "SBR", "NR", "CR", "PTFE"]
    assert line(ruling, "VMQ").mark is Mark.BAD
    assert "571.116" in line(ruling, "VMQ").source


def test_a_word_of_several_fluids_is_asked_back_with_its_choices() -> None:
    ruling = ask(RubberPanel, fluid="synthetic")
    assert (ruling.mark, ruling.word) == (Mark.MEASURE, "which fluid?")
    assert {"HFDU", "HEES", "ENGINE"} <= {one.name for one in ruling.lines}
    assert "several fluids" in ruling.notes["fluid"].error


def test_a_fluid_with_care_names_the_danger_before_the_list() -> None:
    assert "attack the yellow metal of synchronizers" in ask(FluidPanel, have="API GL-5", need="API GL-4").says[0]


@pytest.mark.parametrize(
    ("index", "told"), [("DOT 4", "'DOT 4' is not a number; type for example 100"), ("9999999", "too large")]
)
def test_a_word_where_a_number_is_asked_gets_no_power_of_ten(index: str, told: str) -> None:
    error = ask(ViscosityPanel, cold="46", index=index).notes["index"].error
    assert told in error
    assert "e+0" not in error


# Unchecked rows: four families are rated 3 in steam.
def test_hot_water_is_named_and_its_doubtful_rubbers_stand_apart() -> None:
    ruling = ask(RubberPanel, fluid="water", coldest="-10 C", hottest="150 C")
    assert ruling.word == "with care: EPDM, PTFE; doubtful: HNBR, FKM, VMQ, FVMQ"
    assert ruling.says[0] == "In hot water over 80 °C, steam."
    assert ruling.says[1].startswith("Water freezes below 0 °C")
    assert line(ruling, "HNBR").word == "doubtful"
    cool = ask(RubberPanel, fluid="water", coldest="5 C", hottest="80 C")
    assert cool.says == ("In water up to 80 °C.",)


def test_one_rubber_gets_every_reason_worst_first() -> None:
    ruling = ask(RubberPanel, fluid="DOT 5.1", family="FKM", hottest="60 C")
    assert (ruling.mark, ruling.word) == (Mark.BAD, "never use it here")
    assert [one.name for one in ruling.lines] == ["fluid", "temperature"]
    assert "the brake can fail" in ruling.lines[0].sentence


def test_what_nobody_rated_is_not_known() -> None:
    ruling = ask(RubberPanel, fluid="HEPG", family="SBR")
    assert (ruling.mark, ruling.word) == (Mark.MEASURE, "not known, ask the ring's maker")


@pytest.mark.parametrize(
    ("field", "text", "told"),
    [
        ("fluid", "honey", "not in the tables"),
        ("hottest", "-40 C", "swap them"),
        ("family", "XYZ", "not a rubber family"),
        ("hardness", "20", "Shore A"),
        ("gap", "0.2", "under pressure"),
    ],
)
def test_what_cannot_be_read_of_a_rubber_is_said_at_its_field(field: str, text: str, told: str) -> None:
    ruling = ask(RubberPanel, **{"fluid": "UTTO", field: text})
    assert told in ruling.notes[field].error
    assert not ruling.lines


def test_fahrenheit_and_celsius_give_the_same_ruling() -> None:
    """212 °F is the printed 100 °C of NBR, not a hair over it."""
    celsius = ask(RubberPanel, fluid="HM", family="NBR", coldest="-30 C", hottest="100 C")
    fahrenheit = ask(RubberPanel, fluid="HM", family="NBR", coldest="-22 F", hottest="212 F")
    assert (celsius.mark, celsius.lines) == (fahrenheit.mark, fahrenheit.lines)
    assert celsius.mark is Mark.GOOD


def test_a_rubbers_reasons_are_the_commands_own() -> None:
    from tui.operations.rubber import RUBBER, rubbers_for
    from tui.screens.judge.reading import Reader

    reader = Reader({"fluid": "UTTO", "coldest": "-20C", "hottest": "100C"}, "mm")
    told = reader.answer(RUBBER, rubbers_for, reader.read(RUBBER))
    assert told is not None
    ruling = ask(RubberPanel, fluid="UTTO", coldest="-20C", hottest="100C")
    for one, shown in zip(told.judged, ruling.lines, strict=True):
        assert shown.name == one.family
        assert all(reason.rule in shown.sentence and reason.sourced in shown.source for reason in one.because)
    (alone,) = told.judged[:1]
    by_itself = ask(RubberPanel, fluid="UTTO", family=alone.family, coldest="-20C", hottest="100C")
    assert [f"{one.sentence} [{one.source}]" for one in by_itself.lines] == [one.words for one in alone.reasons]


def test_a_thread_and_a_seal_that_do_not_go_together_name_no_ring() -> None:
    # 11/16-18 stands in the inverted flare alone; M18x1.5 in no inverted flare, though it is an O-ring port too.
    flare = ask(PortPanel, diameter="17.4", tpi="18", seal="face")
    assert flare.mark is Mark.CARE
    assert any("not sealed as you said" in text for text in flare.says)
    port = ask(PortPanel, diameter="17.9", pitch="1.5", seal="face")
    assert not any("ring 15.3" in text for text in port.says)
