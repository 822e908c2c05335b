"""What is wrong with a field stands under it: in every declared form, and in the sheets that are made by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NoReturn

from textual.compose import compose
from textual.pilot import Pilot
from textual.widget import Widget
from textual.widgets import Input, Static

from tests.tui.counter import keys, make_app, settle
from tui.fields.field import Asked
from tui.operations.registry import AREAS, operations
from tui.screens.asking import one_text
from tui.screens.choose_job import ChooseJob, Detail
from tui.screens.form import Form
from tui.screens.position.note_fit import NoteFit
from tui.widgets.error_line import ErrorLine
from tui.widgets.judge.ask_field import PickField


def _never(_: object) -> NoReturn:
    raise AssertionError("a form that is only looked at does nothing")


async def test_every_field_of_every_declared_form_has_its_own_line_right_beneath(tmp_path: Path) -> None:
    app, seen = make_app(tmp_path), 0
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        for one in (one for area in AREAS for one in operations(area) if one.label):
            try:
                form = Form(one, Asked(app.units), _never, title=one.label)
                (sheet, *_) = compose(form)
            except KeyError:
                continue  # about a row of a list, which only its screen can hand over
            parts = [part.id for part in sheet._pending_children]
            for field in form._fields:
                assert parts[parts.index(field.name) + 1] == f"{field.name}-said", (one.area, one.name, field.name)
                seen += 1
    assert seen > 100


async def wrong(pilot: Pilot[Any], field: str, text: str) -> None:
    """Type it into the field of the sheet on top, press Enter, and see that the sentence stands under that field."""
    page = pilot.app.screen
    at = page.query_one(field, Input)
    at.focus()
    at.value = text
    await keys(pilot, "enter")
    assert pilot.app.screen is page, field
    error = page.query_one(ErrorLine)
    line: Widget = at
    while line.parent is not error.parent:
        assert isinstance(line.parent, Widget)
        line = line.parent
    assert str(error.content).startswith("! "), field
    assert error.region.area > 0, field
    assert error.region.y == line.region.bottom, field
    assert page.focused is at, field


async def test_sheets_made_by_hand_say_it_under_the_field_too(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+o")  # the styles of a fit are those of the positions
        marks = (Detail("low", "Low mark", "11 qt"), Detail("full", "Full mark", "12 qt"))
        refused = ChooseJob("UTTO", (), details=marks, refuse=lambda typed: ("full", "It is not a volume."))
        for page, fields in (
            (ChooseJob("AS568-214", ()), {"#pieces": "x", "#spares": "many", "#job-title": ""}),
            (refused, {"#detail-full": "x"}),
            (NoteFit("AS568-214 fitted?", "The groove is another one.", "", ""), {"#fit-hardness": "soft"}),
            (one_text("What is it called?", ""), {"#ask-text": ""}),
        ):
            app.push_screen(page)
            await settle(pilot)
            for field, text in fields.items():
                if page is refused:
                    page.query_one("#job-title", Input).value = "Reseal the pump"
                await wrong(pilot, field, text)
                page.query_one(field, Input).value = "1"
            await keys(pilot, "escape")
        await keys(pilot, "f4", "i")
        app.screen.query_one("#need-kind", PickField).answer = "fluid"
        await settle(pilot)
        await wrong(pilot, "#need-class", "")
        app.screen.query_one("#need-class", Input).value = "UTTO"
        await wrong(pilot, "#need-low", "much")
        await keys(pilot, "escape", "f5", "ctrl+r")
        app.screen.query_one("#item", Input).value = "Rags"
        app.screen.query_one("#bin", Input).value = "C1"
        await wrong(pilot, "#quantity", "some")


async def test_a_note_on_a_rubber_stands_under_the_rubber(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "ctrl+o")  # its styles are those of the positions
        page = NoteFit("AS568-214 fitted?", "", "", "")
        app.push_screen(page)
        await settle(pilot)
        page.query_one("#fit-rubber", Input).value = "Unobtainium"
        await settle(pilot)
        said = page.query_one(ErrorLine)
        assert "Unobtainium is not a rubber in our tables" in str(said.content)
        assert said.region.y == page.query_one("#fit-rubber").region.bottom
        assert isinstance(said, Static)
