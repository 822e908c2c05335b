"""The first frame: the Measure screen's outline in one stroke, on screen before the real one is built."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from textual.content import Content
from textual.screen import Screen

if TYPE_CHECKING:
    from tui.host import Host

# The outline of the Measure screen, so that nothing jumps when its fields arrive.
_OUTLINE = """\
▐F2 Measure▌ F3 Catalog  F4 Kits  F5 Shelf
What you measured

 ID

 OD

 Width

 Width 2

 Inside tape

 Cut length

How the ring looks (^N)"""


class Opening(Screen[Any]):
    """Draws without a single widget (building the fields takes 0.15 s), then opens Measure once that is painted."""

    def on_mount(self) -> None:
        """Open Measure after the first frame."""
        self.call_after_refresh(cast("Host", self.app).open_first)

    def render(self) -> Content:
        """The outline."""
        return Content(_OUTLINE)
