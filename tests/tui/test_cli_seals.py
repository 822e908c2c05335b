"""`kitwright washer` and `kitwright shaft-seal`."""

from __future__ import annotations

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def test_a_washer_is_named_with_its_thread_and_standing(kitwright: CommandLine) -> None:
    ended = kitwright("washer", "--inside", "14.2mm", "--outside", "17.9mm", "--thick", "1.4mm")
    assert ended.code == 0
    assert ended.out.startswith("soft metal washer 14 × 18 × 1.5 mm (over 99 %): DIN 7603, under M14 and G 1/4")
    assert "checked against a second source" in ended.out
    assert "Why:" in ended.out
    assert "machine's manual" in ended.out


def test_a_threads_washers(kitwright: CommandLine) -> None:
    answer = kitwright("washer", "--thread", "M14x1.5", "--json").json
    assert [one["size"] for one in answer["washers"]] == ["14 × 18 × 1.5", "14 × 20 × 1.5", "14.7 × 22 × 1.5"]
    none = kitwright("washer", "--thread", "NPT 1/2")
    assert none.code == 1
    assert "measure the old one" in none.out


def test_a_shaft_seal_is_named_with_its_cautions(kitwright: CommandLine) -> None:
    ended = kitwright("shaft-seal", "--shaft", "34.95mm", "--bore", "52mm", "--width", "7mm")
    assert ended.code == 0
    assert ended.out.startswith("35 × 52 × 7 mm (over 99 %): shaft × bore × width, DIN 3760")
    assert "faces the fluid" in ended.out
    assert "run out" in ended.out
    assert "manual" in ended.out


def test_inch_sizes_are_none_of_these(kitwright: CommandLine) -> None:
    ended = kitwright("shaft-seal", "--shaft", "1.375in", "--bore", "2.062in")
    assert ended.code == 1
    assert "1 3/8 × 2 1/16 in" in ended.out


@pytest.mark.parametrize(
    "words",
    [
        ("washer", "--inside", "14.2", "--outside", "17.9"),
        ("washer", "--inside", "0.56", "--unit", "in", "--new"),
        ("washer", "--inside", "13.8", "--outside", "20.6", "--kind", "bonded"),
        ("washer", "--inside", "12.75±0.02mm", "--outside", "19.05±0.02mm"),
        ("washer", "--thread", "G 1/2"),
        ("washer", "--thread", "1/2-20"),
        ("shaft-seal", "--shaft", "35"),
        ("shaft-seal", "--shaft", "40", "--od", "62.3", "--width", "10"),
        ("shaft-seal", "--shaft", "1.375in", "--bore", "2.062in"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright(*words, "--json")
    conforms(words[0], ended.json)
    assert ended.code in (0, 1)


def test_the_schemas_refuse_a_changed_answer(kitwright: CommandLine) -> None:
    washer = kitwright("washer", "--inside", "14.2", "--json").json
    del washer["because"]
    assert not validator("washer").is_valid(washer)
    seal = kitwright("shaft-seal", "--shaft", "35", "--json").json
    seal["seals"][0]["probability"] = "likely"
    assert not validator("shaft-seal").is_valid(seal)


@pytest.mark.parametrize("command", ["washer", "shaft-seal"])
def test_mm_and_inches_give_the_same_answer(kitwright: CommandLine, command: str) -> None:
    options = ("--inside", "--outside") if command == "washer" else ("--shaft", "--bore")
    metric = kitwright(command, options[0], "25.4±0.127mm", options[1], "38.1±0.127mm", "--json").json
    inch = kitwright(command, options[0], "1±0.005in", options[1], "1.5±0.005in", "--json").json
    assert metric == inch


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("washer",), "give readings"),
        (("washer", "--inside", "14", "--thread", "M14"), "not both"),
        (("washer", "--inside", "18", "--outside", "14"), "swapped"),
        (("washer", "--inside", "nan"), "--inside"),
        (("washer", "--inside", "14", "--kind", "flatt"), "did you mean flat?"),
        (("washer", "--thread", "M14x99"), "No thread called"),
        (("shaft-seal",), "give readings"),
        (("shaft-seal", "--width", "7"), "give readings"),
        (("shaft-seal", "--shaft", "52", "--bore", "35"), "swapped"),
        (("shaft-seal", "--shaft", "0"), "--shaft"),
        (("shaft-seal", "--shaft", "35\x1b[31m"), "--shaft"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright(*words)
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert len(ended.err) < 400
    assert "\x1b" not in ended.err
