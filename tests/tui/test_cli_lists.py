"""`kitwright list` and `kitwright find`: suppliers, columns, dry run, load, export, search."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms

LINES = (
    "Part no;Description;Price;Pack\n"
    "HX-1;ORING 24,99X3,53 N70;0,45;100\n"
    "HX-2;HYD OIL 5GAL;89,90;5 gal\n"
    "HX-3;Clamp;free;1\n"
)


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


@pytest.fixture
def data(tmp_path: Path) -> tuple[str, str]:
    return ("--data", str(tmp_path / "workshop.sqlite3"))


@pytest.fixture
def prices(tmp_path: Path) -> str:
    file = tmp_path / "prices.csv"
    file.write_text(LINES, encoding="utf-8")
    return str(file)


@pytest.fixture
def northfield(kitwright: CommandLine, data: tuple[str, str]) -> CommandLine:
    """A workshop with one supplier."""
    kitwright("list", "add", "Northfield", "--currency", "eur", "--freight", "9.90", *data)
    return kitwright


@pytest.fixture
def loaded(northfield: CommandLine, data: tuple[str, str], prices: str) -> CommandLine:
    """The supplier's list is taken over."""
    northfield("list", "load", prices, "--supplier", "northfield", "--accept", *data)
    return northfield


def test_a_supplier_is_added_and_listed(kitwright: CommandLine, data: tuple[str, str]) -> None:
    assert kitwright("list", "suppliers", *data).code == 1
    added = kitwright("list", "add", "Northfield", "--currency", "eur", "--freight", "9.90", *data, "--json").json
    conforms("list", added)
    assert (added["suppliers"][0]["currency"], added["suppliers"][0]["freight"]) == ("EUR", "9.90")
    assert kitwright("list", "suppliers", *data, "--json").json == added
    assert kitwright("list", "add", "northfield", "--currency", "EUR", *data).code == 2


def test_columns_are_said_with_how_sure_they_are(kitwright: CommandLine, prices: str) -> None:
    answer = kitwright("list", "columns", prices, "--json").json
    conforms("list", answer)
    assert [column["field"] for column in answer["columns"]] == ["number", "name", "price", "pack"]
    assert answer["decimal"] == ","
    assert "95%" in kitwright("list", "columns", prices).out


def test_columns_that_nobody_accepted_are_not_used(northfield: CommandLine, data: tuple[str, str], prices: str) -> None:
    ended = northfield("list", "load", prices, "--supplier", "Northfield", *data)
    assert (ended.code, ended.out) == (2, "")
    assert "--accept" in ended.err
    assert northfield("find", "oring", *data).code == 1


def test_a_dry_run_shows_every_row_and_changes_nothing(
    northfield: CommandLine, data: tuple[str, str], prices: str
) -> None:
    words = ("list", "load", prices, "--supplier", "Northfield", "--dry-run", *data)
    lines = northfield(*words, "--json").json_lines
    for line in lines:
        conforms("list", line)
    assert [(line["change"], line["number"]) for line in lines[:-1]] == [
        ("refused", "HX-3"),
        ("added", "HX-1"),
        ("added", "HX-2"),
    ]
    assert (lines[-1]["changes"], lines[-1]["refused_total"]) == (3, 1)
    # SAE AS568: size 214 is 24.99 × 3.53 mm.
    assert [one["text"] for one in lines[1]["readings"]] == ["AS568-214", "NBR 70"]
    assert "ring read as AS568-214, 95% sure" in northfield(*words).out
    assert northfield("find", "oring", *data).code == 1


def test_a_list_is_loaded_once_and_then_says_nothing_new(
    loaded: CommandLine, data: tuple[str, str], prices: str
) -> None:
    again = loaded("list", "load", prices, "--supplier", "Northfield", *data, "--json")
    conforms("list", again.json)
    assert (again.code, again.json["list_number"], again.json["unchanged"]) == (1, None, 2)
    assert again.json["refused_lines"][0]["line"] == 4
    assert "No changes: " in loaded("list", "load", prices, "--supplier", "Northfield", *data).out


def test_what_changes_is_said_with_both_prices(loaded: CommandLine, data: tuple[str, str], tmp_path: Path) -> None:
    new = tmp_path / "new.csv"
    new.write_text(LINES.replace("0,45", "0,50").replace("HX-2;", "HX-4;"), encoding="utf-8")
    out = loaded("list", "load", str(new), "--supplier", "Northfield", "--dry-run", *data).out
    assert "0.45 EUR → 0.50 EUR" in out
    assert [line.split()[0] for line in out.splitlines()] == ["refused", "changed", "withdrawn", "added"]


