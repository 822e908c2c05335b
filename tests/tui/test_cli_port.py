"""`kitwright port`: threads to ports and their rings, standing said, and input that cannot be used."""

from __future__ import annotations

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


# SAE J1926-1 threads to AS568 rings: port reference guides S17 and S18 (catalog/data/ports/SOURCES.md).
@pytest.mark.parametrize(
    ("diameter", "tpi", "dash"),
    [("11.0mm", "20", "904"), ("0.745in", "16", "908"), ("1.0575in", "12", "912"), ("26.9mm", "12", "912")],
)
def test_a_straight_thread_port_names_its_ring(kitwright: CommandLine, diameter: str, tpi: str, dash: str) -> None:
    answer = kitwright("port", "--diameter", diameter, "--tpi", tpi, "--seal", "chamfer", "--json").json
    first = answer["ports"][0]
    assert (first["standard"], first["ring"]["designation"]) == ("SAE J1926-1", dash)
    assert first["standing"] == "published"


# ISO 6149-1: M18 × 1.5 takes 15.3 × 2.2. From memory, and the answer must say so.
def test_a_row_from_memory_says_so(kitwright: CommandLine) -> None:
    words = ("port", "--diameter", "17.9mm", "--pitch", "1.5mm", "--seal", "chamfer")
    ring = kitwright(*words, "--json").json["ports"][0]["ring"]
    assert (ring["id_mm"], ring["cross_section_mm"]) == (15.3, 2.2)
    assert ring["standing"] == "memory"
    assert "from memory" in kitwright(*words).out


# G 1/4 and NPT 1/4 are 13.157 and 13.716 mm over the crests, 19 and 18 threads per inch (ISO 228-1, ASME B1.20.1).
def test_a_doubtful_thread_says_which_gauge_settles_it(kitwright: CommandLine) -> None:
    ended = kitwright("port", "--diameter", "13.1±0.05mm", "--json")
    assert not ended.json["settled"]
    assert any("thread-pitch gauge" in check for check in ended.json["checks"])
    assert any("straight edge" in check for check in ended.json["checks"])
    gauged = kitwright("port", "--diameter", "13.1±0.05mm", "--tpi", "18", "--json").json
    assert [port["thread"] for port in gauged["ports"]] == ["NPT 1/4"]


@pytest.mark.parametrize(
    "words",
    [
        ("--diameter", "11", "--tpi", "20"),
        ("--diameter", "13.9", "--pitch", "1.5"),
        ("--diameter", "19.2", "--female"),
        ("--diameter", "13.1", "--seal", "washer"),
        ("--diameter", "0.43", "--tpi", "20", "--unit", "in"),
        ("--diameter", "300"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("port", *words, "--json")
    conforms("port", ended.json)
    assert ended.code == (0 if ended.json["ports"] else 1)


def test_the_schema_refuses_a_changed_answer(kitwright: CommandLine) -> None:
    answer = kitwright("port", "--diameter", "11", "--tpi", "20", "--json").json
    del answer["ports"][0]["standing"]
    assert not validator("port").is_valid(answer)


def test_no_port_ends_with_1_and_says_what_to_do(kitwright: CommandLine) -> None:
    ended = kitwright("port", "--diameter", "300mm")
    assert ended.code == 1
    assert ended.out.startswith("No port in the tables")


def test_the_text_answers_first_in_both_units_with_cautions(kitwright: CommandLine) -> None:
    lines = kitwright("port", "--diameter", "11.0mm", "--tpi", "20").out.splitlines()
    assert lines[0].startswith("SAE J1926-1 7/16-20: ring AS568-904")
    assert "0.351 × 0.072" in lines[3]  # inches, as S17 prints them
    assert "Understood: plug, 11.00 mm (0.4331 in)" in "\n".join(lines)
    assert "Relieve the pressure" in lines[-3]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "--diameter is missing"),
        (("--diameter", "11", "--tpi", "20", "--pitch", "1.5"), "not allowed with"),
        (("--diameter", "11", "--tpi", "2000"), "outside 4 to 80"),
        (("--diameter", "11", "--tpi", "twenty"), "--tpi"),
        (("--diameter", "11", "--pitch", "50"), "outside 0.3 to 6"),
        (("--diameter", "-11"), "--diameter"),
        (("--diameter", "nan"), "--diameter"),
        (("--diameter", "9" * 100_000), "--diameter"),
        (("--diameter", "11\x1b[31m"), "--diameter"),
        (("--diameter", "11", "--seal", "chamfr"), "did you mean chamfer?"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright("port", *words)
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert len(ended.err) < 400
    assert "\x1b" not in ended.err
