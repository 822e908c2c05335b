"""`kitwright thread`: readings, names and hexes to threads, and input that cannot be used."""

from __future__ import annotations

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms, validator
from tui.screens.judge.thread import ThreadPanel


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


# ISO 261: M8 has 1.25 mm of pitch; ISO 4014: its hex is 13 mm. UNF: 3/8-24 (ASME B1.1). ISO 228-1: G 1/2 has 14 tpi.
@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("--diameter", "7.85mm", "--pitch", "1.25mm"), "M8"),
        (("--diameter", "0.37in", "--tpi", "24"), "3/8-24 UNF"),
        (("--diameter", "0.37", "--tpi", "24", "--unit", "in"), "3/8-24 UNF"),
        (("--diameter", "20.8mm", "--over", "18.14mm", "--threads", "10"), "G 1/2"),
        (("--diameter", "6.78mm", "--pitch", "1.25mm", "--female"), "M8"),
        (("--diameter", "15.4mm", "--pitch", "2mm", "--wear", "damaged"), "M16"),
    ],
)
def test_a_measured_thread_is_named(kitwright: CommandLine, words: tuple[str, ...], name: str) -> None:
    ended = kitwright("thread", *words, "--json")
    assert ended.code == 0
    assert ended.json["threads"][0]["designation"] == name
    assert ended.json["threads"][0]["probability"] > 0.5


# ISO 228-1: G 1/2 has 14 threads per inch; BS 84: 3/8 BSW has 16.
@pytest.mark.parametrize("count", [("--tpi", "14"), ("--tpi", "14tpi"), ("--tpi", "14 TPI"), ("--pitch", "14tpi"),
                                   ("--pitch", "14 tpi"), ("--pitch", "1.814 mm")])  # fmt: skip
def test_a_count_of_threads_is_read_with_its_unit_and_in_the_pitchs_place(
    kitwright: CommandLine, count: tuple[str, str]
) -> None:
    answer = kitwright("thread", "--diameter", "20.8mm", *count, "--unit", "in", "--json").json
    assert answer["readings"]["pitch_mm"] == pytest.approx(25.4 / 14, abs=0.0005)
    name, text = count[0].removeprefix("--"), count[1]
    ruling = ThreadPanel().judge({**BLANK, "diameter": "20.8mm", name: text}, "in")
    assert ruling.word == answer["threads"][0]["designation"]


BLANK = {one.key: one.words[0] if one.words else "" for one in ThreadPanel.ASKS}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"diameter": "7.85", "pitch": "1.25"}, ("--diameter", "7.85", "--pitch", "1.25")),
        ({"diameter": "7.85"}, ("--diameter", "7.85")),
        ({"diameter": "13.9", "pitch": "1.5"}, ("--diameter", "13.9", "--pitch", "1.5")),
        ({"diameter": "20.8", "over": "18.14", "threads": "10", "where": "bolt", "tapered": "no", "flank": "55"},
         ("--diameter", "20.8", "--over", "18.14", "--threads", "10", "--tapered", "no", "--flank", "55")),
        ({"diameter": "6.78", "pitch": "1.25", "where": "nut", "wear": "worn"},
         ("--diameter", "6.78", "--pitch", "1.25", "--female", "--wear", "worn")),
        ({"diameter": "11.0±0.02", "pitch": "2.6±0.02"}, ("--diameter", "11.0±0.02", "--pitch", "2.6±0.02")),
    ],
)  # fmt: skip
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_screen_tells_what_the_command_tells(
    kitwright: CommandLine, fields: dict[str, str], words: tuple[str, ...], unit: str
) -> None:
    def told(text: str) -> str:
        return f"{text} mm" if text[0].isdigit() and "." in text else text

    ruling = ThreadPanel().judge({**BLANK, **{key: told(text) for key, text in fields.items()}}, unit)
    ended = kitwright("thread", *map(told, words), "--unit", unit)
    answer = kitwright("thread", *map(told, words), "--unit", unit, "--json").json
    assert (ended.code == 0) == bool(ruling.picture)
    if ended.code == 0:
        assert ruling.word == answer["threads"][0]["designation"]
        assert ended.out.splitlines()[0].split(": ", 1)[1] in ruling.says[0]
    assert {answer["settle"], *answer["notes"]} - {None} <= set(ruling.says)
    for one in answer["threads"]:
        assert f"diameter {one['diameter_residual_mm']:+.2f} mm" in next(
            line.sentence for line in ruling.lines if line.name == one["designation"]
        )
    assert [one["rule"] for one in answer["because"]] == [line.sentence for line in ruling.lines if line.word == "why"]


def test_a_limit_of_a_reading_is_the_same_at_both_doors(kitwright: CommandLine) -> None:
    for name, text in (("tpi", "2"), ("pitch", "9 mm"), ("pitch", "2 tpi"), ("tpi", "twenty"), ("threads", "0"),
                       ("flank", "47"), ("diameter", "0"), ("diameter", "nan")):  # fmt: skip
        readings = {"diameter": "8", **({"over": "12.5"} if name == "threads" else {}), name: text}
        error = ThreadPanel().judge({**BLANK, **readings}, "mm").notes[name].error
        words = [word for key, value in readings.items() for word in (f"--{key}", value)]
        assert error
        assert kitwright("thread", *words).err == f"kitwright thread: --{name}: {error}\n"


