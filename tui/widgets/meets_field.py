"""Two fields on one line: the fluid that a ring meets, and the hottest it gets."""

from __future__ import annotations

from typing import ClassVar, Final

from textual.app import ComposeResult
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input

from tui.widgets.cells import clean, fit
from tui.widgets.reading_field import SizeInput

LONGEST: Final = 60


class MeetsField(Widget):
    """The fluid and the hottest it gets, on one line; beneath it what was understood, or what is wrong."""

    DEFAULT_CSS = """
    MeetsField {
        height: 2;
        layout: horizontal;
        text-wrap: nowrap;
        & #fluid { margin-left: 12; width: 15; }
        & #hottest { margin-left: 4; width: 9; }
    }
    """

    NAMES: ClassVar = ("Fluid", "Hottest")

    class Edited(Message):
        """Either of the texts changed."""

    def __init__(self, hint: str, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._hint = hint
        self._echo = self._error = ""

    def compose(self) -> ComposeResult:
        """The two inputs; the rest is drawn around them."""
        yield SizeInput(max_length=LONGEST, id="fluid")
        yield SizeInput(max_length=LONGEST, id="hottest")

    @property
    def fluid(self) -> Input:
        """The fluid's input."""
        return self.query_one("#fluid", Input)

    @property
    def hottest(self) -> Input:
        """The input of the hottest it gets."""
        return self.query_one("#hottest", Input)

    @property
    def texts(self) -> tuple[str, str]:
        """What stands in both."""
        return self.fluid.value, self.hottest.value

    def fill(self, fluid: str, hottest: str) -> None:
        """Put other texts in."""
        self.fluid.value, self.hottest.value = fluid, hottest

    def say(self, echo: str, error: str) -> None:
        """Show what was understood, or what is wrong."""
        self._echo, self._error = clean(echo), clean(error)
        self.refresh()

    def render(self) -> Content:
        """The names on the first line, leaving the inputs their places."""
        width = self.size.width
        first = Content(fit(f"{' Fluid':27} to", width))
        if self._error:
            return Content("\n").join([first, Content.styled(fit(f" ! {self._error}", width), "bold $text-error")])
        if self._echo:
            return Content("\n").join([first, Content(fit(f" = {self._echo}", width))])
        return Content("\n").join([first, Content.styled(fit(f"{'':10}{self._hint}", width), "dim")])

    def on_input_changed(self, event: Input.Changed) -> None:
        """Follow the text as it is typed."""
        event.stop()
        self.post_message(self.Edited())
