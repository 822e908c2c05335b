"""`kitwright port`: threads and tubes to joints and their rings, the seal asked first; input it refuses."""

from __future__ import annotations

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator
from tui.screens.judge.port import PortPanel


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


# SAE J1926-1 threads to AS568 rings: port reference guides (catalog/data/ports/SOURCES.md).
@pytest.mark.parametrize(
    ("diameter", "tpi", "dash"),
    [("11.0mm", "20", "904"), ("0.745in", "16", "908"), ("1.0575in", "12", "912"), ("26.9mm", "12", "912")],
)
def test_a_straight_thread_port_names_its_ring(kitwright: CommandLine, diameter: str, tpi: str, dash: str) -> None:
    answer = kitwright("port", "--diameter", diameter, "--tpi", tpi, "--seal", "chamfer", "--json").json
    first = answer["ports"][0]
    assert (first["standard"], first["ring"]["designation"]) == ("SAE J1926-1", dash)
    assert first["standing"] == "published"
    assert answer["ring"]["designation"] == dash
    assert answer["ring_certain"]


def test_without_the_seal_the_question_comes_first_and_no_ring_is_certain(kitwright: CommandLine) -> None:
    words = ("port", "--diameter", "11.0mm", "--tpi", "20")
    answer = kitwright(*words, "--json").json
    assert answer["checks"][0] == answer["question"]
    assert (answer["ring"], answer["ring_certain"], answer["settled"]) == (None, False, False)
    lines = kitwright(*words).out.splitlines()
    assert "How does it seal" in lines[0]
    assert "no ring is certain" in lines[0]
    assert lines[2].split() == ["chamfer", "face", "cone", "washer", "thread"], "the drawings, before any ring"
    assert max(len(line) for line in lines[2:9]) <= 80
    assert all(line.isascii() for line in lines[2:9])


# 20.9 mm × 14 threads per inch: G 1/2 is made 20.67 to 20.96 mm (ISO 228-1), NPT 1/2 20.72 to 21.34 (ASME B1.20.1).
@pytest.mark.parametrize("readings", [("--diameter", "20.9mm", "--tpi", "14"), ("--diameter", "13.1", "--tpi", "19"),
                                      ("--diameter", "0.823in", "--pitch", "0.0714in", "--flank", "60")])  # fmt: skip
def test_port_and_thread_say_the_same_of_the_thread(kitwright: CommandLine, readings: tuple[str, ...]) -> None:
    port = kitwright("port", *readings, "--json").json
    thread = kitwright("thread", *readings, "--json").json
    assert port["threads"] == [
        {"designation": one["designation"], "probability": one["probability"]} for one in thread["threads"]
    ]
    chances = {one["designation"]: one["probability"] for one in thread["threads"]}
    assert port["ports"][0]["designation"] == thread["threads"][0]["designation"]
    for one in port["ports"]:
        assert one["thread_probability"] == chances[one["designation"]]


def test_the_same_reading_in_inches_is_the_same_answer(kitwright: CommandLine) -> None:
    for seal in ((), ("--seal", "face")):
        metric = kitwright("port", "--diameter", "20.6375±0.127mm", "--tpi", "16", *seal, "--json").json
        inch = kitwright("port", "--diameter", "0.8125±0.005in", "--tpi", "16", *seal, "--json").json
        assert metric == inch


# ISO 6149-1: M18 × 1.5 takes 15.3 × 2.2. Nobody here has seen it in print, and the answer must say so.
def test_an_unchecked_row_says_so(kitwright: CommandLine) -> None:
    words = ("port", "--diameter", "17.9mm", "--pitch", "1.5mm", "--seal", "chamfer")
    ring = kitwright(*words, "--json").json["ports"][0]["ring"]
    assert (ring["id_mm"], ring["cross_section_mm"]) == (15.3, 2.2)
    assert ring["standing"] == "memory"
    assert "unchecked" in kitwright(*words).out


