"""What a finger reaches without a keyboard: a field by its name, a key by its name in the line that says it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.pilot import Pilot
from textual.widgets import Input, Label, Static

from tests.tui.counter import keys, make_app, settle, shown, write
from tui.keys import BY_KEY
from tui.screens.ask import Ask
from tui.screens.form import Form
from tui.screens.shelf.round import RoundScreen
from tui.touched import key_named
from tui.widgets.meets_field import MeetsField
from tui.widgets.reading_field import ReadingField


def place_of(pilot: Pilot[Any], text: str) -> tuple[int, int]:
    """Where a text begins on the screen."""
    for row, line in enumerate(shown(pilot).splitlines()):
        if text in line:
            return line.index(text), row
    raise AssertionError(f"{text!r} is not on the screen:\n{shown(pilot)}")


async def touch(pilot: Pilot[Any], text: str, at: int = 0) -> None:
    """Touch a text."""
    column, row = place_of(pilot, text)
    part, region = pilot.app.screen.get_widget_at(column + at, row)
    await pilot.click(part, offset=(column + at - region.x, row - region.y))
    for _ in range(4):  # the touch, the key that it means, what that does
        await pilot.pause()
    await settle(pilot)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_a_field_is_reached_by_its_name_and_by_what_is_said_beneath_it(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        fields = list(app.screen.query(ReadingField))
        for field, text in (
            (fields[2], "thickness of the cord"),
            (fields[0], " ID  "),
            (fields[1], "outside diameter"),
        ):
            await touch(pilot, text, 1)
            assert field.input.has_focus
        # The nearer of two on one line.
        meets = app.screen.query_one(MeetsField)
        for name, across in (("fluid", 2), ("hottest", 29)):
            await pilot.click(meets, offset=(across, 1))
            await settle(pilot)
            assert meets.query_one(f"#{name}").has_focus
        # Elsewhere nothing is meant: the field in hand stays so.
        await pilot.click(offset=(size[0] - 4, 12))
        await settle(pilot)
        assert meets.query_one("#hottest").has_focus
        await keys(pilot, "f5", "enter")
        form = app.screen
        assert isinstance(form, Form)
        await touch(pilot, "Why it differs")
        assert form.query_one("#reason").has_focus
        await pilot.click(form.query(Label).first())
        await settle(pilot)
        assert form.query_one("#quantity").has_focus


async def test_the_keys_that_a_line_names_are_touched(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "escape", "a")
        screen: Any = app.screen
        assert isinstance(screen, RoundScreen)
        await touch(pilot, "PgDn bin")
        assert screen._at == 1
        await touch(pilot, "PgUp PgDn")
        assert screen._at == 0
        await write(pilot, "=")
        await touch(pilot, "books it, next")
        assert len(screen._counts) == 1
        await touch(pilot, "F9 undo")
        assert screen._counts[next(iter(screen._counts))] == []
        await touch(pilot, "Esc ends", 5)
        assert app.screen is not screen
        await touch(pilot, "S scrap", 3)
        assert "Scrap" in shown(pilot)
        await touch(pilot, "Esc cancels")
        await keys(pilot, "f4")
        await touch(pilot, "X closes it", 4)
        assert isinstance(app.screen, Ask), shown(pilot)
        await touch(pilot, "Esc")
        assert not isinstance(app.screen, Ask)


async def test_a_key_that_is_touched_types_no_letter(tmp_path: Path) -> None:
    """Also where a field has the focus: "B" in a line of keys is no B that is typed."""
    app = make_app(tmp_path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot)
        await keys(pilot, "f5", "enter")
        form = app.screen
        form.query_one(".sheet-keys", Static).update("B back · Enter does it")
        await settle(pilot)
        await touch(pilot, "B back")
        assert form.query_one("#quantity", Input).value == ""


@pytest.mark.parametrize(
    ("at", "key"),
    [(0, "enter"), (2, "enter"), (12, "enter"), (21, "pageup"), (26, "pagedown"), (31, "pagedown"), (36, "b"),
     (41, "b"), (48, None), (55, None), (72, "escape"), (79, "escape")],
)  # fmt: skip
def test_a_touch_means_the_key_of_its_part(at: int, key: str | None) -> None:
    line = "  Enter: books it · PgUp PgDn bin · B back · - and Enter: undo last · Esc ends  "
    assert key_named(line, at) == key


@given(st.text(max_size=80), st.integers(0, 100))
def test_whatever_a_line_says_a_touch_means_a_key_of_the_table_or_none(line: str, at: int) -> None:
    assert key_named(line, at) in {None, *BY_KEY}
