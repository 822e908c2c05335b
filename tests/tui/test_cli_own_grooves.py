"""`kitwright groove load`, `own`, `drop`: a shop's own grooves as text and as JSON; `groove` and `ring` go by them."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms

HEAD = "use,motion,section_mm,depth_min_mm,depth_max_mm,width_min_mm,width_max_mm\n"
STANDARD = ("groove", "--kind", "piston", "--ring", "AS568-214", "--standard")
MEASURED = ("ring", "--id", "24.99", "--width", "3.53", "--condition", "new", "--joint", "plug")


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def test_own_grooves_are_loaded_judged_shared_and_dropped(kitwright: CommandLine, tmp_path: Path) -> None:
    data = ("--data", str(tmp_path / "own.sqlite3"))
    file = tmp_path / "grooves.csv"
    rows = "".join(f"radial,static,{section},3.25,3.3,4.8,4.9\n" for section in ("3.5", "3.53"))
    file.write_text(HEAD + rows, encoding="utf-8")
    ours = kitwright(*MEASURED, *data, "--json").json["to_fit"]
    assert list(tmp_path.glob("*.sqlite3")) == [], "a question makes no workshop"
    assert kitwright("groove", "own", *data).code == 1
    told = kitwright("groove", "load", str(file), "--series", "Press list", "--source", "list 7", *data, "--json")
    conforms("grooves-loaded", told.json)
    assert [(one["confirms"], one["corrects"], one["new"]) for one in told.json["tables"]] == [(0, 0, 2)]

    found = kitwright(*STANDARD, *data, "--json")
    conforms("groove", found.json)
    assert "Press list: list 7" in found.out
    inner, outer = (found.json["groove"][side] for side in ("inner_mm", "outer_mm"))
    assert (outer["least"] - inner["most"]) / 2 == pytest.approx(3.25, abs=1e-3)
    own = kitwright(*MEASURED, *data, "--json").json["to_fit"]
    assert {one["name"]: one["seals"] for one in own} != {one["name"]: one["seals"] for one in ours}

    listed = kitwright("groove", "own", *data, "--json").json
    conforms("own-grooves", listed)
    assert [(one["series"], one["rows"]) for one in listed["tables"]] == [("Press list", 2)]
    out = kitwright("groove", "own", "--export", str(tmp_path / "ours.csv"), *data)
    assert out.out == f"2 grooves of 1 own tables written to {tmp_path / 'ours.csv'}.\n"
    other = ("--data", str(tmp_path / "other.sqlite3"))
    assert kitwright("groove", "load", str(tmp_path / "ours.csv"), *other).code == 0
    mine, theirs = (kitwright("groove", "own", "--export", "-", *place).out for place in (data, other))
    assert mine == theirs
    assert kitwright("groove", "drop", "press list", *data).out == "Dropped “Press list” with its 2 grooves.\n"
    again = kitwright(*MEASURED, *data, "--json").json["to_fit"]
    assert [(one["name"], one["seals"]) for one in again] == [(one["name"], one["seals"]) for one in ours]
    assert "dropping the table of grooves" in kitwright("undo", *data).out


def test_that_the_shops_own_tables_cant_be_read_is_said_with_every_answer(
    kitwright: CommandLine, tmp_path: Path
) -> None:
    file = tmp_path / "own.sqlite3"
    (tmp_path / "grooves.csv").write_text(f"{HEAD}radial,static,3.53,3.25,3.3,4.8,4.9\n", encoding="utf-8")
    data = ("--data", str(file))
    assert kitwright("groove", "load", str(tmp_path / "grooves.csv"), "--series", "Press list", *data).code == 0
    questions = (MEASURED, STANDARD, ("port", "--diameter", "13.9"), ("sizes", "as568-214"))
    assert [kitwright(*words, *data).err for words in questions] == [""] * len(questions)
    with closing(sqlite3.connect(file)) as newer, newer:
        newer.execute("UPDATE alembic_version SET version_num = 'newer'")
    for where in (data, ("--data", "postgresql://nobody@127.0.0.1:1/none")):
        for words in questions:
            ended = kitwright(*words, *where)
            assert ended.out
            assert ended.err.startswith(
                "The workshop can't be read, so the shop's own sizes, ports and grooves are not"
            )
    assert kitwright(*MEASURED, "--data", str(tmp_path / "none.sqlite3")).err == "", (
        "where none is, nothing is left out"
    )


def test_a_correction_is_shown_first_and_a_bad_row_keeps_all_out(kitwright: CommandLine, tmp_path: Path) -> None:
    data = ("--data", str(tmp_path / "own.sqlite3"))
    file = tmp_path / "grooves.csv"
    file.write_text(f"{HEAD}radial,static,3.55,2.9,2.92,4.8,5.05\n", encoding="utf-8")
    asked = kitwright("groove", "load", str(file), "--series", "GB/T 3452.3", *data)
    assert asked.code == 2
    assert asked.out.startswith(
        "Nothing was loaded yet. It corrects GB/T 3452.3 (ISO 3601-2 family), radial static, ring 3.55 mm: depth 2.9 "
        "to 2.92 mm, width 4.8 to 5.05 mm, where ours has depth "
    )
    assert "1 correct ours" in kitwright("groove", "load", str(file), "--series", "GB/T 3452.3", "--yes", *data).out
    file.write_text(f"{HEAD}radial,static,3.55,2.9,2.92,4.8,5.05\nradial,,5.3,0.42,0.43,7,7.2\n", encoding="utf-8")
    ended = kitwright("groove", "load", str(file), "--series", "Pump", *data, "--json")
    assert (ended.code, ended.json["problems"]) == (
        2,
        [
            "Line 3: radial static, ring 5.3 mm: depth 0.42 to 0.43 mm with a ring 5.3 mm thick: a groove has 2.92 to "
            "5.3. Depth is to the mating surface."
        ],
    )
    assert [one["series"] for one in kitwright("groove", "own", *data, "--json").json["tables"]] == ["GB/T 3452.3"]
