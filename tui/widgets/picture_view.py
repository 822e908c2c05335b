"""Shows a kept picture as large as there is room, its shape kept; or says in a sentence why there is none."""

from __future__ import annotations

import asyncio
import textwrap
from typing import Final

from rich.segment import Segment
from textual import work
from textual.strip import Strip
from textual.widget import Widget

import models
from models import pictures
from tui.widgets.cells import clean, fit
from tui.widgets.half_blocks import Line, half_blocks, letters

FEW_COLOURS: Final = frozenset({None, "standard", "windows"})
"""What Rich calls a terminal of sixteen colours or none: a photograph can't be told in them."""


class PictureView(Widget):
    """Draws the picture that it was shown last, anew in every size."""

    DEFAULT_CSS = "PictureView { height: 1fr; width: 1fr; min-height: 3; }"

    def __init__(self, *, plain: bool, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        """`plain`: this terminal lacks the half-blocks."""
        super().__init__(id=id)
        self._plain = plain
        self._jpeg = b""
        self._lines: list[Line] = []
        self.says = ""

    @property
    def in_letters(self) -> bool:
        """Whether it is drawn as letters: without colours, or where there are too few."""
        return self._plain or self.app.no_color or self.app.console.color_system in FEW_COLOURS

    def show(self, jpeg: bytes, says: str = "") -> None:
        """Draw another picture; with none, a sentence."""
        self._jpeg, self._lines, self.says = jpeg, [], says
        self.refresh()
        if jpeg:
            self._draw()

    def on_resize(self) -> None:
        """Draw it for the new size."""
        if self._jpeg:
            self._draw()

    @work(exclusive=True, group="picture")
    async def _draw(self) -> None:
        columns, rows = self.size
        if columns < 1 or rows < 1:
            return
        jpeg, found, wrong = self._jpeg, None, ""
        try:
            found = await asyncio.to_thread(pictures.pixels.pixels, jpeg, columns, 2 * rows)
        except models.errors.WorkshopError as refused:
            wrong = str(refused)
        if jpeg is not self._jpeg:
            return  # a sentence, of another thing, is shown meanwhile
        if found is None:
            self._lines, self.says = [], wrong
        else:
            made = letters(found) if self.in_letters else half_blocks(found)
            pad = Segment(" " * ((columns - found.width) // 2))
            self._lines = [[pad, *line] for line in made]
        self.refresh()

    def render_line(self, y: int) -> Strip:
        """One line of the picture, or of the sentence."""
        width, style = self.size.width, self.rich_style
        if self._lines or not self.says:
            line = self._lines[y] if y < len(self._lines) else []
            return Strip(line).apply_style(style).adjust_cell_length(width, style)
        words = textwrap.wrap(clean(self.says), max(10, width))
        return Strip([Segment(fit(words[y] if y < len(words) else "", width), style)], width)
