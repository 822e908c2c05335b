"""What an operation itself refuses, once every field was read, stands beneath the field and ends nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import NoReturn

from textual.widgets import Input, Static

from tests.tui.counter import keys, make_app, settle, toasts
from tui.fields.field import FieldError
from tui.operations.registry import operation
from tui.screens.form import Form


async def test_a_file_that_is_not_there_is_said_beneath_its_field(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f3")
        await app.run_action("screen.operate('load', 'sizes')")
        await settle(pilot)
        form = app.screen
        assert isinstance(form, Form)
        field = form.query_one("#file", Input)
        field.value = str(tmp_path / "no such file.csv")
        await keys(pilot, "enter")
        await settle(pilot)
        assert app.screen is form
        assert "can't be read" in str(form.query_one("#file-said", Static).content)
        assert form.focused is field


async def test_what_is_done_at_once_and_refused_is_a_message(tmp_path: Path) -> None:
    def refuses(*_: object) -> NoReturn:
        raise FieldError("there is nothing to do here", "-")

    app = make_app(tmp_path)
    async with app.run_test(size=(100, 40), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f5")
        await settle(pilot)
        one = operation("sizes", "own")
        await app.screen.operate(replace(one, question=None, does=refuses), {})  # type: ignore[attr-defined]
        await settle(pilot)
        assert "nothing to do here" in toasts(pilot)
