"""`kitwright ring --batch`: a box of rings, one row each; a bad row is told and the rest go on."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def test_every_row_is_answered_with_its_line(kitwright: CommandLine, tmp_path: Path) -> None:
    box = tmp_path / "box.csv"
    box.write_text("id,width\n0.984in,0.139in\n\n1.984in,0.139in\n", encoding="utf-8")
    ended = kitwright("ring", "--batch", str(box), "--series", "as568", "--json")
    # SAE AS568: 214 is 0.984 in inside, 226 is 1.984 in; both 0.139 in wide.
    *rings, last = ended.json_lines
    assert [(one["line"], one["matches"][0]["designation"]) for one in rings] == [(2, "214"), (4, "226")]
    counted = {"rings": 2, "standard": 2, "none": 0, "bad_rows": 0, "one_machine": []}
    assert last == {"schema": "kitwright.ring-batch/2", **counted}
    assert (ended.code, ended.err) == (0, "")


def test_every_line_of_output_conforms_to_the_schema(kitwright: CommandLine) -> None:
    rows = b"id,width,tool,condition\n24.9,3.5,rule,used\n12 bananas,3.5,,\n777.7,19.3,,\n"
    ended = kitwright("ring", "--batch", "-", "--json", stdin=rows)
    assert len(ended.json_lines) == 4
    for one in ended.json_lines:
        conforms("ring", one)


def test_a_bad_row_is_told_on_both_streams_and_the_rest_go_on(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--batch", "-", "--json", stdin=b"id,width\n24.9,3.5\nbent,3.5\n30,3.5\n")
    good, bad, after, last = ended.json_lines
    assert (good["line"], bad["line"], after["line"]) == (2, 3, 4)
    assert (last["standard"], last["bad_rows"]) == (2, 1)
    assert "error" in bad
    assert "matches" not in bad
    assert ended.err.startswith("line 3: --id:")
    assert ended.code == 2


def test_a_ring_of_no_standard_ends_the_batch_with_1(kitwright: CommandLine) -> None:
    assert kitwright("ring", "--batch", "-", stdin=b"id,width\n24.9,3.5\n777.7,19.3\n24.9,3.5\n").code == 1


@pytest.mark.parametrize(
    "rows",
    [
        b"id;width\n24,9;3,5\n",
        b"id\twidth\n24,9\t3,5\n",
        b'id,width\n"24,9","3,5"\n',
        b"\xef\xbb\xbfid;width\r\n24,9 mm;3,5 mm\r\n",
        b"ID;Width\n24.9;3.5\n",
    ],
    ids=["semicolons", "tabs", "quoted commas", "byte order mark and CRLF", "capitals"],
)
def test_delimiters_and_decimal_commas_are_understood(kitwright: CommandLine, rows: bytes) -> None:
    one, _ = kitwright("ring", "--batch", "-", "--json", stdin=rows).json_lines
    assert [reading["value_mm"] for reading in one["readings"]] == [24.9, 3.5]


def test_two_width_columns_are_two_readings(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--batch", "-", "--json", stdin=b"id,width,width,condition\n25,3.3,3.8,flattened\n")
    assert [reading["what"] for reading in ended.json_lines[0]["readings"]] == ["id", "width", "width"]


def test_options_stand_for_what_a_row_leaves_out(kitwright: CommandLine) -> None:
    rows = b"id,unit,tool\n0.984,in,\n25,,tape\n"
    first, second, _ = kitwright("ring", "--tool", "rule", "--batch", "-", "--json", stdin=rows).json_lines
    assert (first["readings"][0]["tool"], first["readings"][0]["value_mm"]) == ("rule", pytest.approx(24.9936))
    assert (second["readings"][0]["tool"], second["readings"][0]["value_mm"]) == ("tape", 25.0)


def test_an_inch_mark_is_no_quote(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--batch", "-", "--json", stdin=b'id;width\n1-1/8";3/16"\n')
    assert [reading["value_mm"] for reading in ended.json_lines[0]["readings"]] == pytest.approx([28.575, 4.7625])


@pytest.mark.parametrize(
    "row",
    [b'"24.9,3.5', b"24,9,3,5", b"24.9," + b"9" * 30_000, b"\xff\xfe,3.5", b"24.9\x00,3.5", b",", b"24.9,3.5,7"],
    ids=["open quote", "decimal commas", "endless", "no text", "NUL", "empty", "too many"],
)
def test_one_spoiled_row_spoils_no_other(kitwright: CommandLine, row: bytes) -> None:
    ended = kitwright("ring", "--batch", "-", "--json", stdin=b"id,width\n24.9,3.5\n" + row + b"\n30,3.5\n")
    answered = [one["line"] for one in ended.json_lines if "matches" in one]
    assert answered == [2, 4]
    assert "Traceback" not in ended.err


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "empty"),
        (b"id,widht\n1,2\n", "did you mean width?"),
        (b"tool\nrule\n", "no column holds a reading"),
        (b"id,id\n1,2\n", "column id"),
        (b"24.9,3.5\n", "line 1"),
    ],
)
def test_a_file_without_a_proper_first_line_is_refused(kitwright: CommandLine, content: bytes, told: str) -> None:
    ended = kitwright("ring", "--batch", "-", stdin=content)
    assert (ended.code, ended.out) == (2, "")
    assert told in ended.err


def test_a_file_that_is_not_there_is_told(kitwright: CommandLine, tmp_path: Path) -> None:
    ended = kitwright("ring", "--batch", str(tmp_path / "none.csv"))
    assert ended.code == 2
    assert "can't be read" in ended.err


def test_readings_and_a_batch_exclude_each_other(kitwright: CommandLine) -> None:
    assert kitwright("ring", "--id", "25", "--batch", "-").code == 2


def test_without_json_a_row_is_a_line_of_text(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--batch", "-", "--series", "as568", stdin=b"id,width\n24.99,3.53\n")
    assert ended.out.startswith("line 2: Fit AS568-214: ")
    assert "; it was AS568-214 (" in ended.out


BOX = b"nr;Bag 7;id;width;condition\n1;A;24.9;3.5;used\n2;=B1;21.7;3.5;used\n3;A;13.8;2.4;used\n"


def test_columns_of_ones_own_come_back_as_they_stood(kitwright: CommandLine) -> None:
    rings = kitwright("ring", "--batch", "-", "--json", stdin=BOX).json_lines[:3]
    assert [one["own"] for one in rings] == [
        {"nr": "1", "Bag 7": "A"},
        {"nr": "2", "Bag 7": "=B1"},
        {"nr": "3", "Bag 7": "A"},
    ]


def test_a_box_comes_back_as_csv_with_the_ring_to_fit_and_the_runner_up(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--batch", "-", "--csv", stdin=BOX)
    rows = list(csv.DictReader(io.StringIO(ended.out)))
    assert [row["fit"] for row in rows] == ["AS568-214", "AS568-212", "JIS P14"]
    assert rows[0]["or_was"] == "JIS P25"
    assert float(rows[0]["seals"]) > float(rows[0]["probability"]) > float(rows[0]["or_probability"])
    # What the user wrote is never run as a formula by a spreadsheet (OWASP, "CSV Injection").
    assert [row["Bag 7"] for row in rows] == ["A", "'=B1", "A"]


def test_names_alone_are_those_of_the_whole_answer(kitwright: CommandLine) -> None:
    rows = BOX + b"4;A;24.9;;used\n5;;777.7;19.3;new\n6;;bent;3;\n"
    whole, names = (kitwright("ring", "--batch", "-", "--json", *more, stdin=rows) for more in ((), ("--names",)))
    assert (names.code, names.err) == (whole.code, whole.err)
    assert names.json_lines[-2:] == whole.json_lines[-2:]
    for one, full in zip(names.json_lines[:5], whole.json_lines[:5], strict=True):
        conforms("ring-names", one)
        for key in ("line", "own", "none_probability", "conflict"):
            assert one[key] == full[key]
        kept = ("standard", "designation", "name", "probability")
        assert one["matches"] == [{key: match[key] for key in kept} for match in full["matches"]]


def test_names_alone_as_text_and_as_a_table(kitwright: CommandLine) -> None:
    rows = BOX + b"4;;777.7;19.3;new\n5;;bent;3;\n"
    text = kitwright("ring", "--batch", "-", "--names", stdin=rows).out.splitlines()
    assert text[0].startswith("line 2 (1, A): AS568-214 (")
    assert " or JIS P25 (" in text[0]
    assert text[3] == "line 5 (4): No size in our tables (over 99 %)"
    table = list(csv.DictReader(io.StringIO(kitwright("ring", "--batch", "-", "--names", "--csv", stdin=rows).out)))
    assert [row["was"] for row in table] == ["AS568-214", "AS568-212", "JIS P14", "none of our sizes", ""]
    assert table[0]["or_was"] == "JIS P25"
    assert "--id" in table[4]["trouble"]


def test_rings_of_one_machine_tell_of_each_other(kitwright: CommandLine) -> None:
    # 21.7 × 3.5 and 13.8 × 2.4 are JIS P22A and P14 to the hundredth (JIS B 2401-1): 24.9 × 3.5 is then P25, not -214.
    alone = kitwright("ring", "--batch", "-", "--json", stdin=BOX).json_lines
    together = kitwright("ring", "--batch", "-", "--one-machine", "--json", stdin=BOX).json_lines
    assert [one["matches"][0]["name"] for one in alone[:3]] == ["AS568-214", "AS568-212", "JIS P14"]
    assert [one["matches"][0]["name"] for one in together[:3]] == ["JIS P25", "JIS P22A", "JIS P14"]
    assert [one["alone"] for one in together[:3]] == ["AS568-214", "AS568-212", None]
    counted = {one["standard"]: one["rings"] for one in together[3]["one_machine"]}
    assert max(counted, key=lambda name: counted[name]) == "jis"
    assert alone[3]["one_machine"] == []


def test_what_is_about_a_box_is_refused_for_one_ring(kitwright: CommandLine) -> None:
    for option in ("--one-machine", "--csv", "--names"):
        ended = kitwright("ring", "--id", "24.9", option)
        assert ended.code == 2
        assert f"{option}: goes with --batch" in ended.err


def test_names_alone_leave_no_word_for_a_machine(kitwright: CommandLine) -> None:
    ended = kitwright("ring", "--batch", "-", "--names", "--one-machine", stdin=BOX)
    assert ended.code == 2
    assert "--one-machine: says more than the names" in ended.err
