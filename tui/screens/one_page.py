"""A form of one page: ↑ and ↓ go from field to field, and the keys for pages do nothing."""

from __future__ import annotations

from typing import Any

from textual.screen import Screen


class OnePage:
    """Beside a screen, for the actions that its fields send it."""

    def action_move(self: Screen[Any], step: int) -> None:  # type: ignore[misc]  # it stands beside a screen only
        """Another field."""
        if step > 0:
            self.focus_next()
        else:
            self.focus_previous()

    def action_page(self, step: int) -> None:
        """There is one page only."""
