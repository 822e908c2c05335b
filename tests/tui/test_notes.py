"""Notes on items, bins and positions: by command, and by the palette with what stands already in the field."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from models import machines, notes
from models.notes import What
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tests.tui.counter import keys, make_app, settle, shown, write
from tests.tui.seed import act, seed
from tui.screens.form import Form


def test_a_note_is_written_shown_and_taken_away_by_command(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    kitwright, data = CommandLine(capsys, monkeypatch), ("--data", str(seed(tmp_path / "workshop.sqlite3")))
    written = kitwright("item", "note", "Rags", "the blue ones shed", *data, "--json").json
    conforms("note", written)
    assert written == written | {"what": "item", "name": "Rags", "note": "the blue ones shed", "written": True}
    assert "the blue ones shed" in kitwright("item", "show", "Rags", *data).out
    assert kitwright("item", "note", "Rags", "the blue ones shed", *data).out.startswith("Rags has that note already")
    assert kitwright("bin", "note", "C1", "top drawer", *data).out.startswith("Note on C1: top drawer")
    assert "top drawer" in kitwright("bin", "list", *data).out
    assert kitwright("undo", *data).code == 0
    assert "top drawer" not in kitwright("bin", "list", *data).out
    assert kitwright("item", "note", "Rags", *data).out.startswith("Rags has no note now.")
    kitwright("machine", "position", "Sprayer 2", "nozzle ring", *data)
    at = ("machine", "note-position", "Sprayer 2", "nozzle ring")
    assert kitwright(*at, "left hand thread", *data).out.startswith("Note on nozzle ring: left hand thread")
    assert "left hand thread" in kitwright("machine", "show", "Sprayer 2", *data).out
    long = kitwright(*at, "x" * 201, *data)
    assert (long.code, "at most 200" in long.err or "more than the 200" in long.err) == (2, True)
    assert kitwright("bin", "note", "C9", "x", *data).code == 2


async def test_the_palette_asks_only_for_the_note_of_what_is_highlighted(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    with app.workshop.open().write() as session:
        machine = machines.listed(session)[0]
        place = machines.add_position(session, act(), machine_id=machine.machine_id, name="nozzle ring").position_id
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        row = app.screen.chosen  # type: ignore[attr-defined]
        app.action_anywhere("bin", "note")
        await settle(pilot)
        assert isinstance(app.screen, Form)
        field = app.screen.query_one(Input)  # the only one
        before = app.workshop.read(lambda session: notes.of(session, What.BIN, row.bin_id).note)
        assert (field.id, field.value) == ("note", before)
        await write(pilot, f"{before}, oiled")
        await keys(pilot, "enter")
        assert app.workshop.read(lambda session: notes.of(session, What.BIN, row.bin_id).note) == f"{before}, oiled"
        await keys(pilot, "escape")
        await settle(pilot)
        side = " ".join(line.rpartition("▏")[2].strip() for line in shown(pilot).splitlines())
        assert f"note on the bin: {before}, oiled" in side
        app.action_anywhere("item", "note")
        await settle(pilot)
        await write(pilot, "from the old stock")
        await keys(pilot, "enter")
        await settle(pilot)
        assert "note: from the old stock" in shown(pilot)
        await keys(pilot, "f9")
        assert app.workshop.read(lambda session: notes.of(session, What.ITEM, row.item_id).note) == ""
        await keys(pilot, "f2", "ctrl+o", "escape", "down")
        app.action_anywhere("machine", "note-position")
        await settle(pilot)
        await write(pilot, "left hand thread")
        await keys(pilot, "enter")
        await settle(pilot)
        assert app.workshop.read(lambda session: notes.of(session, What.POSITION, place).note) == "left hand thread"
        assert "left hand thread" in shown(pilot)
