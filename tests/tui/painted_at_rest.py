"""What nobody sees is not painted: a screen under test is drawn when a wait ends, not at each change on the way there.

Without a terminal Textual works every line out and drops it, thirty times for one picture; that was a quarter of a
screen test's time. Layout, messages and styles go on as ever; only the lines wait, and what changed is kept for them.
"""

from __future__ import annotations

from typing import Any

from textual.pilot import Pilot
from textual.screen import Screen

_paint = Screen._compositor_refresh
_pause = Pilot.pause


def _later(self: Screen[Any]) -> None:
    """In place of painting: the compositor keeps what changed; a screen beneath hands it up, as it did."""
    app = self.app
    if app.is_headless and not app.is_inline and self is app.screen:
        self._dirty_widgets.clear()
        app._update_mouse_over(self)
    else:
        _paint(self)


async def _then_paint(self: Pilot[Any], delay: float | None = None) -> None:
    """Wait as ever, then paint what changed."""
    await _pause(self, delay)
    app = self.app
    if app.is_headless and not app.is_inline and app.screen._compositor._dirty_regions:
        with app._context():
            _paint(app.screen)


def share() -> None:
    """From here on every app under test paints so."""
    Screen._compositor_refresh = _later  # type: ignore[method-assign]
    Pilot.pause = _then_paint  # type: ignore[method-assign]
