"""`kitwright rubber`: families for a service, shelf age by rule, and what a look is worth."""

from __future__ import annotations

import pytest

from catalog.publications import named
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def families(answer: dict[str, list[dict[str, str]]], key: str) -> list[str]:
    return [one["family"] for one in answer[key]]


# Published directions: NBR is the default in mineral oil and EPDM must not meet it (S27); EPDM is best in glycol brake
# fluid to 121 °C (S26). Never NBR or FKM in glycol brake fluid: common practice, from memory.
def test_mineral_oil_takes_nbr_and_never_epdm(kitwright: CommandLine) -> None:
    answer = kitwright("rubber", "--fluid", "HM_HV", "--from", "-20C", "--to", "90C", "--json").json
    assert families(answer, "allowed")[0] == "NBR"
    assert "EPDM" in families(answer, "never")


def test_glycol_brake_fluid_takes_epdm_and_never_nbr_or_fkm(kitwright: CommandLine) -> None:
    answer = kitwright("rubber", "--fluid", "brake fluid dot 3", "--from", "-40C", "--to", "120C", "--json").json
    assert answer["fluid"]["code"] == "GLYCOL_BRAKE"
    assert families(answer, "allowed")[0] == "EPDM"
    assert {"NBR", "FKM"} <= set(families(answer, "never"))


# Service temperatures, ordinary compounds: NBR to 100 °C, lasting (S21).
def test_heat_takes_a_family_off_the_list(kitwright: CommandLine) -> None:
    cool = kitwright("rubber", "--fluid", "HM_HV", "--to", "212F", "--json").json
    hot = kitwright("rubber", "--fluid", "HM_HV", "--to", "150C", "--json").json
    assert "NBR" in families(cool, "allowed")
    assert "NBR" in families(hot, "never")


# Unchecked rows: HNBR, FKM and the silicones are rated 3 in steam, EPDM and PTFE 1. Ice: common practice, no source.
def test_the_headline_names_what_takes_over_and_tells_doubtful_from_with_care(kitwright: CommandLine) -> None:
    words = ("rubber", "--fluid", "water", "--from=-10C", "--to", "150C")
    head, ice = kitwright(*words).out.splitlines()[:2]
    assert head == (
        "In hot water over 80 °C, steam: EPDM (with care), PTFE (with care), "
        "HNBR (doubtful), FKM (doubtful), VMQ (doubtful), FVMQ (doubtful)"
    )
    assert ice.startswith("Water freezes below 0 °C")
    answer = kitwright(*words, "--json").json
    assert answer["at_hottest"]["code"] == "STEAM"
    assert answer["freezing"]["standing"] == "practice"
    assert [one["suitability"] for one in answer["allowed"]] == ["with care"] * 2 + ["doubtful"] * 4
    cool = kitwright("rubber", "--fluid", "water", "--from", "0C", "--to", "80C", "--json").json
    assert (cool["at_hottest"], cool["freezing"]) == (None, None)


# Extrusion chart (S12): 90 Shore A bridges 0.016 in at 1500–2000 psi and 70 Shore A only 0.004 in.
@pytest.mark.parametrize(("hardness", "word"), [("70", "with care"), ("90", "suitable")])
def test_hardness_decides_what_a_gap_bears(kitwright: CommandLine, hardness: str, word: str) -> None:
    words = ("--fluid", "HM_HV", "--pressure", "1800psi", "--gap", "0.3mm", "--hardness", hardness, "--family", "NBR")
    answer = kitwright("rubber", *words, "--json").json
    reason = next(one for one in answer["allowed"][0]["reasons"] if one["about"] == "extrusion")
    assert reason["suitability"] == word


# ISO 2230 group B (NBR) 7 years and 3 more when inspected; SAE ARP5316 gives NBR 15 years (S201, S202).
@pytest.mark.parametrize(
    ("rule", "last", "good"), [("ISO 2230", "2026-03-14", False), ("SAE ARP5316", "2034-03-14", True)]
)
def test_shelf_age_follows_the_rule_and_shows_it(kitwright: CommandLine, rule: str, last: str, good: bool) -> None:
    words = ("rubber", "--age", "NBR", "--cured", "2019-03-14", "--rule", rule, "--today", "2026-06-01")
    ended = kitwright(*words, "--json")
    assert (ended.json["age"]["last_day"], ended.json["age"]["in_life"]) == (last, good)
    assert ended.code == (0 if good else 1)
    text = kitwright(*words).out
    assert rule in text
    assert ("EXPIRED" in text) is not good


