"""`kitwright groove`: figures, verdicts and interchange as text and JSON, and input that cannot be used."""

from __future__ import annotations

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


PISTON = ("--root", "25±0.05mm", "--bore", "30.05±0.05mm", "--width", "4.2mm")


# Worked example A2 (S06): ring 58 × 5.3 on root 61.6 in bore 70: stretch 6.21 %, width 5.09 mm, squeeze 17.4 %.
def test_a_published_valve_seal_comes_out_as_printed(kitwright: CommandLine) -> None:
    ended = kitwright("groove", "--root", "61.6", "--bore", "70", "--width", "7", "--ring", "58x5.3", "--json")
    fitted = ended.json["ring"]["fitted"]
    assert fitted["stretch_pct"]["nominal"] == pytest.approx(6.21, abs=0.005)
    assert fitted["width_mm"]["nominal"] == pytest.approx(5.09, abs=0.005)
    assert fitted["squeeze_pct"]["nominal"] == pytest.approx(17.4, abs=0.05)


# JIS B 2401-2: a ring of the standard in the standard's own groove seals; the groove's root for P22A is 22 mm.
@pytest.mark.parametrize(("ring", "root"), [("P22A", 22), ("G25", 25), ("P10", 10)])
def test_a_ring_seals_in_its_own_standards_groove(kitwright: CommandLine, ring: str, root: float) -> None:
    ended = kitwright("groove", "--kind", "piston", "--standard", "--ring", ring, "--json")
    assert (ended.code, ended.json["ring"]["verdict"]) == (0, "seals")
    assert ended.json["groove"]["inner_mm"]["nominal"] == pytest.approx(root, abs=0.11)
    assert "JIS B 2401-2" in ended.json["groove"]["label"]


