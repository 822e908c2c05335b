"""A file long enough for two processes is read from inside the app, where stderr is the app's own and has no number."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.counter import keys, make_app, settle, shown
from tests.tui.find.opened import find, write_list
from tests.tui.find.test_import import to_columns, top, until
from tui.screens.find.columns import ConfirmColumns
from tui.screens.find.running import Phase


async def test_two_processes_read_it_with_the_app_holding_stderr(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("models.supplier_lists.maker_process.LONG", 1)
    monkeypatch.setattr("models.supplier_lists.staging.A_LINE", 1)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await find(pilot)
        await to_columns(pilot, write_list(tmp_path / "spring.csv", 4_500))
        await keys(pilot, *"Hill", "enter", "enter", *"eur", "enter")
        assert isinstance(top(pilot), ConfirmColumns)
        await keys(pilot, "enter")
        await until(pilot, Phase.ASKING)
        assert "4,500 added" in shown(pilot)
        await keys(pilot, "enter")
        await until(pilot, Phase.DONE)
        assert "4,500 added" in shown(pilot)
        await settle(pilot)
