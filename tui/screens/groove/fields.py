"""The fields of the groove screen: those of Measure, with the page key given to the list of rings."""

from __future__ import annotations

import textwrap
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content

from tui.bound import bind
from tui.widgets.cells import fit
from tui.widgets.reading_field import LONGEST, ReadingField, SizeInput

# Cells up to the end of the input: a size with its ± is longer than a reading.
TAIL = 26


class GrooveInput(SizeInput):
    """An input for one size of the groove."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("page-down", "screen.page(1)", "Page down", tooltip="A page down in the list"),
    ]


class GrooveField(ReadingField):
    """One size of the groove, or one figure of its service."""

    DEFAULT_CSS = "GrooveField SizeInput { margin-left: 12; width: 14; }"

    def compose(self) -> ComposeResult:
        """The input alone; the rest is drawn beneath it."""
        yield GrooveInput(max_length=LONGEST)

    def say(self, tool: str, echo: str, error: str, limit: str) -> None:
        """Show what was understood or the whole of what is wrong, on as many lines as that takes."""
        super().say(tool, echo, error, limit)
        self._fit_height()

    def _error_lines(self) -> list[str]:
        return textwrap.wrap("! " + self._error, max(12, self.size.width - 2), subsequent_indent="  ")[:5]

    def _fit_height(self) -> None:
        lines = 1 + (len(self._error_lines()) if self._error else 1)
        if self.styles.height is None or self.styles.height.value != lines:
            self.styles.height = lines

    def on_resize(self) -> None:
        """Lay out for the new size."""
        if self._error:
            self._fit_height()

    def render(self) -> Content:
        """Name, a gap for the input, the ± it is taken with; the echo beneath takes the whole line where it must."""
        width = self.size.width
        first = Content.assemble(fit(f" {self._label}", TAIL), (fit(self._limit, max(0, width - TAIL)), "dim"))
        if self._error:
            beneath = [Content.styled(f" {line}", "bold $text-error") for line in self._error_lines()]
        elif self._echo:
            text = f"= {self._echo}"
            beneath = [Content(fit(f"{text:>{width - 1}}" if len(text) > width - 11 else f"{'':9}{text}", width))]
        else:
            beneath = [Content.styled(fit(f"{'':10}{self._hint}", width), "dim")]
        return Content("\n").join([first, *beneath])