def test_a_column_can_be_corrected(loaded: CommandLine, data: tuple[str, str], prices: str) -> None:
    words = ("list", "load", prices, "--supplier", "Northfield", "--dry-run", "--json", *data)
    lines = loaded(*words, "--column", "3=ignore").json_lines
    assert [(line["change"], line["number"]) for line in lines[:-1]] == [
        ("changed", "HX-1"),
        ("changed", "HX-2"),
        ("added", "HX-3"),
    ]
    for said, told in (("9=price", "1 to 4"), ("3=prise", "did you mean price?"), ("x=price", "names no column")):
        ended = loaded(*words, "--column", said)
        assert (ended.code, told in ended.err) == (2, True), said


def test_what_was_loaded_is_found(loaded: CommandLine, data: tuple[str, str]) -> None:
    for text in ("hx1", "oring", "3.5 x 25 nbr", "24,9"):
        answer = loaded("find", text, *data, "--json").json
        conforms("find", answer)
        assert answer["rows"][0]["number"] == "HX-1", text
    out = loaded("find", "hx", "1", *data).out
    assert "read as AS568-214 NBR 70, 80 % sure" in out
    assert "0.45 EUR" in out
    assert loaded("find", "oring", "--supplier", "northfield", "--offset", "1", *data).code == 1


def test_one_row_shows_its_reading_and_its_prices(loaded: CommandLine, data: tuple[str, str], tmp_path: Path) -> None:
    new = tmp_path / "new.csv"
    new.write_text(LINES.replace("0,45", "0,50"), encoding="utf-8")
    loaded("list", "load", str(new), "--supplier", "Northfield", *data)
    words = ("list", "row", "Northfield", "HX-1", *data)
    answer = loaded(*words, "--json").json
    conforms("list", answer)
    assert [span["price"] for span in answer["prices"]] == ["0.50", "0.45"]
    assert (answer["reading"]["state"], answer["reading"]["id_mm"]) == ("read", 24.99)
    assert "not confirmed" in loaded(*words).out
    assert loaded(*words, "--right", "--json").json["reading"]["state"] == "confirmed"
    assert "refused by a person" in loaded(*words, "--wrong").out
    assert loaded(*words, "--right", "--wrong").code == 2
    assert loaded("list", "row", "Northfield", "HX-99", *data).code == 2


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("nothing like it",), 1),
        (("oring", "--supplier", "Nobody"), 2),
        (("oring", "--limit", "0"), 2),
        (("oring", "--offset", "-1"), 2),
        (("\x00*'\"",), 1),
    ],
)
def test_what_is_not_found_ends_so(
    loaded: CommandLine, data: tuple[str, str], words: tuple[str, ...], code: int
) -> None:
    ended = loaded("find", *words, *data)
    assert ended.code == code
    assert "Traceback" not in ended.err


def test_a_list_is_written_out_and_comes_in_again(loaded: CommandLine, data: tuple[str, str], tmp_path: Path) -> None:
    out = str(tmp_path / "out.csv")
    written = loaded("list", "export", "Northfield", "--to", out, *data, "--json")
    conforms("list", written.json)
    assert (written.code, written.json["rows"]) == (0, 2)
    again = loaded("list", "load", out, "--supplier", "Northfield", "--accept", *data, "--json")
    assert (again.code, again.json["list_number"], again.json["unchanged"]) == (0, None, 2)
    assert loaded("list", "export", "Northfield", "--to", str(tmp_path), *data).code == 2


@pytest.mark.parametrize(
    "words",
    [
        ("columns", "not-there.csv"),
        ("load", "not-there.csv", "--supplier", "X"),
        ("add", "X", "--currency", "EURO"),
        ("add", "X", "--currency", "EUR", "--freight", "much"),
        ("add", "X", "--currency", "EUR", "--freight", "1.234"),
        ("add", "X", "--currency", "EUR", "--lead-days", "soon"),
        ("lode", "x"),
    ],
)
def test_what_can_not_be_done_is_told_in_a_sentence(kitwright: CommandLine, words: tuple[str, ...]) -> None:
    ended = kitwright("list", *words)
    assert (ended.code, ended.out) == (2, "")
    assert ended.err.startswith("kitwright list")
    assert "Traceback" not in ended.err
