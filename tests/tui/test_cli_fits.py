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
    assert (ended.code, ended.json) == (1, {"schema": "kitwright.fits/2", "fits": []})


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
    assert b"depth 2.75 2.8 2.85;" in file.read_bytes()
    # A file from before decimals were cleaned says the same.
    file.write_bytes(file.read_bytes().replace(b"2.8 2.85;", b"2.8 2.8499999999999996;"))
    old = kitwright("fits", "--import", str(file), *data, "--json").json
    assert (old["known"], old["conflicts"]) == (len(ours), [])
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
        (("--import", "-", "--theirs", "x"), b"", "--theirs: 'x' is not a line number"),
        (("--import", "-", "--theirs", "2", "--ours", "2"), b"", "line 2 is both"),
        (("--import", "-"), b"\xff\xfea", "not UTF-8"),
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


def test_a_fit_is_noted_asked_about_replaced_and_undone(kitwright: CommandLine, tmp_path: Path) -> None:
    data = ("--data", str(tmp_path / "own.sqlite3"))
    kitwright("machine", "add", "Press", "--position", "ram ring=ring", "--position", "oil=fluid", *data)
    assert kitwright("machine", *data).out == kitwright("machine", "list", *data).out != ""
    # Nothing is on record yet; the readings are AS568-214's (24.99 by 3.53 mm), not 222's (37.69 by 3.53 mm).
    wrong = kitwright("fits", "add", "Press", "ram ring", "222", "--id", "24.9", "--width", "3.5", *data)
    assert (wrong.code, "The readings say AS568-214" in wrong.out) == (1, True)
    first = kitwright("fits", "add", "press", "Ram ring", "214", "--rubber", "nbr", "--hardness", "70",
                      "--id", "24.9", "--width", "3.5", "--note", "[b]tight", *data, "--json")  # fmt: skip
    noted = first.json["noted"]
    assert (first.code, first.json["question"]) == (0, None)
    assert (noted["size"], noted["rubber"], noted["hardness_shore_a"], noted["note"]) == (
        "as568:214", "NBR", 70, "[b]tight",
    )  # fmt: skip
    assert [one["value_mm"] for one in noted["readings"]] == [24.9, 3.5]
    # Another size is asked about first, and nothing is changed.
    asked = kitwright("fits", "add", "Press", "ram ring", "AS568-222", *data, "--json")
    assert (asked.code, asked.json["noted"]) == (1, None)
    assert "On record at ram ring: AS568-214 NBR" in asked.json["question"]
    told = kitwright("fits", "add", "Press", "ram ring", "AS568-222", *data)
    assert told.out.endswith("Nothing was changed. To note the new fit, say --replace.\n")
    replaced = kitwright("fits", "add", "Press", "ram ring", "AS568-222", "--replace", "--rubber", "nbrr", *data)
    assert (replaced.code, "Noted: AS568-222 at Press, ram ring." in replaced.out) == (0, True)
    assert "! NBRR is not a rubber in our tables; it was taken as typed.\n" in replaced.out
    assert replaced.out.splitlines()[-1].startswith("Take it back with: kitwright undo --data ")
    doubted = kitwright("fits", "add", "Press", "ram ring", "AS568-222", "--id", "24.9", "--width", "3.5", *data)
    assert (doubted.code, "The readings now say AS568-214" in doubted.out) == (1, True)
    kitwright("undo", *data)
    (row,) = kitwright("fits", "show", "Press", *data, "--json").json["fits"]
    assert row["size"] == "as568:214"
    assert kitwright("fits", "Press", *data).out == kitwright("fits", "show", "Press", *data).out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("Pres", "ram ring", "214"), "MACHINE: there is no machine 'Pres'; did you mean"),
        (("Press", "ram rign", "214"), "POSITION: there is no position that takes a ring 'ram rign'; did you mean"),
        (("Press", "oil", "214"), "POSITION: 'oil' takes a fluid; only a ring is noted as fitted"),
        (("Press", "ram ring", "nothing"), "SIZE: no standard size is called 'nothing'"),
        (("Press", "ram ring", "214", "--hardness", "0"), "--hardness: '0' is not a whole number from 1 to 100"),
        (("Press", "ram ring", "214", "--tool", "rule"), "--tool and --condition tell of a reading"),
        (("Press", "ram ring", "214", "--id", "2 kg"), "--id: "),
    ],
)
def test_a_fit_that_can_not_be_noted_is_told(
    kitwright: CommandLine, data: tuple[str, str], words: tuple[str, ...], said: str
) -> None:
    kitwright("machine", "add", "Press", "--position", "ram ring=ring", "--position", "oil=fluid", *data)
    ended = kitwright("fits", "add", *words, *data)
    assert (ended.code, ended.out) == (2, "")
    assert said in ended.err
    assert kitwright("fits", *data).code == 1


def test_what_a_job_used_is_noted_as_what_fitted(kitwright: CommandLine) -> None:
    waits = kitwright("fits", "job", "5", "--dry-run", "--demo")
    assert (waits.code, waits.out) == (
        0, "Would note AS568-222 HNBR 70 at Shop press, ram ring in place of AS568-222, rubber not noted.\n",
    )  # fmt: skip
    told = kitwright("fits", "job", "5", "--dry-run", "--demo", "--json").json
    (one,) = told["waiting"]
    before = {"size": "as568:222", "rubber": None, "hardness_shore_a": None}
    assert (one["position"], one["rubber"], one["on_record"]) == ("ram ring", "HNBR", before)
    noted = kitwright("fits", "job", "5", "--demo", "--json").json
    assert (noted["waiting"], [row["rubber"] for row in noted["fits"]]) == ([], ["HNBR"])
    again = kitwright("fits", "job", "5", "--demo")
    assert (again.code, again.out) == (1, "No ring of job 5 waits to be noted.\n")
    assert "Undone: noting the fit (Ram drips)" in kitwright("undo", "--demo").out
    noted_again = kitwright("fits", "job", "5", "--demo").out
    assert noted_again.startswith("Noted.\n")
    assert noted_again.endswith("Take it back with: kitwright undo --demo\n")
    assert kitwright("fits", "job", "five", "--demo").code == 2
    assert "There is no job 99" in kitwright("fits", "job", "99", "--demo").err
