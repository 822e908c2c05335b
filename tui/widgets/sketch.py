"""The one drawing of an area, made for the room it has."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.content import Content
from textual.widget import Widget

from tui.widgets.cells import clean

Draw = Callable[[int, int], Sequence[str]]
"""A picture for so many columns and rows, as lines of text."""


def _nothing(columns: int, rows: int) -> Sequence[str]:
    return ()


class Sketch(Widget):
    """Draws what it was shown last, anew in every size. Lines that have no room are left out."""

    DEFAULT_CSS = "Sketch { color: $text-primary; text-wrap: nowrap; text-overflow: clip; }"

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._draw: Draw = _nothing

    def show(self, draw: Draw | None) -> None:
        """Draw something else; None draws nothing."""
        self._draw = draw or _nothing
        self.refresh()

    def render(self) -> Content:
        """The picture."""
        columns, rows = self.size
        lines = self._draw(columns, rows)[:rows] if columns > 0 and rows > 0 else ()
        return Content("\n").join([Content(clean(line)) for line in lines])