# G 1/4 and NPT 1/4 are 13.157 and 13.716 mm over the crests, 19 and 18 threads per inch (ISO 228-1, ASME B1.20.1).
def test_a_doubtful_thread_says_which_gauge_settles_it(kitwright: CommandLine) -> None:
    ended = kitwright("port", "--diameter", "13.35±0.1mm", "--seal", "thread", "--json")
    assert not ended.json["settled"]
    assert any("thread gauge" in check for check in ended.json["checks"])
    gauged = kitwright("port", "--diameter", "13.4±0.05mm", "--tpi", "18", "--seal", "thread", "--json").json
    assert gauged["ports"][0]["thread"] == "NPT 1/4"


def test_a_tube_names_its_boss(kitwright: CommandLine) -> None:
    """The issue's "3/8 tube boss → -906"; a fraction is inches, -6 is six sixteenths."""
    for tube in ("3/8", "3/8in", "0.375in", "-6", "-06", "9.5mm"):
        answer = kitwright("port", "--tube", tube, "--seal", "chamfer", "--json").json
        assert [port["ring"]["designation"] for port in answer["ports"]] == ["906"], tube
    ended = kitwright("port", "--tube", "3/8", "--seal", "chamfer")
    assert ended.out.startswith("Tube 3/8 (9.52 mm = 0.375 in): SAE J1926-1 9/16-18, ring AS568-906")
    blind = kitwright("port", "--tube", "3/8").out
    assert "no ring is certain" in blind.splitlines()[0]
    assert "AS568-012" in blind, "the face seal of the same tube has another ring"
    assert kitwright("port", "--tube", "1 1/4", "--json").json["tube_mm"] == 31.75


def test_a_plug_names_its_washer(kitwright: CommandLine) -> None:
    words = ("port", "--diameter", "13.9", "--pitch", "1.5", "--seal", "flat-washer")
    assert kitwright(*words, "--json").json["ports"][0]["washers"][0]["size"] == "14 × 18 × 1.5"
    assert "Washer under a plug of M14x1.5: soft metal washer 14 × 18 × 1.5 mm" in kitwright(*words).out


@pytest.mark.parametrize(
    "words",
    [
        ("--diameter", "11", "--tpi", "20"),
        ("--diameter", "13.9", "--pitch", "1.5"),
        ("--diameter", "13.9", "--pitch", "1.5", "--seal", "cone-24"),
        ("--diameter", "13.9", "--pitch", "1.5", "--seal", "washer"),
        ("--diameter", "19.2", "--female"),
        ("--diameter", "13.1", "--seal", "washer"),
        ("--diameter", "0.43", "--tpi", "20", "--unit", "in"),
        ("--diameter", "20.8", "--over", "18.14", "--threads", "10", "--flank", "56±2", "--tapered", "yes"),
        ("--diameter", "300"),
        ("--tube", "3/8"),
        ("--tube", "10mm", "--seal", "cone"),
        ("--tube", "77mm"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("port", *words, "--json")
    conforms("port", ended.json)
    assert ended.code == (0 if ended.json["ports"] else 1)
    assert ended.json["because"] or not ended.json["ports"]


def test_the_schema_refuses_a_changed_answer(kitwright: CommandLine) -> None:
    answer = kitwright("port", "--diameter", "11", "--tpi", "20", "--json").json
    del answer["ports"][0]["standing"]
    assert not validator("port").is_valid(answer)


BLANK = {one.key: one.words[0] if one.words else "" for one in PortPanel.ASKS}


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"diameter": "11 mm", "tpi": "20"}, ("--diameter", "11 mm", "--tpi", "20")),
        ({"diameter": "11 mm", "tpi": "20tpi", "seal": "chamfer"},
         ("--diameter", "11 mm", "--tpi", "20tpi", "--seal", "chamfer")),
        ({"diameter": "13.9 mm", "pitch": "1.5 mm", "seal": "washer"},
         ("--diameter", "13.9 mm", "--pitch", "1.5 mm", "--seal", "washer")),
        ({"diameter": "17.9 mm", "pitch": "1.5 mm", "seal": "face"},
         ("--diameter", "17.9 mm", "--pitch", "1.5 mm", "--seal", "face")),
        ({"diameter": "19.2 mm", "where": "port"}, ("--diameter", "19.2 mm", "--female")),
        ({"diameter": "50.3 mm", "tpi": "7.4"}, ("--diameter", "50.3 mm", "--tpi", "7.4")),
        ({"tube": "3/8"}, ("--tube", "3/8")),
        ({"tube": "-6", "seal": "chamfer"}, ("--tube", "-6", "--seal", "chamfer")),
        ({"tube": "3/8", "seal": "cone"}, ("--tube", "3/8", "--seal", "cone")),
        ({"tube": "77 mm"}, ("--tube", "77 mm")),
    ],
)  # fmt: skip
def test_the_screen_tells_what_the_command_tells(
    kitwright: CommandLine, fields: dict[str, str], words: tuple[str, ...], unit: str
) -> None:
    ruling = PortPanel().judge({**BLANK, **fields}, unit)
    answer = kitwright("port", *words, "--unit", unit, "--json").json
    for text in ruling.says:
        for part in text.split(". "):
            assert part.lower() in answer["text"].lower() or part.rstrip(".") in {
                one["note"] for one in answer["ports"]
            }
    wanted = "settled" in answer and answer["settled"] and (answer["ring_certain"] or not answer["ports"][0]["ring"])
    if "settled" in answer:
        assert (ruling.mark.name == "GOOD") == bool(wanted)
    told = {line.name: line.sentence for line in ruling.lines}
    assert "type" not in "".join(note.error for note in ruling.notes.values())
    listed = answer["ports"] if ruling.mark.name != "BAD" else []
    for one in listed:
        assert any(name.startswith(one["standard"]) and name.endswith(one["thread"]) for name in told)


