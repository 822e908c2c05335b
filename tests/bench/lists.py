"""The small apps that the key bench types into.

Run: python -m tests.bench.lists echo|floor|rows [N]
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

from rich.segment import Segment
from textual.app import App, ComposeResult
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widgets import Input, Static

from tui.widgets.rows import Column, Row, Rows


def names(count: int) -> list[str]:
    """Rows to filter: ten thousand different numbers, then again."""
    return [f"size {number * 7919 % 10_000:04d} of {number:06d}" for number in range(count)]


def narrowed(rows: Sequence[str], text: str) -> list[str]:
    """The rows that hold the text."""
    return [row for row in rows if text in row]


class Echo(App[None]):
    """One field: what a key costs when nothing follows from it."""

    def compose(self) -> ComposeResult:
        """The field."""
        yield Input()


class PlainLines(ScrollView):
    """The line API with nothing on it: no columns, no cursor, no cache."""

    rows: Sequence[str] = ()

    def show(self, rows: Sequence[str]) -> None:
        """Show other rows."""
        self.rows = rows
        self.virtual_size = Size(self.size.width, len(rows))
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One line of the window."""
        at = self.scroll_offset.y + y
        return Strip([Segment(self.rows[at] if at < len(self.rows) else "")]).adjust_cell_length(self.size.width)


class Filtering(App[None]):
    """A field, how many rows it leaves, and the rows."""

    def __init__(self, kind: str, count: int) -> None:
        super().__init__()
        self.kind = kind
        self.all: Sequence[str] = names(count)
        self.kept = self.all

    def compose(self) -> ComposeResult:
        """The field, the count, the list."""
        yield Input()
        yield Static(id="count")
        yield PlainLines() if self.kind == "floor" else Rows([Column("Size", 20, grow=True)])

    def on_mount(self) -> None:
        """Show all rows."""
        self.query_one(Input).styles.dock = "top"
        self.filter("")

    def on_input_changed(self, event: Input.Changed) -> None:
        """Narrow as typed."""
        self.filter(event.value)

    def filter(self, text: str) -> None:
        """Show what holds the text."""
        self.kept = narrowed(self.all, text)
        self.query_one("#count", Static).update(f"{len(self.kept)} left")
        if self.kind == "floor":
            self.query_one(PlainLines).show(self.kept)
        else:
            self.query_one(Rows).show(len(self.kept), lambda index: Row((self.kept[index],)))


if __name__ == "__main__":
    kind = sys.argv[1]
    (Echo() if kind == "echo" else Filtering(kind, int(sys.argv[2]))).run()
