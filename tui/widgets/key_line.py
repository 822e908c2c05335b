"""The line of keys at the bottom of an area."""

from __future__ import annotations

from textual.widgets import Footer
from textual.widgets._footer import FooterKey

from tui.widgets.letting_go import let_go, rings_of
from tui.widgets.watchers import forget_closed_watchers


class KeyLine(Footer):
    """Textual's, which remembered every key it ever showed: a new line is made at every change of the focus."""

    async def recompose(self) -> None:
        """Show the keys anew and forget the ones before."""
        before = list(self.query(FooterKey))
        rings = rings_of(before)
        await super().recompose()
        let_go(before, rings)
        forget_closed_watchers(self)
