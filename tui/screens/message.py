"""A few sentences over the screen, read and closed."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tui.screens.closing import Sheet
from tui.widgets.cells import clean


class MessageSheet(Sheet[None]):
    """Title and lines; Esc, Enter, q or w closes it, the arrows scroll."""

    DEFAULT_CSS = "MessageSheet VerticalScroll { height: auto; max-height: 15; }"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,q,w", "dismiss", "Close", tooltip="Back to the screen", id="told.close"),
    ]

    def __init__(self, title: str, text: str) -> None:
        super().__init__()
        self._title = title
        self._text = text

    def compose(self) -> ComposeResult:
        """Title and text."""
        with Vertical(classes="sheet"):
            yield Static(clean(self._title), classes="title", markup=False)
            with VerticalScroll():
                yield Static(Content("\n".join(clean(line) for line in self._text.splitlines())))
        yield Static("Esc closes · arrows scroll", classes="sheet-keys", markup=False)
