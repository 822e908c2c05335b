"""A field for one reading: its name, what is typed, the tool, and beneath it what was understood or what is wrong."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input

from tui.bound import bind
from tui.scanning import Takes
from tui.widgets.cells import clean, fit
from tui.widgets.filter_input import StillInput

LONGEST = 80
# Cells up to the end of the input.
TAIL = 24


class SizeInput(StillInput):
    """An input for one number. Keys that would do nothing in one line belong to the screen around it."""

    # No size has the digits of a bar code.
    TAKES_CODES: ClassVar = Takes.CHECKED

    # An Input scrolls, so it binds these keys itself; here they would only hide the screen's own.
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "screen.accept", "Accept", show=True, id="field.accept", tooltip="Take the highlighted size"),
        bind("up", "screen.move(-1)", "Up", tooltip="The row above", only="up"),
        bind("down", "screen.move(1)", "Down", tooltip="The row below", only="down"),
        bind("page-down", "screen.picture", "Picture", show=True, id="field.picture", tooltip="Show the other picture"),
    ]

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """No number has a question mark in it, so that key stays the screen's."""
        return character != "?" and super().check_consume_key(key, character)


class ReadingField(Widget):
    """One reading. Takes what is to be said about it through `say`; posts `Edited` when the text changes.

    It keeps its two lines whatever is said, so that nothing beneath it moves while somebody types; a long sentence is
    cut here, and stands whole in the screen's answer.
    """

    DEFAULT_CSS = """
    ReadingField {
        height: 2;
        text-wrap: nowrap;
        & SizeInput { margin-left: 12; width: 12; }
    }
    """

    class Edited(Message):
        """The text changed."""

        def __init__(self, field: ReadingField) -> None:
            self.field = field
            super().__init__()

    def __init__(self, name: str, hint: str, tool: str, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._label = name
        self._hint = hint
        self._tool = tool
        self._echo = ""
        self._error = ""
        self._limit = ""

    def compose(self) -> ComposeResult:
        """The input alone; the rest is drawn beneath it."""
        # max_length keeps a pasted megabyte out of the screen; the parser refuses far shorter text with a sentence.
        yield SizeInput(max_length=LONGEST)

    @property
    def input(self) -> Input:
        """The input."""
        return self.query_one(SizeInput)

    def say(self, tool: str, echo: str, error: str, limit: str) -> None:
        """Show what was understood (`echo`, in both units), or `error`, and the ± that goes with `tool`."""
        self._tool, self._echo, self._error, self._limit = tool, clean(echo), clean(error), limit
        self.refresh()

    def render(self) -> Content:
        """Name and tool on the first line, leaving the input its place; echo or error beneath."""
        width = self.size.width
        tail = f"{self._tool} {self._limit}".strip()
        first = Content.assemble(fit(f" {self._label}", TAIL), (fit(tail, max(0, width - TAIL)), "dim"))
        if self._error:
            return Content("\n").join([first, Content.styled(fit(f" ! {self._error}", width), "bold $text-error")])
        if self._echo:
            room = min(9, max(1, width - len(self._echo) - 3))
            return Content("\n").join([first, Content(fit(f"{'':{room}}= {self._echo}", width))])
        return Content("\n").join([first, Content.styled(fit(f"{'':10}{self._hint}", width), "dim")])

    def on_input_changed(self, event: Input.Changed) -> None:
        """Follow the text as it is typed."""
        event.stop()
        self.post_message(self.Edited(self))
