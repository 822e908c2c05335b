"""Textual's own search for commands, made to close once like every other sheet."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.command import CommandInput, CommandList, CommandPalette, SearchIcon
from textual.containers import Horizontal, Vertical
from textual.errors import NoWidget
from textual.widgets import LoadingIndicator

from tui.screens.closing import ClosesOnce


class Commands(CommandList):
    """The list, which bears keys and clicks while it changes."""

    def on_click(self, event: events.Click) -> None:
        """A click on a line that is still drawn and no longer there is none; Textual's own handler would look it up."""
        option = event.style.meta.get("option")
        if option is not None and option >= self.option_count:
            event.prevent_default()

    def _move_page(self, direction: int) -> None:
        """A page up or down, once the lines are laid out: before, and in a window of no width, it knows none."""
        if (self.highlighted or 0) in self._index_to_line:
            super()._move_page(1 if direction > 0 else -1)


class Palette(CommandPalette, ClosesOnce[None]):
    """The commands of the page beneath and of the app.

    Textual's runs its command once for every Enter of a burst, and the last one closes the page beneath.
    """

    def compose(self) -> ComposeResult:
        """As Textual's, with our list."""
        with Vertical(id="--container"):
            with Horizontal(id="--input"):
                yield SearchIcon()
                yield CommandInput(placeholder=self._placeholder, select_on_focus=False)
            with Vertical(id="--results"):
                yield Commands()
                yield LoadingIndicator()

    def on_click(self, event: events.Click) -> None:
        """A click where nothing is yet, after the window grew, is none; Textual's own handler would look for it."""
        try:
            self.get_widget_at(int(event.screen_x), int(event.screen_y))
        except NoWidget:
            event.prevent_default()

    def dismiss(self, result: None = None) -> AwaitComplete:
        """Close; what it still had in mind to show is forgotten."""
        self._stop_busy_countdown()
        self._stop_no_matches_countdown()
        return super().dismiss(result)

    def _select_or_command(self, event: object = None) -> None:
        if not self.has_closed:
            super()._select_or_command(event)  # type: ignore[arg-type]

    def _action_escape(self) -> None:
        if not self.has_closed:
            super()._action_escape()
