"""The help page of a screen: the Markdown file that stands beside it."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Markdown, Static

from tui.screens.closing import Sheet


class HelpScreen(Sheet[None]):
    """Shows one page over the screen it explains. Esc, F1 or q closes it; the arrows scroll."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,f1,q,enter", "dismiss", "Close", tooltip="Back to the screen", id="help.close"),
    ]

    def __init__(self, page: Path) -> None:
        super().__init__()
        self._page = page

    def compose(self) -> ComposeResult:
        """The page and how to leave it."""
        with VerticalScroll(id="help-page", classes="sheet"):
            yield Markdown(self._page.read_text(encoding="utf-8"))
        yield Static("Esc closes · arrows and PgDn scroll", classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#help-page").focus()