def test_the_last_day_still_counts_and_the_next_does_not(kitwright: CommandLine) -> None:
    words = ("rubber", "--age", "FKM", "--cured", "2016-02-29", "--today")  # ISO 2230 group C: 10 years
    assert kitwright(*words, "2026-02-28").code == 0
    assert kitwright(*words, "2026-03-01").code == 1


# A bag marked with a quarter counts from the quarter's last day (S203); a month alone from its first, the strict side.
@pytest.mark.parametrize(
    ("cured", "day"),
    [("2Q2014", "2014-06-30"), ("2014Q2", "2014-06-30"), ("1q19", "2019-03-31"), ("2019-03", "2019-03-01")],
)
def test_dates_are_read_as_bags_are_marked(kitwright: CommandLine, cured: str, day: str) -> None:
    age = kitwright("rubber", "--age", "EPDM", "--cured", cured, "--today", "2020-01-01", "--json").json["age"]
    assert age["cured"] == day
    assert age["cured_note"]


def test_without_today_the_clock_is_read(kitwright: CommandLine) -> None:
    assert kitwright("rubber", "--age", "NBR", "--cured", "1995-01-01").code == 1


def test_a_look_names_no_rubber(kitwright: CommandLine) -> None:
    ended = kitwright("rubber", "--look", "black, soft", "--json")
    assert (ended.code, ended.json["look"]["families"]) == (1, [])
    assert "cannot be told" in kitwright("rubber", "--look", "black, soft").out
    assert kitwright("rubber", "--look", "black", "--fluid", "UTTO").code == 0


# HSE, motor vehicle repair: a burnt ring may be fluoroelastomer and hold hydrofluoric acid.
def test_a_black_ring_brings_the_caution_of_burnt_rubber(kitwright: CommandLine) -> None:
    assert "hydrofluoric acid" in kitwright("rubber", "--look", "black, sticky").out


