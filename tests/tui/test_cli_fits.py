"""`kitwright fits`: what fitted where, and the same as CSV for another shop."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine, Ended
from tests.tui.conforming import conforms

TRACTOR = "Orchard tractor 3"
INLET = "pump inlet flange ring"


class Conforming(CommandLine):
    """The command line; all JSON it prints is held against the published schema."""

    def __call__(self, *words: str, stdin: bytes = b"") -> Ended:
        ended = super().__call__(*words, stdin=stdin)
        if "--json" in words and ended.out:
            conforms("fits", ended.json)
        return ended


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return Conforming(capsys, monkeypatch)


@pytest.fixture
def data(tmp_path: Path) -> tuple[str, str]:
    return ("--data", str(tmp_path / "workshop.sqlite3"))


def test_a_machines_record_names_ring_rubber_and_who(kitwright: CommandLine) -> None:
    ended = kitwright("fits", TRACTOR.upper(), "--demo", "--json")
    inlet = next(row for row in ended.json["fits"] if row["position"] == INLET)
    assert (ended.code, inlet["size"], inlet["rubber"], inlet["who"]) == (0, "as568:214", "HNBR", "Bench 1")
    assert {row["machine"] for row in ended.json["fits"]} == {TRACTOR}
    text = kitwright("fits", TRACTOR, "--demo").out
    assert "AS568-214" in text
    assert "HNBR 70 Shore A" in text


def test_a_machine_that_is_not_there_is_told_with_the_near_one(kitwright: CommandLine, data: tuple[str, str]) -> None:
    ended = kitwright("fits", "Orchard tracter 3", "--demo")
    assert (ended.code, ended.out) == (2, "")
    assert "did you mean Orchard tractor 3?" in ended.err
    assert kitwright("fits", TRACTOR, *data).code == 2


def test_nothing_on_record_ends_with_1(kitwright: CommandLine, data: tuple[str, str]) -> None:
    ended = kitwright("fits", *data, "--json")
    assert (ended.code, ended.json) == (1, {"schema": "kitwright.fits/1", "fits": []})


def test_what_is_exported_is_taken_in_by_another_shop(
    kitwright: CommandLine, data: tuple[str, str], tmp_path: Path
) -> None:
    file = tmp_path / "fits.csv"
    assert kitwright("fits", "--export", str(file), "--demo").code == 0
    ours = kitwright("fits", "--demo", "--json").json["fits"]
    first = kitwright("fits", "--import", str(file), *data, "--json")
    assert (first.code, first.json["added"], first.json["conflicts"]) == (0, len(ours), [])
    theirs = kitwright("fits", *data, "--json").json["fits"]
    assert [{**row, "imported_by": None} for row in theirs] == ours
    assert all(row["imported_by"] for row in theirs)
    again = kitwright("fits", "--import", str(file), *data, "--json").json
    assert (again["added"], again["known"]) == (0, len(ours))
    assert kitwright("fits", *data, "--export", "-").out == kitwright("fits", "--demo", "--export", "-").out


def test_a_conflict_waits_for_a_choice(kitwright: CommandLine) -> None:
    text = kitwright("fits", TRACTOR, "--demo", "--export", "-").out
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    at = next(place for place, row in enumerate(rows) if row["position"] == INLET)
    other = io.StringIO(newline="")
    writer = csv.DictWriter(other, list(rows[0]))
    writer.writeheader()
    writer.writerow({**rows[at], "size": "metric:25x3.55", "rubber": "FKM", "who": "Other shop"})
    file = other.getvalue().encode()

    waiting = kitwright("fits", "--import", "-", "--demo", stdin=file)
    assert waiting.code == 1
    assert "size: theirs metric:25x3.55, ours as568:214" in waiting.out
    line = kitwright("fits", "--import", "-", "--demo", "--json", stdin=file).json["conflicts"][0]["line"]
    assert kitwright("fits", "--import", "-", "--ours", str(line), "--demo", stdin=file).code == 0
    kept = kitwright("fits", TRACTOR, "--demo", "--json").json["fits"]
    assert [row["size"] for row in kept if row["position"] == INLET] == ["as568:214"]
    file = file.replace(b"FKM", b"EPDM")
    assert kitwright("fits", "--import", "-", "--theirs", str(line), "--demo", stdin=file).code == 0
    now = kitwright("fits", TRACTOR, "--demo", "--json").json["fits"]
    assert [(row["size"], row["rubber"], row["who"]) for row in now if row["position"] == INLET] == [
        ("metric:25x3.55", "EPDM", "Other shop")
    ]


def test_bad_rows_are_told_and_the_good_ones_taken(kitwright: CommandLine, data: tuple[str, str]) -> None:
    file = b"machine,position,size\nPress,ram ring,as568:222\nPress,gland,as568:999\n"
    ended = kitwright("fits", "--import", "-", *data, stdin=file)
    assert ended.code == 1
    assert "1 added" in ended.out
    assert ended.err.startswith("line 3: ")


@pytest.mark.parametrize(
    ("words", "file", "said"),
    [
        (("--import", "-", "--theirs", "x"), b"", "--theirs: 'x' is no line number"),
        (("--import", "-", "--theirs", "2", "--ours", "2"), b"", "line 2 is both"),
        (("--import", "-"), b"\xff\xfe", "not UTF-8"),
        (("--import", "-"), b"machine,position\n", "no column size"),
        (("--import", "-", "--ours", "9"), b"machine,position,size\n", "Line 9 is in no conflict"),
        (("--import", "nowhere.csv"), b"", "can't be read"),
        (("--export", "nowhere/at/all.csv"), b"", "can't be written"),
        (("--export", "-", "--json"), b"", "choose one"),
        (("--ours", "2"), b"", "add --import"),
        (("--export", "a", "--import", "b"), b"", "not allowed"),
    ],
)
def test_what_can_not_be_done_is_said_in_a_sentence(
    kitwright: CommandLine, data: tuple[str, str], words: tuple[str, ...], file: bytes, said: str
) -> None:
    ended = kitwright("fits", *words, *data, stdin=file)
    assert (ended.code, ended.out) == (2, "")
    assert said in ended.err
