"""A box pasted on the Shelf: the good rows are loaded, the bad ones are told by line and stay to be corrected."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events
from textual.widgets import Input

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tui.screens.form import Form

UNREAD = "thing; 2"
ROWS = ("AS568-116 NBR 70; 12", "AS568-117; 3", "P22A NBR 70; 0", "P22 NBR 70; 4")


async def test_the_good_rows_go_in_and_the_bad_one_stays_in_the_form(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "escape", "l")
        form = app.screen
        assert isinstance(form, Form)
        form.query_one("#bin", Input).value = "Box 6"
        form.query_one("#rows", Input).value = "⏎".join(ROWS)
        await settle(pilot)
        text = " ".join(shown(pilot).replace("│", " ").split())
        assert "3 rows, 16 pieces:" in text
        assert "0 × O-ring JIS P22A" in text
        assert "NBR 70 (empty: nothing is booked)" in text
        form.query_one("#rows", Input).focus()
        await keys(pilot, "enter")
        text = " ".join(shown(pilot).replace("│", " ").split())
        assert "! 1 line names no rubber, so nothing is booked. Say it for all of them" in text
        assert "Line 2, “AS568-117; 3”: the rubber is missing." in text
        assert form.query_one("#rows", Input).value == "⏎".join(ROWS)
        assert app.workshop.stock("Box 6").total == 0
        # What they lack is asked for first; what can't be read at all can only be left out.
        assert app.focused is form.query_one("#rubber")
        form.query_one("#rows", Input).value = "⏎".join((*ROWS, UNREAD))
        await keys(pilot, "enter")
        text = " ".join(shown(pilot).replace("│", " ").split())
        assert "2 lines can't be booked, so nothing is. The other 2 can: “Leave the bad" in text
        assert app.focused is form.query_one("#good")
        await keys(pilot, "y", "enter")
        assert "Booked 2 rows, 16 pieces, into Box 6" in toasts(pilot)
        assert app.workshop.stock("Box 6").total == 2
        # What was refused stands in the form again.
        assert isinstance(app.screen, Form)
        assert (app.screen.query_one("#bin", Input).value, app.screen.query_one("#rows", Input).value) == (
            "Box 6", f"AS568-117; 3⏎{UNREAD}",
        )  # fmt: skip
        app.screen.query_one("#rows", Input).value = "AS568-117; 3"
        app.screen.query_one("#rows", Input).focus()
        await keys(pilot, "enter")
        await write(pilot, "NBR 70")
        await keys(pilot, "enter")
        assert app.screen.AREA == "shelf"  # type: ignore[attr-defined]
        assert app.workshop.stock("Box 6").total == 3
        await keys(pilot, "f9")
        assert app.workshop.stock("Box 6").total == 2


def test_on_the_command_line_all_bad_rows_are_told_and_the_good_ones_booked_by_a_word(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright, data = CommandLine(capsys, monkeypatch), ("--data", str(tmp_path / "workshop.sqlite3"))
    file = tmp_path / "box6.csv"
    file.write_text("\n".join((*ROWS, UNREAD)), encoding="utf-8")
    words = ("shelf", "load", "Box 6", str(file))
    refused = kitwright(*words, *data)
    assert refused.code == 2
    told = refused.out + refused.err
    assert "2 lines can't be booked, so nothing is." in told
    assert "Line 2, “AS568-117; 3”" in told
    assert "Line 5, “thing; 2”" in told
    assert kitwright("shelf", "list", *data).code == 1
    answer = kitwright(*words, "--good", "--json", *data)
    conforms("box-loaded", answer.json)
    assert (answer.code, answer.json["booked"], answer.json["pieces"]) == (1, True, 16)
    assert [one["line"] for one in answer.json["bad"]] == [2, 5]
    kitwright("undo", *data)
    assert kitwright("shelf", "list", *data).code == 1


async def test_lines_pasted_into_a_field_of_one_line_go_where_rows_go_or_are_told(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        app.post_message(events.Paste("24.9\n3.5\n\n"))
        await settle(pilot)
        assert "Only the first of 2 lines pasted is in: this field takes one line." in toasts(pilot)
        assert app.focused is not None
        assert getattr(app.focused, "value", "") == "24.9"
        await keys(pilot, "f5", "escape", "l")
        form = app.screen
        form.query_one("#rubber", Input).focus()
        app.post_message(events.Paste("\n".join(ROWS)))
        await settle(pilot)
        assert form.query_one("#rubber", Input).value == ""
        assert form.query_one("#rows", Input).value == "⏎".join(ROWS)
        assert "4 lines pasted: they are in the field for rows" in toasts(pilot)
        # One line with its end is one line.
        form.query_one("#bin", Input).focus()
        app.post_message(events.Paste("Box 6\n"))
        await settle(pilot)
        assert form.query_one("#bin", Input).value.endswith("Box 6")
        assert toasts(pilot).count("pasted") == 2
