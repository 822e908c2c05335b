"""`kitwright sizes`: the tables as text and as JSON."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def test_without_a_text_every_size_of_a_series_is_listed(kitwright: CommandLine) -> None:
    """SAE AS568 has 369 sizes."""
    assert len(kitwright("sizes", "--series", "as568", "--json").json["sizes"]) == 369


# SAE AS568-214: ID 0.984 ± 0.010 in, width 0.139 ± 0.004 in.
def test_a_name_finds_its_size_first(kitwright: CommandLine) -> None:
    first = kitwright("sizes", "AS568-214", "--json").json["sizes"][0]
    assert (first["standard"], first["designation"], first["standing"]) == ("as568", "214", "published")
    assert first["id_mm"] == pytest.approx(0.984 * 25.4, abs=1e-4)
    assert first["id_plus_minus_mm"] == pytest.approx(0.010 * 25.4, abs=1e-4)
    assert first["cross_section_mm"] == pytest.approx(0.139 * 25.4, abs=1e-4)
    assert first["cross_section_plus_minus_mm"] == pytest.approx(0.004 * 25.4, abs=1e-4)


def test_a_dimension_in_either_unit_finds_sizes(kitwright: CommandLine) -> None:
    for text in ("24.99", "24,99", "0.984"):
        names = [size["name"] for size in kitwright("sizes", text, "--json").json["sizes"]]
        assert "AS568-214" in names


def test_every_word_must_be_found(kitwright: CommandLine) -> None:
    sizes = kitwright("sizes", "jis", "3.50", "--json").json["sizes"]
    assert sizes
    assert {size["standard"] for size in sizes} == {"jis"}


def test_series_narrow_even_a_name(kitwright: CommandLine) -> None:
    names = [size["name"] for size in kitwright("sizes", "214", "--series", "jis", "--json").json.get("sizes", [])]
    assert "AS568-214" not in names


def test_the_text_shows_both_units_and_where_a_row_comes_from(kitwright: CommandLine) -> None:
    ended = kitwright("sizes", "AS568-214")
    row = next(line for line in ended.out.splitlines() if line.startswith("AS568-214"))
    for cell in ("24.99 ±0.25", "3.53 ±0.10", "0.984", "0.139", "SAE AS568", "published"):
        assert cell in row


def test_nothing_found_ends_with_1(kitwright: CommandLine) -> None:
    ended = kitwright("sizes", "no such size")
    assert (ended.code, ended.err) == (1, "")
    assert kitwright("sizes", "no such size", "--json").json["sizes"] == []


# A shop's own tables ------------------------------------------------------------------------------------------------

HEAD = "designation,id_mm,id_tol_mm,cross_section_mm,cross_section_tol_mm\n"


@pytest.fixture
def data(tmp_path: Path) -> tuple[str, ...]:
    return "--data", str(tmp_path / "own.sqlite3")


def test_an_own_table_is_loaded_matched_shared_and_dropped(
    kitwright: CommandLine, data: tuple[str, ...], tmp_path: Path
) -> None:
    (tmp_path / "list.csv").write_text(f"{HEAD}X7,33.3,0.3,4.3,0.12\n25x3.55,25,0.3,3.55,0.1\n", encoding="utf-8")
    (tmp_path / "jis.csv").write_text(f"{HEAD}V950,944,6,10,0.3\n", encoding="utf-8")
    assert kitwright("sizes", "own", *data).code == 1
    assert "X7" not in kitwright("ring", "--id", "33.3", "--width", "4.3", *data).out

    named = ("--series", "Maker list", "--source", "list 7")
    loaded = kitwright("sizes", "load", str(tmp_path / "list.csv"), *named, *data, "--json")
    conforms("sizes-loaded", loaded.json)
    (table,) = loaded.json["tables"]
    assert (loaded.code, table["rows"], table["confirms"], table["corrects"], table["new"]) == (0, 2, 1, 0, 1)
    asked = kitwright("sizes", "load", str(tmp_path / "jis.csv"), "--series", "jis", *data)
    assert (asked.code, asked.out) == (
        2,
        "Nothing was loaded yet. It corrects JIS V950: 944 ± 6 × 10 ± 0.3 mm, where ours has 940.5 ± 6.06 × 10 ± "
        "0.3 mm. Say yes to “Correct ours” (--yes), or leave it.\n",
    )
    as_json = kitwright("sizes", "load", str(tmp_path / "jis.csv"), "--series", "jis", *data, "--json").json
    conforms("sizes-loaded", as_json)
    assert [one["name"] for one in as_json["to_confirm"]] == ["JIS V950"]
    assert len(kitwright("sizes", "own", *data, "--json").json["tables"]) == 1
    told = kitwright("sizes", "load", str(tmp_path / "jis.csv"), "--series", "jis", "--yes", *data)
    assert "Loaded “jis”: 1 size (1 correct ours)." in told.out
    assert "corrects JIS V950: 944 ± 6 × 10 ± 0.3 mm, where ours has 940.5" in told.out
    listed = kitwright("sizes", "own", *data, "--json").json
    conforms("own-sizes", listed)
    assert [one["series"] for one in listed["tables"]] == ["Maker list", "jis"]

    ring = kitwright("ring", "--id", "33.3", "--width", "4.3", "--condition", "new", *data, "--json")
    conforms("ring", ring.json)
    best = ring.json["to_fit"][0]
    assert (ring.code, best["standard"], best["designation"]) == (0, "own", "Maker list X7")
    (tmp_path / "box.csv").write_text("id,width\n33.3,4.3\n", encoding="utf-8")
    assert "Maker list X7" in kitwright("ring", "--batch", str(tmp_path / "box.csv"), *data).out
    (found,) = kitwright("sizes", "maker list", *data, "--json").json["sizes"]
    assert (found["standard"], found["standing"], found["source"]) == ("own", "shop", "Maker list: list 7")
    named_size = next(one for one in kitwright("sizes", "25x3.55", *data, "--json").json["sizes"])
    assert (named_size["standard"], named_size["standing"]) == ("metric", "shop")
    (corrected,) = kitwright("sizes", "V950", *data, "--json").json["sizes"]
    assert (corrected["id_mm"], corrected["standing"]) == (944, "shop")
    groove = ("--kind", "piston", "--root", "34", "--bore", "41.2", "--width", "5.9", "--series", "own")
    assert "Maker list X7" in kitwright("groove", *groove, *data).out
    at = ("--root", "34", "--bore", "41.2", "--width", "5.9")
    judged = kitwright("groove", *at, "--ring", "maker list X7", *data, "--json").json["ring"]
    assert (judged["size"]["designation"], judged["verdict"]) == ("Maker list X7", "seals")
    assert "Maker list X7" in kitwright("sheet", "rings", "Maker list X7", "AS568-214", *data).out
    # An item, and a fit, are of it by its whole name.
    item = ("item", "add", "Maker's ring", "--kind", "ring", "--size", "maker list x7", *data, "--json")
    assert kitwright(*item).json["size"] == "own:Maker list X7"
    kitwright("machine", "add", "Press", "--position", "ram=ring", *data)
    noted = kitwright("fits", "add", "Press", "ram", "Maker list X7", "--id", "33.3", "--width", "4.3", *data)
    assert (noted.code, noted.out.splitlines()[0]) == (0, "Noted: Maker list X7 at Press, ram.")

    out = kitwright("sizes", "--export", str(tmp_path / "ours.csv"), *data)
    assert out.out == f"3 sizes of 2 own tables written to {tmp_path / 'ours.csv'}.\n"
    other = ("--data", str(tmp_path / "other.sqlite3"))
    assert kitwright("sizes", "load", str(tmp_path / "ours.csv"), "--yes", *other).code == 0
    # What is loaded word for word corrects nothing anew.
    assert kitwright("sizes", "load", str(tmp_path / "ours.csv"), *other).code == 0
    mine, theirs = (kitwright("sizes", "--export", "-", *where).out for where in (data, other))
    assert mine == theirs

    assert kitwright("sizes", "drop", "jis", *data).out == "Dropped “jis” with its 1 size.\n"
    (ours,) = kitwright("sizes", "V950", *data, "--json").json["sizes"]
    assert (ours["id_mm"], ours["standing"]) == (940.5, "memory")
    assert "dropping the table of sizes" in kitwright("undo", *data).out
    assert kitwright("sizes", "V950", *data, "--json").json["sizes"][0]["id_mm"] == 944


def test_a_row_that_cant_be_right_keeps_the_whole_table_out(
    kitwright: CommandLine, data: tuple[str, ...], tmp_path: Path
) -> None:
    rows = "X7,33.3,0.3,4.3,0.12\nX8,32.3,0.3,4.3,0.12\nX9,35.3,0.3,43,0.12\n"
    (tmp_path / "list.csv").write_text(f"{HEAD}{rows}", encoding="utf-8")
    ended = kitwright("sizes", "load", str(tmp_path / "list.csv"), "--series", "Maker list", *data)
    assert ended.code == 2
    assert ended.out.splitlines() == [
        "Nothing was loaded. Line 4: X9: width 43 mm: rings have 0.3 to 30 mm; is the unit right?"
    ]
    (tmp_path / "list.csv").write_text(f"{HEAD}{rows}".replace("43", "4.3").replace("X9", "X7"), encoding="utf-8")
    ended = kitwright("sizes", "load", str(tmp_path / "list.csv"), "--series", "Maker list", *data, "--json")
    conforms("sizes-loaded", ended.json)
    assert ended.json["problems"] == [
        "Line 3: X8: ID 32.3 mm comes after 33.3 mm (X7): IDs of one width must rise.",
        "Line 4: X7: the name stands there twice.",
    ]
    assert kitwright("sizes", "own", *data, "--json").json["tables"] == []


def test_without_a_workshop_none_is_made_by_a_question(
    kitwright: CommandLine, data: tuple[str, ...], tmp_path: Path
) -> None:
    for words in (("sizes", "AS568-214"), ("ring", "--id", "24.9", "--width", "3.5")):
        assert kitwright(*words, *data).code == 0
    assert list(tmp_path.iterdir()) == []
