"""The line-drawn list: what it shows is what it was given, it fits its width, and length costs nothing."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from rich.cells import cell_len
from textual.app import App, ComposeResult

from tests.tui.counter import HOSTILE
from tui.widgets.cells import clean, fit
from tui.widgets.rows import Column, Row, Rows


class ListApp(App[None]):
    """One list and nothing else."""

    def __init__(self, count: int, row: Callable[[int], Row]) -> None:
        super().__init__()
        self._count = count
        self._row_of = row
        self.highlighted: list[int] = []
        self.chosen: list[int] = []

    def compose(self) -> ComposeResult:
        yield Rows(
            [Column("Name", 10, grow=True), Column("Size", 8, right=True), Column("Note", 12, yields=1)], id="rows"
        )

    def on_mount(self) -> None:
        self.query_one(Rows).show(self._count, self._row_of)
        self.query_one(Rows).focus()

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        self.highlighted.append(event.index)

    def on_rows_chosen(self, event: Rows.Chosen) -> None:
        self.chosen.append(event.index)


def plain(index: int) -> Row:
    return Row((f"row {index}", f"{index}.5", "note"))


async def test_only_the_lines_on_screen_are_asked_for() -> None:
    asked: list[int] = []

    def row(index: int) -> Row:
        asked.append(index)
        return plain(index)

    app = ListApp(100_000, row)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        assert len(set(asked)) <= 20
        asked.clear()
        await pilot.press("end")
        assert app.query_one(Rows).cursor == 99_999
        assert len(set(asked)) <= 20
        assert "row 99999" in app.query_one(Rows).render_line(19).text


@pytest.mark.parametrize(
    ("pressed", "cursor"),
    [
        (("down", "down"), 2),
        (("j", "j", "k"), 1),
        (("G",), 999),
        (("G", "g"), 0),
        (("end", "up"), 998),
        (("end", "home"), 0),
        # A page is what is in view less one line for the eye to hold on to: 20 lines, one of them the heading.
        (("pagedown",), 18),
        (("space", "pageup"), 0),
        (("up",), 0),
    ],
)
async def test_keys_move_the_cursor_and_keep_it_in_view(pressed: tuple[str, ...], cursor: int) -> None:
    app = ListApp(1000, plain)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.press(*pressed)
        await pilot.pause()
        rows = app.query_one(Rows)
        assert rows.cursor == cursor
        assert app.highlighted[-1] == cursor
        assert any(f"▸ row {cursor} " in rows.render_line(y).text for y in range(20))


async def test_a_click_highlights_and_a_second_takes() -> None:
    app = ListApp(50, plain)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.click(Rows, offset=(5, 4))
        assert app.highlighted[-1] == 3
        assert app.chosen == []
        await pilot.click(Rows, offset=(5, 4))
        assert app.chosen == [3]
        await pilot.click(Rows, offset=(5, 0))
        assert app.chosen == [3]


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("width", [20, 33, 80])
async def test_hostile_text_is_shown_as_it_is_and_every_line_keeps_its_width(text: str, width: int) -> None:
    app = ListApp(3, lambda index: Row((text, text, text)))
    async with app.run_test(size=(width, 10)) as pilot:
        await pilot.pause()
        rows = app.query_one(Rows)
        for y in range(10):
            strip = rows.render_line(y)
            assert cell_len(strip.text) == strip.cell_length == rows.scrollable_content_region.width
            assert all(char.isprintable() for char in strip.text)
        if len(text) < 8 and text.isprintable() and text.isascii():
            assert text in rows.render_line(1).text


async def test_columns_that_yield_go_first_and_come_back() -> None:
    app = ListApp(5, plain)
    async with app.run_test(size=(60, 10)) as pilot:
        await pilot.pause()
        assert "Note" in app.query_one(Rows).render_line(0).text
        await pilot.resize_terminal(30, 10)
        await pilot.pause()
        assert "Note" not in app.query_one(Rows).render_line(0).text
        assert "Size" in app.query_one(Rows).render_line(0).text
        await pilot.resize_terminal(60, 10)
        await pilot.pause()
        assert "Note" in app.query_one(Rows).render_line(0).text


async def test_an_empty_list_says_so_and_takes_every_key() -> None:
    app = ListApp(0, plain)
    async with app.run_test(size=(60, 10)) as pilot:
        await pilot.press("down", "up", "pagedown", "end", "home", "G", "g", "space")
        assert "Nothing here." in app.query_one(Rows).render_line(1).text
        assert set(app.highlighted) == {-1}


async def test_fewer_rows_pull_the_cursor_back() -> None:
    app = ListApp(1000, plain)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.press("end")
        app.query_one(Rows).show(3, plain, cursor=999)
        await pilot.pause()
        assert app.query_one(Rows).cursor == 2
        assert "row 0" in app.query_one(Rows).render_line(1).text


@pytest.mark.parametrize("text", [*HOSTILE, "", " ", "short", "漢" * 50])
@pytest.mark.parametrize("width", [0, 1, 2, 5, 12])
@pytest.mark.parametrize("right", [False, True])
def test_fit_gives_exactly_the_width_asked_for(text: str, width: int, right: bool) -> None:
    # rich.cells measures terminal cells by the Unicode East Asian Width tables.
    assert cell_len(fit(text, width, right=right)) == width


def test_clean_marks_where_a_control_character_stood() -> None:
    assert clean("a\x00b\x1b[31m\u202ec") == "a·b·[31m·c"
