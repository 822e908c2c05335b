"""On Kits a need's number and rubber and a job's due day are changed by keys, and taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from tests.tui.counter import keys, make_app, settle, shown, write
from tui.screens.form import Form


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_the_count_of_a_need_and_the_due_day_of_a_job(tmp_path: Path, size: tuple[int, int]) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        await keys(pilot, "f4")
        number, day = app.workshop.jobs()[0].job_id, app.workshop.jobs()[0].due_on
        await keys(pilot, "e")
        assert isinstance(app.screen, Form)
        await write(pilot, "2027-01-31")
        await keys(pilot, "enter")
        assert str(next(one.due_on for one in app.workshop.jobs() if one.job_id == number)) == "2027-01-31"
        await keys(pilot, "f9")
        assert next(one.due_on for one in app.workshop.jobs() if one.job_id == number) == day
        await keys(pilot, "enter")
        before = app.workshop.kit(number).needs
        need = next(one for one in before if one.pieces)
        await keys(pilot, "e")
        assert isinstance(app.screen, Form), shown(pilot)
        assert app.screen.query_one("#count", Input).value
        chosen = next(one for one in before if str(one.pieces) == app.screen.query_one("#count", Input).value)
        await write(pilot, str(chosen.pieces + 2))
        await keys(pilot, "enter")
        assert sum(one.pieces for one in app.workshop.kit(number).needs) == sum(one.pieces for one in before) + 2
        await keys(pilot, "f9")
        assert [one.pieces for one in app.workshop.kit(number).needs] == [one.pieces for one in before]
        assert need.pieces
