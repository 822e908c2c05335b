"""A long list, taken over and searched on a real terminal."""

from __future__ import annotations

from pathlib import Path

from tests.end_to_end.conftest import Opener

ROWS = 50_001


def test_a_long_list_is_taken_over_and_searched(open_app: Opener, tmp_path: Path) -> None:
    file = tmp_path / "long.csv"
    rows = [f"N-{at:06};Ball bearing {at % 977} zinc;{at % 90 + 1}.00;10\n" for at in range(ROWS)]
    file.write_text("".join(["Part no;Description;Price;Pack\n", *rows]), encoding="utf-8")
    app = open_app("--demo")
    app.wait_for("F2 Measure", "which machine is it from")
    app.press("ctrl+f")
    app.wait_for("^L")
    app.press("ctrl+l")
    app.wait_for("path")
    app.type(str(file))
    app.press("enter")
    app.wait_for("From which supplier?")
    app.type("Hill Supply")
    app.press("enter")
    app.wait_for("Add a supplier")
    app.press("enter")
    app.wait_for("Currency of its prices")
    app.type("eur")
    app.press("enter")
    app.wait_for("Part no")
    app.press("enter")
    app.wait_for("Dry run.", f"{ROWS:,} added")
    app.press("enter")
    app.wait_for("Done.", f"{ROWS:,} added")
    app.press("enter")
    app.type("N-049999")
    app.wait_for("Ball bearing 172 zinc")  # 49,999 is 51 × 977 and 172