def test_a_refused_reading_is_refused_alike_at_both_doors(kitwright: CommandLine) -> None:
    for fields, key in (
        ({"diameter": "11", "tpi": "2000"}, "tpi"),
        ({"diameter": "11", "pitch": "50"}, "pitch"),
        ({"diameter": "11", "pitch": "1.5", "tpi": "17"}, "tpi"),
        ({"diameter": "11", "over": "18"}, "threads"),
        ({"diameter": "11", "flank": "50"}, "flank"),
        ({"tube": "3/8", "diameter": "11"}, "tube"),
        ({"tube": "3/0"}, "tube"),
        ({"tube": "-0"}, "tube"),
        ({"tube": "0/8"}, "tube"),
    ):
        error = PortPanel().judge({**BLANK, **fields}, "mm").notes[key].error
        words = [word for name, text in fields.items() for word in (f"--{name}", text)]
        assert error
        assert kitwright("port", *words).err == f"kitwright port: --{key}: {error}\n"


def test_no_port_ends_with_1_and_says_what_to_do(kitwright: CommandLine) -> None:
    ended = kitwright("port", "--diameter", "300mm")
    assert ended.code == 1
    assert ended.out.startswith("No port in the tables")


def test_the_text_answers_first_in_both_units_with_why_and_cautions(kitwright: CommandLine) -> None:
    lines = kitwright("port", "--diameter", "11.0mm", "--tpi", "20", "--seal", "chamfer").out.splitlines()
    assert lines[0].startswith("SAE J1926-1 7/16-20 (99 %): ring AS568-904")
    assert "0.351 × 0.072" in lines[3]  # inches, as the port reference prints them
    assert "Understood (plug, crests sound): diameter 11.00 mm (0.4331 in)" in "\n".join(lines)
    assert "Why:" in lines
    assert "Relieve the pressure" in lines[-3]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "--diameter is missing"),
        (("--diameter", "11", "--tpi", "20", "--pitch", "1.5"), "both give the pitch"),
        (("--diameter", "11", "--tpi", "2000"), "outside 4 to 80"),
        (("--diameter", "11", "--tpi", "twenty"), "--tpi"),
        (("--diameter", "11", "--pitch", "50"), "outside 0.3 to 6"),
        (("--diameter", "-11"), "--diameter"),
        (("--diameter", "nan"), "--diameter"),
        (("--diameter", "9" * 100_000), "--diameter"),
        (("--diameter", "11\x1b[31m"), "--diameter"),
        (("--diameter", "11", "--seal", "chamfr"), "did you mean chamfer?"),
        (("--diameter", "11", "--flank", "50"), "56±2"),
        (("--tube", "3/8", "--diameter", "11"), "two questions"),
        (("--tube", "three eighths"), "--tube"),
        (("--tube", "3/0"), "--tube"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright("port", *words)
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert len(ended.err) < 500
    assert "\x1b" not in ended.err