@pytest.mark.parametrize(
    "words",
    [
        (*PISTON, "--ring", "G25"),
        (*PISTON, "--ring", "AS568-904"),
        PISTON,
        (*PISTON, "--swell", "12%", "--temperature", "212F", "--pressure", "2000psi", "--ring", "G25"),
        (*PISTON, "--clearance", "0.2", "--pressure", "160bar", "--hardness", "90", "--ring", "G25"),
        ("--rod", "22", "--depth", "3±0.05", "--width", "4.8", "--reciprocating"),
        ("--rod", "22", "--groove-diameter", "28", "--width", "4.8", "--pneumatic", "--ring", "P22A"),
        ("--kind", "face-inside", "--groove-diameter", "32", "--depth", "2.6", "--width", "4.8"),
        ("--kind", "face-outside", "--groove-diameter", "22", "--depth", "2.6", "--width", "4.8", "--ring", "P22A"),
        ("--neck", "9.2", "--mouth", "12.4", "--chamfer", "12", "--ring", "904"),
        (*PISTON, "--ring-id", "24.9±0.2", "--ring-width", "3.1±0.1"),
        ("--root", "700", "--bore", "770", "--width", "90"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("groove", *words, "--json")
    conforms("groove", ended.json)
    assert ended.code in (0, 1)


def test_the_schema_refuses_a_changed_answer(kitwright: CommandLine) -> None:
    answer = kitwright("groove", *PISTON, "--ring", "G25", "--json").json
    del answer["ring"]["reasons"]
    assert not validator("groove").is_valid(answer)


def test_the_measured_limits_are_the_worst_cases(kitwright: CommandLine) -> None:
    """Corners by hand: depth is (bore − root)/2, so 25 ± 0.05 in 30.05 ± 0.05 leaves 2.475, 2.525 and 2.575 mm."""
    depth = kitwright("groove", *PISTON, "--ring", "G25", "--json").json["ring"]["fitted"]["depth_mm"]
    assert depth == pytest.approx({"least": 2.475, "nominal": 2.525, "most": 2.575})


def test_without_a_ring_those_that_seal_are_ranked_by_their_worst_case(kitwright: CommandLine) -> None:
    ended = kitwright("groove", *PISTON, "--json")
    rings = ended.json["rings"]
    assert ended.code == 0
    assert ended.json["ring"] is None
    assert "G25" in [one["size"]["designation"] for one in rings]
    seals = [one["margin"] for one in rings if one["verdict"] == "seals"]
    assert seals == sorted(seals, reverse=True)
    assert [one["verdict"] for one in rings] == sorted((one["verdict"] for one in rings), reverse=True)


def test_with_a_ring_the_interchange_says_what_seals_and_what_only_looks_like_it(kitwright: CommandLine) -> None:
    answer = kitwright("groove", *PISTON, "--ring", "G25", "--json").json
    assert {one["verdict"] for one in answer["rings"]} == {"seals"}
    assert "jis:G25" not in {f"{one['size']['standard']}:{one['size']['designation']}" for one in answer["rings"]}
    assert answer["look_alikes"]
    for one in answer["look_alikes"]:
        assert one["verdict"] != "seals"
        assert one["why"] == one["reasons"][0]


def test_a_ring_too_thin_for_its_groove_will_not_seal_and_ends_with_1(kitwright: CommandLine) -> None:
    """By hand: 1.78 mm of ring in a 2.525 mm gap cannot touch both walls."""
    ended = kitwright("groove", *PISTON, "--ring", "AS568-020")
    assert ended.code == 1
    assert ended.out.startswith("AS568-020: will not seal")


def test_pressure_without_a_measured_gap_is_asked_about_and_not_taken_as_good(kitwright: CommandLine) -> None:
    words = (*PISTON, "--ring", "G25", "--pressure", "160bar")
    assert "--clearance" in kitwright("groove", *words, "--json").json["to_measure"][0]
    assert kitwright("groove", *words, "--clearance", "0.1", "--json").json["to_measure"] == []


# Extrusion chart (S12): 70 Shore A bridges 0.004 in (0.10 mm) on diameter at 1500–2000 psi; 0.3 mm is past it.
def test_a_gap_too_wide_for_the_pressure_is_refused(kitwright: CommandLine) -> None:
    ended = kitwright("groove", *PISTON, "--ring", "G25", "--pressure", "1800psi", "--clearance", "0.3mm", "--json")
    reason = next(one for one in ended.json["ring"]["reasons"] if one["about"] == "extrusion")
    assert (ended.code, reason["verdict"]) == (1, "will not")
    assert "clearance against pressure" in reason["source"]


def test_more_swell_fills_more(kitwright: CommandLine) -> None:
    fills = [
        kitwright("groove", *PISTON, "--ring", "G25", "--swell", swell, "--json").json["ring"]["served"]["fill_pct"]
        for swell in ("-5", "0", "10", "20")
    ]
    assert [one["most"] for one in fills] == sorted(one["most"] for one in fills)
    assert fills[0]["most"] < fills[-1]["most"]


def test_inches_are_understood_and_both_units_are_said(kitwright: CommandLine) -> None:
    words = ("--rod", "0.866", "--groove-diameter", "1.102", "--width", "0.19", "--ring", "P22A", "--unit", "in")
    ended = kitwright("groove", *words)
    assert "rod 0.8660 in (22.00 mm)" in ended.out
    assert "squeeze in" in ended.out
    assert "squeeze mm" in ended.out


def test_the_text_gives_verdict_reasons_sources_and_cautions(kitwright: CommandLine) -> None:
    lines = kitwright("groove", *PISTON, "--ring", "G25").out.splitlines()
    assert lines[0].startswith("JIS G25: seals")
    assert any("Squeeze is" in line and line.endswith("; published]") for line in lines)
    assert "manual" in lines[-1]
    assert "Relieve the pressure" in lines[-3]
    assert "Never feel for a leak" in lines[-2]


def test_series_and_limit_narrow_the_list(kitwright: CommandLine) -> None:
    answer = kitwright("groove", *PISTON, "--series", "jis", "--limit", "1", "--json").json
    assert [one["size"]["standard"] for one in answer["rings"]] == ["jis"]
    assert answer["rings_in_all"] >= 1


def test_what_lies_on_the_shelf_is_offered_first(kitwright: CommandLine) -> None:
    """The demo workshop's shelf, against the same question without it."""
    plain = kitwright("groove", "--rod", "22", "--groove-diameter", "28", "--width", "4.8", "--limit", "50", "--json")
    words = ("groove", "--rod", "22", "--groove-diameter", "28", "--width", "4.8", "--limit", "50", "--json")
    first = kitwright(*words, "--shelf-first", "--demo")
    conforms("groove", first.json)
    assert {one["on_shelf"] for one in plain.json["rings"]} == {None}
    seals = [one["on_shelf"] for one in first.json["rings"] if one["verdict"] == "seals"]
    assert any(seals)
    assert seals == sorted(seals, reverse=True)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "--kind is missing"),
        (("--groove-diameter", "30"), "--kind is missing"),
        (("--kind", "pistn"), "did you mean piston?"),
        (("--root", "25"), "--width is missing"),
        (("--root", "25", "--width", "4"), "--bore or --depth"),
        (("--root", "25", "--width", "4", "--bore", "30", "--depth", "2.5"), "one of them"),
        (("--root", "25", "--width", "4", "--bore", "30", "--neck", "9"), "--neck is not a dimension"),
        (("--root", "30", "--width", "4", "--bore", "25"), "must be smaller"),
        (("--root", "25±30", "--width", "4", "--bore", "30"), "not smaller than the value"),
        (("--root", "nan", "--width", "4", "--bore", "30"), "--root"),
        (("--root", "-25", "--width", "4", "--bore", "30"), "--root"),
        (("--root", "0", "--width", "4", "--bore", "30"), "--root"),
        (("--root", "x" * 100_000, "--width", "4", "--bore", "30"), "--root"),
        (("--root", "25\x1b[31m", "--width", "4", "--bore", "30"), "--root"),
        (("--root", "25 qt", "--width", "4", "--bore", "30"), "--root"),
        ((*PISTON, "--ring", "banana"), "--ring"),
        ((*PISTON, "--ring", "\x1b[31m" * 50), "--ring"),
        ((*PISTON, "--ring", "G25", "--ring-id", "25"), "not both"),
        ((*PISTON, "--ring-id", "25"), "--ring-width"),
        ((*PISTON, "--swell", "-100"), "from -90 to 300"),
        ((*PISTON, "--swell", "lots"), "--swell"),
        ((*PISTON, "--temperature", "9000C"), "--temperature"),
        ((*PISTON, "--pressure", "160"), ""),
        ((*PISTON, "--pressure", "160 mm"), "--pressure"),
        ((*PISTON, "--hardness", "120"), "--hardness"),
        ((*PISTON, "--series", "as586"), "did you mean as568?"),
        ((*PISTON, "--limit", "0"), "--limit"),
        ((*PISTON, "--reciprocating", "--pneumatic"), "not allowed with"),
        (("--neck", "9", "--mouth", "12", "--chamfer", "12", "--reciprocating"), "stands still"),
        (("--neck", "9", "--mouth", "12", "--chamfer", "80"), "from 0 to 45"),
        (("--kind", "piston", "--standard"), "--ring"),
        (("--kind", "port", "--standard", "--ring", "904"), "no table"),
        (("--standard", *PISTON, "--ring", "G25"), "leave out"),
        ((*PISTON, "--shelf-first", "--data", "/no/such/folder/anywhere/x.sqlite3"), "/no/such/folder"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright("groove", *words)
    if not told:
        assert ended.code == 0  # a bare pressure is in bar
        return
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert "Traceback" not in ended.err
    assert len(ended.err) < 500
    assert "\x1b" not in ended.err


# A JIS B 2401-2 piston groove for G25 is 25 mm at its root in a bore of 30 mm, 4.1 mm wide (S20). The ring found in it
# measures as AS568-120 (0.987 × 0.103 in): a ring of 2.62 mm where the standard's is 3.1 mm wide.
PLUG = ("--root", "25±0.05", "--bore", "30±0.05", "--width", "4.2", "--ring-id", "25.0", "--ring-width", "2.62")


def test_the_old_ring_was_wrong_for_its_groove_and_the_right_one_is_named(kitwright: CommandLine) -> None:
    answer = kitwright("groove", *PLUG, "--condition", "used", "--json").json
    assert answer["ring"]["verdict"] == "marginal"
    likely = {one["size"]["name"]: one["verdict"] for one in answer["identity"]["matches"][:2]}
    assert likely["AS568-120"] == "marginal"
    assert answer["rings"][0]["size"]["name"] == "JIS G25"


def test_the_groove_tells_apart_two_sizes_that_fit_the_reading(kitwright: CommandLine) -> None:
    """25 × 3.0 and 25.04 × 2.95 read alike; the groove moves the odds towards the one that seals."""
    words = ("--root", "25.2", "--bore", "30.2", "--width", "4.2", "--ring-id", "25.0", "--ring-width", "2.98")
    found = kitwright("groove", *words, "--json").json["identity"]
    conforms("groove", kitwright("groove", *words, "--json").json)
    for one in found["matches"]:
        if one["verdict"] == "will not":
            assert one["probability"] <= one["probability_by_readings"]
    assert found["told_apart"]
    total = sum(one["probability"] for one in found["matches"]) + found["none_probability"]
    assert total <= 1 + 1e-4
    assert "The ring that was measured:" in kitwright("groove", *words).out


def test_a_condition_is_of_a_measured_ring(kitwright: CommandLine) -> None:
    ended = kitwright("groove", *PISTON, "--ring", "G25", "--condition", "used")
    assert (ended.code, ended.out) == (2, "")
    assert "--ring-id" in ended.err
    assert "did you mean used?" in kitwright("groove", *PLUG, "--condition", "usd").err