# Common practice, no source: an M8 hex takes a 13 mm wrench (ISO 4014 says the same; JIS small heads 12, from memory).
def test_an_m8_hex_takes_a_13_mm_wrench_and_back(kitwright: CommandLine) -> None:
    hexes = kitwright("thread", "--name", "M8", "--json").json["thread"]["hexes"]
    assert [one["wrench"] for one in hexes if one["standard"] == "ISO 4014"] == ["13 mm"]
    back = kitwright("thread", "--wrench", "13mm", "--json").json["threads"]
    assert "M8" in [one["designation"] for one in back]
    assert "Wrench: 13 mm" in kitwright("thread", "--diameter", "7.85", "--pitch", "1.25").out


def test_without_a_pitch_the_gauge_that_settles_it_is_named(kitwright: CommandLine) -> None:
    """M8 and 5/16 (7.94 mm) differ by less than a worn crest (S77's list of mix-ups)."""
    answer = kitwright("thread", "--diameter", "7.85mm", "--json").json
    assert "gauge" in answer["settle"]
    assert len(answer["threads"]) >= 2


def test_a_damaged_thread_says_so(kitwright: CommandLine) -> None:
    out = kitwright("thread", "--diameter", "15.4mm", "--pitch", "2mm", "--wear", "damaged").out
    assert "Do not put a damaged thread back under load" in out


def test_a_thread_of_no_standard_ends_with_1(kitwright: CommandLine) -> None:
    ended = kitwright("thread", "--diameter", "11.0±0.02mm", "--pitch", "2.6±0.02mm")
    assert ended.code == 1
    assert ended.out.startswith("No standard thread")
    assert "nearest" in ended.out


def test_a_name_lists_what_it_is_taken_for(kitwright: CommandLine) -> None:
    answer = kitwright("thread", "--name", "M6", "--json").json
    assert "1/4-20 UNC" in [one["designation"] for one in answer["look_alikes"]]  # a mix-up the trade warns of, memory


@pytest.mark.parametrize(
    "words",
    [
        ("--diameter", "7.85"),
        ("--diameter", "20.8", "--tpi", "14", "--tapered", "yes", "--flank", "55"),
        ("--diameter", "11.0±0.02mm", "--pitch", "2.6±0.02mm"),
        ("--name", "3/8-16"),
        ("--name", "NPT 1/2"),
        ("--name", "M14x1.5"),
        ("--wrench", "13"),
        ("--wrench", "300"),
    ],
)
def test_every_answer_conforms_to_the_schema(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("thread", *words, "--json")
    conforms("thread", ended.json)
    assert ended.code in (0, 1)


def test_the_schema_refuses_a_changed_answer(kitwright: CommandLine) -> None:
    answer = kitwright("thread", "--diameter", "7.85", "--json").json
    del answer["none_probability"]
    assert not validator("thread").is_valid(answer)


def test_a_drain_plug_from_memory_says_so(kitwright: CommandLine) -> None:
    out = kitwright("thread", "--name", "M14x1.5").out
    assert "As a drain plug" in out
    assert "(usual; unchecked row; measure the plug)" in out


def test_both_units_are_said(kitwright: CommandLine) -> None:
    assert "diameter 8.00 mm (0.3150 in)" in kitwright("thread", "--name", "M8").out
    assert "13.00 mm (0.5118 in) across flats" in kitwright("thread", "--wrench", "13mm").out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((), "give readings"),
        (("--name", "M8", "--wrench", "13mm"), "give readings"),
        (("--name", "M8", "--diameter", "8"), "give readings"),
        (("--pitch", "1.25"), "--diameter is missing"),
        (("--diameter", "8", "--pitch", "1.25", "--tpi", "20"), "both give the pitch"),
        (("--diameter", "8", "--over", "12.5"), "--threads"),
        (("--diameter", "8", "--threads", "10"), "--over"),
        (("--diameter", "8", "--over", "12.5", "--threads", "0"), "--threads"),
        (("--diameter", "8", "--tpi", "0"), "--tpi"),
        (("--diameter", "8", "--tpi", "-20"), "--tpi"),
        (("--diameter", "8", "--tpi", "1e9"), "--tpi"),
        (("--diameter", "5000000"), "cannot be"),
        (("--diameter", "nan"), "--diameter"),
        (("--diameter", "8\x1b[31m"), "--diameter"),
        (("--diameter", "8", "--wear", "worm"), "did you mean worn?"),
        (("--diameter", "8", "--tapered", "maybe"), "--tapered"),
        (("--diameter", "8", "--flank", "47"), "--flank"),
        (("--name", "M8x99"), "No thread called"),
        (("--name", "x" * 100_000), "--name"),
        (("--name", "\x1b[31m"), "--name"),
        (("--wrench", "0"), "--wrench"),
    ],
)
def test_input_that_cannot_be_used_is_told_in_a_sentence(
    kitwright: CommandLine, words: tuple[str, ...], told: str
) -> None:
    ended = kitwright("thread", *words)
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err
    assert "Traceback" not in ended.err
    assert len(ended.err) < 400
    assert "\x1b" not in ended.err