@pytest.mark.parametrize(
    "words",
    [
        ("--fluid", "UTTO", "--from", "-20C", "--to", "100C"),
        ("--fluid", "DIESEL", "--family", "EPDM"),
        ("--fluid", "UTTO", "--moving", "--pressure", "400bar", "--gap", "0"),
        ("--age", "FKM", "--cured", "2014-05", "--rule", "arp5316", "--today", "2026-01-31"),
        ("--look", "black"),
        ("--fluids",),
        ("--fluid", "UTTO", "--age", "NBR", "--cured", "2025-01", "--look", "green", "--today", "2026-01-31"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("rubber", *words, "--json")
    conforms("rubber", ended.json)
    assert ended.code in (0, 1)


def test_the_schema_refuses_a_changed_answer(kitwright: CommandLine) -> None:
    answer = kitwright("rubber", "--look", "black", "--json").json
    answer["look"]["families"] = ["NBR"]
    assert not validator("rubber").is_valid(answer)


def test_every_listed_fluid_can_be_asked_about(kitwright: CommandLine) -> None:
    listed = kitwright("rubber", "--fluids", "--json").json["fluids"]
    assert len(listed) >= 20
    for fluid in listed:
        assert kitwright("rubber", "--fluid", fluid["code"], "--json").json["fluid"] == fluid


def test_the_text_answers_first_with_sources_and_both_units(kitwright: CommandLine) -> None:
    out = kitwright("rubber", "--fluid", "UTTO", "--from", "-20C", "--to", "100C").out
    assert out.startswith("In UTTO")
    assert "Never here: EPDM" in out
    assert f"[{named('S27')}" in out
    assert "S110" not in out
    assert "coldest -20 °C = -4 °F" in out
    assert out.rstrip().endswith("come first.")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "nothing asked"),
        (("--fluid", "brake"), "could be several"),
        (("--fluid", "dot"), "reservoir's cap"),
        (("--fluid", "DOT 6"), "is not in the tables. Type a class"),
        (("--fluid", "UTTOO"), "did you mean utto?"),
        (("--fluid", "x" * 100_000), "--fluid"),
        (("--fluid", "\x1b[31m"), "--fluid"),
        (("--fluid", "UTTO", "--from", "100C", "--to", "20C"), "swap them"),
        (("--fluid", "UTTO", "--to", "-300C"), "--to"),
        (("--fluid", "UTTO", "--to", "hot"), "--to"),
        (("--fluid", "UTTO", "--gap", "0.2"), "type the pressure too"),
        (("--fluid", "UTTO", "--pressure", "-5bar"), "--pressure"),
        (("--fluid", "UTTO", "--hardness", "99"), "--hardness"),
        (("--fluid", "UTTO", "--family", "ABC"), "is not a rubber family"),
        (("--age", "NBR"), "--cured is missing"),
        (("--age", "rubbish", "--cured", "2019-03"), "--age"),
        (("--age", "NBR", "--cured", "2019-13"), "--cured"),
        (("--age", "NBR", "--cured", "5Q2019"), "--cured"),
        (("--age", "NBR", "--cured", "9998-01"), "check the year"),
        (("--age", "NBR", "--cured", "9999-01-01", "--today", "9999-12-31"), "--cured"),
        (("--age", "NBR", "--cured", "2019-03", "--today", "yesterday"), "--today"),
        (("--age", "NBR", "--cured", "2019-03", "--rule", "ISO 9999"), "--rule"),
        (("--look", ""), "--look"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright("rubber", *words)
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert "Traceback" not in ended.err
    assert len(ended.err) < 600
    assert "\x1b" not in ended.err


# FMVSS 116: DOT 5 is the silicone one; DOT 5.1 is glycol.
@pytest.mark.parametrize(("said", "code"), [("DOT 5", "SILICONE_BRAKE"), ("DOT 5.1", "GLYCOL_BRAKE")])
def test_a_dot_number_is_one_fluid(kitwright: CommandLine, said: str, code: str) -> None:
    assert kitwright("rubber", "--fluid", said, "--json").json["fluid"]["code"] == code


def test_what_nobody_rated_stands_apart_from_never(kitwright: CommandLine) -> None:
    ended = kitwright("rubber", "--fluid", "HEPG", "--to", "60C", "--json")
    assert "SBR" in families(ended.json, "not_known")
    assert "SBR" not in families(ended.json, "never")
    text = kitwright("rubber", "--fluid", "HEPG", "--to", "60C").out
    assert "Not known, ask the ring's maker: " in text
    assert kitwright("rubber", "--fluid", "HEPG", "--family", "SBR").code == 1


def test_every_part_of_the_answer_says_because(kitwright: CommandLine) -> None:
    words = ("--fluid", "UTTO", "--age", "NBR", "--cured", "2025-01", "--look", "green", "--today", "2026-01-31")
    answer = kitwright("rubber", *words, "--json").json
    assert all(one["because"] for key in ("allowed", "never") for one in answer[key])
    rules = [one["rule"] for one in answer["because"]]
    assert any("EPDM" in rule for rule in rules)
    assert any("lets NBR lie for 7 years" in rule for rule in rules)
    assert any("cannot be told" in rule for rule in rules)


def test_no_temperature_is_said(kitwright: CommandLine) -> None:
    assert "judged at 20 °C alone" in kitwright("rubber", "--fluid", "UTTO").out
    assert "judged at 20 °C alone" not in kitwright("rubber", "--fluid", "UTTO", "--to", "80C").out


@pytest.mark.parametrize(
    ("said", "some"),
    [("synthetic", ("ENGINE (", "HFDU (polyol ester")), ("hydraulic oil", ("HM_HV (mineral hydraulic oil", "HETG ("))],
)
def test_a_word_of_many_fluids_lists_them_all_in_plain_words(
    kitwright: CommandLine, said: str, some: tuple[str, ...]
) -> None:
    ended = kitwright("rubber", "--fluid", said)
    assert (ended.code, ended.out) == (2, "")
    assert all(one in ended.err for one in some)


def test_the_service_is_told_as_it_was_understood(kitwright: CommandLine) -> None:
    words = ("--fluid", "UTTO", "--to", "212F", "--pressure", "160bar", "--gap", "0.2±0.1mm", "--moving")
    assert kitwright("rubber", *words, "--json").json["service"] == {
        "coldest_c": 20.0,
        "hottest_c": 100.0,
        "temperature_given": True,
        "pressure_bar": 160.0,
        # At its most: 0.2 mm and 0.1 mm.
        "gap_mm": pytest.approx(0.3),
        "hardness_shore_a": 70,
        "moving": True,
    }


def test_a_bare_number_is_in_the_benchs_units_and_told_in_both(kitwright: CommandLine) -> None:
    from tui.fields.units import Units, keep

    keep(Units(pressure="psi", temperature="°F"))
    told = kitwright("rubber", "--fluid", "UTTO", "--to", "212", "--pressure", "2000").out
    assert "hottest 212 °F = 100 °C" in told
    assert "pressure 2000 psi = " in told


def test_a_cure_date_without_its_rubber_is_not_passed_over(kitwright: CommandLine) -> None:
    ended = kitwright("rubber", "--look", "black", "--cured", "2019-03")
    assert (ended.code, ended.out) == (2, "")
    assert "--age" in ended.err
