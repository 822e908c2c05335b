"""`kitwright ring` on one ring: the answer as text and as JSON, and what it says to input it cannot use."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


# SAE AS568: size 214 is 0.984 ± 0.010 in inside, 0.139 ± 0.004 in wide (24.99 and 3.53 mm).
def test_a_published_size_is_named_from_its_own_dimensions(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--id", "0.984in", "--width", "0.139in", "--series", "as568", "--json")
    best = ended.json["matches"][0]
    assert (ended.code, best["standard"], best["designation"]) == (0, "as568", "214")
    assert best["id_mm"] == pytest.approx(24.99, abs=0.005)
    assert best["cross_section_mm"] == pytest.approx(3.53, abs=0.005)
    assert best["residuals"] == pytest.approx({"id": 0.0, "width": 0.0}, abs=1e-3)


@pytest.mark.parametrize(
    "words",
    [
        ("--id", "24.9mm", "--width", "3.5mm"),
        ("--id", "24,9 mm", "--width", "3,5", "--width", "3.6", "--condition", "flattened"),
        ("--od", "1 1/4 in", "--tool", "rule"),
        ("--around", "80", "--width", "3.5"),
        ("--cut-length", "90", "--width", "3.5±0.1mm", "--condition", "used"),
        ("--id", "777.7", "--width", "19.3"),
        ("--id", "20", "--width", "5", "--od", "21"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("ring", *words, "--json")
    conforms("ring", ended.json)
    assert ended.code in (0, 1)


def test_the_schema_refuses_a_changed_answer(kitwright: CommandLine) -> None:
    answer = kitwright("ring", "--id", "24.9", "--width", "3.5", "--json").json
    del answer["matches"][0]["residuals"]
    assert not validator("ring").is_valid(answer)


def test_readings_say_what_was_understood(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--id", "1in", "--width", "3.5±0.2mm", "--tool", "rule", "--json")
    assert [(one["what"], one["value_mm"], one["tool"]) for one in ended.json["readings"]] == [
        ("id", 25.4, "rule"),
        ("width", 3.5, "stated"),
    ]
    assert ended.json["readings"][1]["plus_minus_mm"] == 0.2


def test_a_bare_number_takes_the_unit_option_on_either_side_of_the_command(kitwright: CommandLine) -> None:
    before = kitwright("--unit", "in", "ring", "--id", "0.984", "--json")
    after = kitwright("ring", "--id", "0.984", "--unit", "in", "--json")
    assert before.json == after.json
    assert before.json["readings"][0]["value_mm"] == pytest.approx(24.9936)


def test_two_widths_have_a_residual_each(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--id", "25", "--width", "3.3", "--width", "3.8", "--condition", "flattened", "--json")
    assert set(ended.json["matches"][0]["residuals"]) == {"id", "width", "width_2"}


def test_tools_may_differ_by_reading(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--id", "25", "--width", "3.5", "--tool", "rule,id=cone", "--json")
    assert [one["tool"] for one in ended.json["readings"]] == ["cone", "rule"]


def test_unless_told_a_tape_goes_around_and_a_rule_along_the_cut_ring(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--around", "80", "--cut-length", "91", "--width", "3.5", "--json")
    assert [one["tool"] for one in ended.json["readings"]] == ["caliper", "tape", "rule"]


def test_series_may_be_repeated_or_parted_by_commas(kitwright: CommandLine) -> None:
    apart = kitwright("ring", "--id", "24.9", "--width", "3.5", "--series", "jis", "--series", "as568", "--json")
    together = kitwright("ring", "--id", "24.9", "--width", "3.5", "--series", "jis,as568", "--json")
    assert apart.json == together.json
    assert {match["standard"] for match in apart.json["matches"]} <= {"jis", "as568"}


def test_limit_cuts_the_list(kitwright: CommandLine) -> None:
    assert len(kitwright("ring", "--id", "25", "--limit", "2", "--json").json["matches"]) == 2


def test_the_text_answers_first_in_both_units(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--id", "24.99", "--width", "3.53", "--series", "as568")
    first, second = ended.out.splitlines()[:2]
    assert first.startswith("Fit AS568-214: ")
    assert "24.99 mm (0.9840 in)" in second
    assert "3.53 mm (0.1390 in)" in second


def test_a_ring_that_seals_in_less_than_half_is_not_named_first(kitwright: CommandLine) -> None:
    """The first line says what decides: in a port its thread, elsewhere the next step."""
    port = ("ring", "--id", "24.9", "--width", "3.4", "--joint", "port")
    assert kitwright(*port).out.startswith("Not decided: the port's thread tells its ring.\n")
    assert kitwright(*port, "--critical").out.startswith("Critical place: not decided: the port's thread ")
    assert kitwright(*port, "--json").json["to_fit"][0]["seals"] < 0.5
    half = kitwright("ring", "--id", "13.9", "--width", "2", "--joint", "port", "--condition", "used")
    assert half.out.startswith("Not sure: the port's thread tells its ring; AS568-907 comes nearest (75 %).\n")
    lines = kitwright("ring", "--id", "24.9").out.splitlines()
    assert lines[0] == "Not decided: measure the OD with a caliper."
    assert lines[1].startswith("AS568-913 comes nearest (12 %): ID 25.04 mm ")


def test_a_critical_place_names_no_ring_that_is_marginal_in_some_grooves(kitwright: CommandLine) -> None:
    words = ("ring", "--id", "9.1", "--width", "2.4", "--condition", "used")
    assert kitwright(*words).out.startswith("Fit 9 × 2.5: ")
    ended = kitwright(*words, "--critical")
    assert ended.out.startswith("Critical place: not sure which ring seals; 9 × 2.5 comes nearest (")
    answer = kitwright(*words, "--critical", "--json")
    conforms("ring", answer.json)
    assert answer.json["critical"] is True
    sure = kitwright("ring", "--id", "24.99", "--width", "3.53", "--series", "as568", "--critical")
    assert sure.out.startswith("Critical place: fit AS568-214: ")


def test_the_text_leads_with_the_unit_that_was_asked_for(kitwright: CommandLine) -> None:
    second = kitwright("ring", "--id", "0.984", "--width", "0.139", "--unit", "in").out.splitlines()[1]
    assert "0.9840 in (24.99 mm)" in second


def test_the_text_gives_residuals_and_what_was_understood(kitwright: CommandLine) -> None:
    out = kitwright("ring", "--id", "63/64in", "--width", "3.5").out
    assert "ID 25.00 mm (0.9844 in)" in out
    assert "off by" in out


def test_the_text_says_where_a_row_is_from_memory(kitwright: CommandLine) -> None:
    """The French R series stands in the tables from memory (catalog/data/SOURCES.md)."""
    ended = kitwright("ring", "--id", "2.6", "--width", "1.9", "--series", "afnor")
    assert "[unchecked row]" in ended.out.splitlines()[1]


def test_no_standard_size_ends_with_1_and_says_how_to_make_the_ring(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--id", "777.7", "--width", "19.3")
    assert ended.code == 1
    assert ended.out.startswith("No standard size")
    # The mean line of the cut ring: π × (777.7 + 19.3) = 2503.85 mm.
    assert "2503.85 mm" in ended.out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--id", "12 bananas"), "--id"),
        (("--id", "-3mm"), "--id"),
        (("--id", "-3 mm"), "--id"),
        (("--id", "9**9**9"), "--id"),
        (("--id", "nan"), "--id"),
        (("--id", "1e999 mm"), "--id"),
        (("--id", "0"), "--id"),
        (("--id", "25±0"), "--id"),
        (("--id", "11 qt"), "--id"),
        (("--id", "x" * 100_000), "--id"),
        (("--id", "25\x1b[31m"), "--id"),
        (("--id", "25", "--id", "26"), "--id was given 2 times"),
        (("--width", "3", "--width", "3", "--width", "3"), "--width was given 3 times"),
        (("--id", "25", "--tool", "calliper"), "did you mean caliper?"),
        (("--id", "25", "--tool", "stated"), "--tool"),
        (("--id", "25", "--tool", "rule", "--tool", "tape"), "--tool"),
        (("--id", "25", "--tool", "idd=rule"), "did you mean id?"),
        (("--id", "25", "--condition", "swolen"), "did you mean swollen?"),
        (("--id", "25", "--series", "as586"), "did you mean as568?"),
        (("--id", "25", "--limit", "0"), "--limit"),
        (("--id", "25", "--limit", "many"), "--limit"),
        (("--id", "25", "--unit", "cm"), "--unit"),
        (("--widht", "3.5"), "did you mean --width?"),
        (("--id", "25", "--json", "3.5"), "one word too many"),
        (("--id", "24.9", "--od", "3.5"), "--od does not go with --id: the outside diameter of a ring is larger than"),
        (("--around", "78", "--cut-length", "30"), "--cut-length does not go with --around: a ring cut open is longer"),
        ((), "no reading given"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright("ring", *words)
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert "Traceback" not in ended.err
    assert len(ended.err) < 400
    assert "\x1b" not in ended.err


def test_the_shelf_counts_in_a_rubber_that_may_go_in(
    kitwright: CommandLine, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The demo's Box 1 has -214 and Box 3 the same ring as 25 × 3.55, both NBR: good in a mineral tractor fluid, ruined
    # by glycol brake fluid, which takes EPDM (common practice, no source: every chart of rubbers agrees).
    monkeypatch.setenv("KITWRIGHT_DATA", str(tmp_path))
    asked = ("ring", "--id", "24.9", "--width", "3.5", "--condition", "used", "--demo")
    # Nobody opened the demo yet: it is made, so that its shelf is looked at.
    assert "11 in Box 1 (NBR 70), 5 in Box 3 (NBR 70).\nRubber not judged: which fluid?" in kitwright(*asked).out
    good = kitwright(*asked, "--fluid", "UTTO", "--json").json["to_fit"][0]
    bad = kitwright(*asked, "--fluid", "DOT 4", "--json").json["to_fit"][0]
    assert ([row["free"] for row in good["on_shelf"]], good["left_out"]) == ([11, 5], [])
    assert (bad["on_shelf"], [row["free"] for row in bad["left_out"]]) == ([], [11, 5])
    told = kitwright(*asked, "--fluid", "DOT 4", "--to", "90C").out
    assert "None suitable on the shelf." in told
    assert "to 90 °C (194 °F); not counted: AS568-214: 11 in Box 1 (NBR 70), 5 in Box 3 (NBR 70)." in told
    said = "NBR 70: will not do in glycol brake fluid DOT 3 / DOT 4 / DOT 5.1 to 90 °C (194 °F) – NBR is attacked"
    assert f"\n{said} by glycol brake fluid; the brake can fail [" in told
    assert "49 CFR 571.116" in told  # the publication by its name
    (rubber,) = kitwright(*asked, "--fluid", "UTTO", "--to", "80C", "--json").json["rubbers"]
    assert rubber["verdict"] == "NBR 70: good in UTTO to 80 °C (176 °F)"
    assert kitwright("ring", "--id", "24.9", "--to", "90C").code == 2


def test_the_fluid_noted_at_a_position_judges_the_rubber_there(kitwright: CommandLine) -> None:
    place = ("Orchard tractor 3", "pump inlet flange ring")
    ring = ("ring", "--id", "24.9", "--width", "3.5", "--machine", place[0], "--position", place[1], "--demo", "--json")
    kitwright("machine", "list", "--demo")  # makes the demo
    assert kitwright(*ring).json["met"] is None
    noted = kitwright("machine", "meets", *place, "--fluid", "dot 4", "--to", "120C", "--demo", "--json")
    position = next(one for one in noted.json["positions"] if one["position"] == place[1])
    assert (position["meets"], position["hottest_c"]) == ("GLYCOL_BRAKE", 120)
    answer = kitwright(*ring).json
    assert answer["met"] == {"fluid": "GLYCOL_BRAKE", "hottest_c": 120.0}
    # Rubber for glycol brake fluid is EPDM, SBR, CR or natural rubber (49 CFR 571.116 names them), never NBR.
    first = next(one for one in answer["to_fit"] if one["name"] == "AS568-214")
    assert {row["elastomer"] for row in first["left_out"]} >= {"NBR"}
    # What is said for one ring goes before what stands on record.
    assert kitwright(*ring, "--fluid", "UTTO").json["met"]["fluid"] == "UTTO"
    assert "needs" not in kitwright("machine", "meets", *place, "--demo").err
    assert kitwright(*ring).json["met"] is None
    assert "the hottest goes with a fluid" in kitwright("machine", "meets", *place, "--to", "90C", "--demo").err


def test_where_the_look_decides_no_ring_is_named_before_it_is_said(kitwright: CommandLine) -> None:
    # AS568-214 swollen by 5 %, and nobody said that it is.
    readings = ("ring", "--od", "33.6", "--width", "3.7")
    said = kitwright(*readings).out.splitlines()
    assert said[0].startswith("Not yet: say how it looks. Swollen: AS568-214 (")
    assert "; else 26 × 4 (" in said[0]
    assert not any(line.startswith("Fit ") for line in said)
    answer = kitwright(*readings, "--json").json
    assert answer["next_measurement"]["step"] == "look"
    assert answer["at_stake"].startswith("If it is swollen (")
    # It is not sure then either, and is not said to go in.
    assert "AS568-214 comes nearest (70 %): 26 × 4 would seal in" in answer["at_stake"]
    told = kitwright(*readings, "--condition", "swollen").out.splitlines()[0]
    assert "AS568-214" in told
    assert not told.startswith("Not yet")


@pytest.mark.parametrize("outside", ["20", "40"])
def test_what_the_others_make_of_a_reading_is_the_formulas_own_figure(kitwright: CommandLine, outside: str) -> None:
    # Geometry: OD = ID + 2 × width = 25 + 2 × 3.5.
    told = kitwright("ring", "--id", "25", "--od", outside, "--width", "3.5").out
    assert "OD = ID + 2 × width). Take the OD again: by the others it is about 32.00 mm." in told
