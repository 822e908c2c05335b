"""The line of keys at the bottom of an area."""

from __future__ import annotations

from textual.widgets import Footer
from textual.widgets._footer import FooterKey

from tui.widgets.watchers import forget_closed_watchers


class KeyLine(Footer):
    """Textual's, which remembered every key it ever showed: a new line is made at every change of the focus."""

    async def recompose(self) -> None:
        """Show the keys anew and forget the ones before."""
        before = list(self.query(FooterKey))
        await super().recompose()
        for key in before:
            key._styles_cache.clear()
        forget_closed_watchers(self)
