"""`kitwright filter --search` and `--shop`: over the shop and its suppliers' lists, on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.database import open_workshop
from tests.models.supplier_lists import lists
from tests.models.test_elements import LINES, fill
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    """The command line with the streams caught."""
    return CommandLine(capsys, monkeypatch)


@pytest.fixture
def shop(tmp_path: Path) -> str:
    """A shop with filters and a supplier's list."""
    file = str(tmp_path / "workshop.sqlite3")
    fill(file)
    workshop = open_workshop(file)
    lists.take_over(workshop, lists.supplier(workshop), lists.written(tmp_path / "list.csv", LINES))
    workshop.close()
    return file


def test_what_is_there_is_said_best_first_with_where_and_how_sure(kitwright: CommandLine, shop: str) -> None:
    words = ("filter", "--data", shop, "--search", "cartridge, 60 × 120, open 30 at one end")
    said = kitwright(*words)
    assert said.code == 0
    lines = said.out.splitlines()
    assert lines[0] == "3 of 5 elements, 3 of them answer to this, best first:"
    assert [line.split("  ")[0] for line in lines[2:5]] == [
        "Short cartridge",
        "Tank cartridge",
        "FILTER ELEMENT 60X120 OPEN 30 ONE END",
    ]
    assert "SHORT: none on the shelf" in lines[2]
    assert "SHORT: F1: 0 free of 2" in lines[3]
    assert "Northfield Seals E-1, 12.00 EUR" in lines[4]
    # 60 mm is 2.3622 in, by the exact inch of 25.4 mm.
    assert "60.00 mm (2.3622 in)" in lines[3]
    assert "80 % sure" in said.out
    assert "Never measured, so not searched: Odd filter." in said.out

    answer = kitwright(*words, "--json").json
    conforms("filter", answer)
    assert [one["number"] or one["name"] for one in answer["offers"]] == ["Short cartridge", "Tank cartridge", "E-1"]
    assert answer["offers"][1]["bins"] == [{"bin": "F1", "on_hand": 2, "free": 0}]

    housed = kitwright(*words, "--housing", "depth=121", "bore=75", "--json", "--misses").json
    conforms("filter", housed)
    assert housed["found_in_all"] == housed["candidates"] == 5
    # The exit code says whether anything may be used.
    nothing = kitwright("filter", "--data", shop, "--search", "cartridge, 300 × 700")
    assert nothing.code == 1
    assert nothing.out.startswith("None of 5 elements matches.")

    fits = kitwright("filter", "--data", shop, "--shop", "--housing", "takes=spin-on", "thread=1-12", "--limit", "1")
    assert "each to be measured further first" in fits.out.splitlines()[0]
    assert "F1: 3 free of 3" in fits.out
    assert fits.code == 1
