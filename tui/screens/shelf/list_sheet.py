"""A list over the shelf with the highlighted row's words beneath it: what to order, what a box lacks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Generic, NamedTuple, TypeVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

Answer = TypeVar("Answer")


class Line(NamedTuple, Generic[Answer]):
    """A row, what is said of it, and what Enter hands back (None: nothing)."""

    row: Row
    words: Sequence[str]
    answer: Answer | None


class ListSheet(Sheet[Answer | None], Generic[Answer]):
    """Enter hands back the highlighted row's answer, Esc nothing."""

    DEFAULT_CSS = """
    ListSheet #sheet-list { height: 12; }
    ListSheet #sheet-words { height: 4; border-top: solid $panel-lighten-2; }
    ListSheet.-tall #sheet-list { height: 24; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "dismiss", "Close", tooltip="Back to the shelf", id="list.close"),
        Binding("enter", "take", "Show", tooltip="Show it on the shelf", id="list.take"),
    ]

    def __init__(
        self, title: str, columns: Sequence[Column], lines: Sequence[Line[Answer]], empty: str, keys: str
    ) -> None:
        super().__init__()
        self._title = title
        self._columns = columns
        self._lines = lines
        self._empty = empty
        self._keys = keys

    def compose(self) -> ComposeResult:
        """Title, list, words."""
        with Vertical(classes="sheet wide"):
            yield Static(clean(self._title), classes="title", markup=False)
            yield Rows(self._columns, empty=self._empty, id="sheet-list")
            yield Static("", id="sheet-words")
        yield Static(self._keys, classes="sheet-keys wide", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one(Rows).focus()
        self.query_one(Rows).show(len(self._lines), lambda index: self._lines[index].row)

    @property
    def line(self) -> Line[Answer] | None:
        """The highlighted line."""
        index = self.query_one(Rows).cursor
        return self._lines[index] if index < len(self._lines) else None

    def on_rows_highlighted(self) -> None:
        """The highlighted row in full."""
        words = self.line.words if self.line else ()
        self.query_one("#sheet-words", Static).update(Content("\n").join([Content(clean(one)) for one in words]))

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self.action_take()

    def action_take(self) -> None:
        """Hand back what the row stands for."""
        if self.line is not None and self.line.answer is not None:
            self.dismiss(self.line.answer)
