"""What the four areas share: the top line, the key line, a help page, and the message for a window too narrow."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, cast

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Footer, Static

from tui.widgets.topbar import TopBar

if TYPE_CHECKING:
    from tui.app import KitwrightApp


class Area(Screen[None]):
    """One of the four areas. A subclass gives `AREA`, `PAGE` (its Markdown help) and `body()`."""

    AREA: ClassVar[str]
    PAGE: ClassVar[Path]

    @property
    def kitwright(self) -> KitwrightApp:
        """The app, with its own type."""
        return cast("KitwrightApp", self.app)

    def compose(self) -> ComposeResult:
        """Top line, body, key line."""
        yield TopBar(self.AREA)
        yield Static("This window is narrow. Widen it to 72 columns to see everything.", id="narrow", markup=False)
        yield from self.body()
        yield Footer(compact=True, show_command_palette=False)

    def body(self) -> Iterable[Widget]:
        """The area's own widgets."""
        raise NotImplementedError

    def say(self, text: str, *, trouble: bool = False) -> None:
        """A short message over the screen; the text is never read as markup."""
        self.notify(text, markup=False, severity="warning" if trouble else "information")
