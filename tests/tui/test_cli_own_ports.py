"""`kitwright port load`, `own`, `drop`: a shop's own ports as text and as JSON, and what `port` says of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms

HEAD = "thread,seal,ring,ring_id_mm,ring_id_tol_mm,ring_section_mm,ring_section_tol_mm,chamfer_deg\n"
BOUGHT = f"{HEAD}M12x1.5,chamfer,,9.4,0.2,2.2,0.08,15\nM14x1.5,chamfer,,11.3,0.2,2.2,0.08,\n"
NEW = f"{HEAD}M12x1.5,face-ring,AS568-010,,,,,\n"
ASKED = ("port", "--diameter", "11.9", "--pitch", "1.5")


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def test_own_ports_are_loaded_matched_shared_and_dropped(kitwright: CommandLine, tmp_path: Path) -> None:
    data = ("--data", str(tmp_path / "own.sqlite3"))
    bought, new = tmp_path / "bought.csv", tmp_path / "new.csv"
    bought.write_text(BOUGHT, encoding="utf-8")
    new.write_text(NEW, encoding="utf-8")
    assert kitwright(*ASKED, "--seal", "chamfer", *data, "--json").json["ring"]["id_mm"] == 9.3
    assert list(tmp_path.glob("*.sqlite3")) == [], "a question makes no workshop"
    assert kitwright("port", "own", *data).code == 1

    named = ("port", "load", str(bought), "--series", "ISO 6149-1", "--source", "2017")
    asked = kitwright(*named, *data)
    assert asked.code == 2
    assert asked.out == (
        "Nothing was loaded yet. It corrects ISO 6149-1 M12x1.5: ring 9.4 ± 0.2 × 2.2 ± 0.08 mm, chamfer 15°, where "
        "ours has ring 9.3 ± 0.2 × 2.2 ± 0.08 mm, chamfer 15°. Say yes to “Correct ours” (--yes), or leave it.\n"
    )
    told = kitwright(*named, "--yes", *data, "--json")
    conforms("ports-loaded", told.json)
    assert [(one["confirms"], one["corrects"], one["new"]) for one in told.json["tables"]] == [(1, 1, 0)]
    assert (
        "Loaded “Valve list”: 1 port (1 new)."
        in kitwright("port", "load", str(new), "--series", "Valve list", *data).out
    )

    found = kitwright(*ASKED, "--seal", "chamfer", *data, "--json")
    conforms("port", found.json)
    assert (found.json["ring"]["id_mm"], found.json["ring"]["standing"]) == (9.4, "shop")
    assert (found.json["ports"][0]["standing"], found.json["ports"][0]["source"]) == ("shop", "ISO 6149-1: 2017")
    text = kitwright(*ASKED, "--seal", "face", *data).out
    assert any("Valve list" in line and "AS568-010" in line for line in text.splitlines())
    confirmed = kitwright("port", "--diameter", "13.9", "--pitch", "1.5", "--seal", "chamfer", *data).out
    assert "confirmed by a table of this shop" in confirmed
    assert "unchecked" not in confirmed.splitlines()[0]

    listed = kitwright("port", "own", *data, "--json").json
    conforms("own-ports", listed)
    assert [(one["series"], one["rows"]) for one in listed["tables"]] == [("ISO 6149-1", 2), ("Valve list", 1)]
    out = kitwright("port", "own", "--export", str(tmp_path / "ours.csv"), *data)
    assert out.out == f"3 ports of 2 own tables written to {tmp_path / 'ours.csv'}.\n"
    other = ("--data", str(tmp_path / "other.sqlite3"))
    assert kitwright("port", "load", str(tmp_path / "ours.csv"), "--yes", *other).code == 0
    mine, theirs = (kitwright("port", "own", "--export", "-", *place).out for place in (data, other))
    assert mine == theirs

    assert kitwright("port", "drop", "iso 6149-1", *data).out == "Dropped “ISO 6149-1” with its 2 ports.\n"
    assert kitwright(*ASKED, "--seal", "chamfer", *data, "--json").json["ring"]["id_mm"] == 9.3
    assert "dropping the table of ports" in kitwright("undo", *data).out
    assert kitwright(*ASKED, "--seal", "chamfer", *data, "--json").json["ring"]["id_mm"] == 9.4


def test_a_row_that_cant_be_right_keeps_the_whole_table_out(kitwright: CommandLine, tmp_path: Path) -> None:
    data = ("--data", str(tmp_path / "own.sqlite3"))
    (tmp_path / "list.csv").write_text(f"{BOUGHT}M18x1.5,chamfer,,1.4,0.2,2.2,0.08,15\n", encoding="utf-8")
    ended = kitwright("port", "load", str(tmp_path / "list.csv"), "--series", "Valve list", *data, "--json")
    conforms("ports-loaded", ended.json)
    assert ended.code == 2
    assert ended.json["problems"] == [
        "Line 4: M18x1.5 chamfer: ring ID 1.4 mm on a thread of 18 mm: it sits on the plug's neck, so it has more than "
        "13.5 mm and less than 18. Type this thread's ring."
    ]
    assert kitwright("port", "own", *data, "--json").json["tables"] == []


def test_a_tube_finds_the_shops_ports_too(kitwright: CommandLine, tmp_path: Path) -> None:
    data = ("--data", str(tmp_path / "own.sqlite3"))
    (tmp_path / "list.csv").write_text("thread,seal,tube\nM16x1.5,cone-24,7 mm\n", encoding="utf-8")
    assert kitwright("port", "load", str(tmp_path / "list.csv"), "--series", "Valve list", *data).code == 0
    assert [one["standard"] for one in kitwright("port", "--tube", "7mm", *data, "--json").json["ports"]] == [
        "Valve list"
    ]
