"""Textual's own search for commands, made to close once like every other sheet."""

from __future__ import annotations

from textual.await_complete import AwaitComplete
from textual.command import CommandList, CommandPalette
from textual.geometry import Size

from tui.screens.closing import ClosesOnce


class Palette(CommandPalette, ClosesOnce[None]):
    """The commands of the page beneath and of the app.

    Textual's runs its command once for every Enter of a burst, and the last one closes the page beneath.
    """

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

    def _action_command_list(self, action: str) -> None:
        """A move in the list, once its lines are laid out: before, and in a window of no width, it knows none."""
        commands = self.query_one(CommandList)
        at = commands.highlighted
        if commands.scrollable_content_region.size != Size(0, 0) and (at or 0) in commands._index_to_line:
            super()._action_command_list(action)
