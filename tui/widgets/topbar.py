"""The line at the top of every area: where you are, the keys to the other areas, the unit, undo and quit."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.content import Content
from textual.widget import Widget

if TYPE_CHECKING:
    from tui.host import Host

AREAS = (
    ("F2", "Measure", "measure"),
    ("F3", "Catalog", "catalog"),
    ("F4", "Kits", "kits"),
    ("F5", "Shelf", "shelf"),
    ("F11", "Judge", "judge"),
    ("^F", "Find", "find"),
    ("^Y", "Buy", "buy"),
)


class TopBar(Widget):
    """Areas at the left, session state at the right. Each entry can be clicked. The open area is marked by a glyph."""

    DEFAULT_CSS = """
    TopBar {
        dock: top;
        height: 1;
        background: $panel;
        color: $foreground;
        link-style: none;
        link-color: $foreground;
        link-background: $panel;
        link-color-hover: $block-cursor-foreground;
        link-background-hover: $block-cursor-background;
        link-style-hover: bold;
    }
    """

    def __init__(self, area: str) -> None:
        super().__init__()
        self._area = area

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.watch(self.app, "unit", self._unit_changed, init=False)

    def _unit_changed(self) -> None:
        self.refresh()

    def render(self) -> Content:
        """The whole line, shortened step by step when the window is narrow."""
        app = cast("Host", self.app)
        room = self.size.width
        # At 80 columns all areas, the unit and the way out fit with one space between entries, and only so. Undo gives
        # way first: every message about a change names its key.
        between = "  " if room >= 88 else " "
        left, left_cells = self._areas(names=room >= 72, between=between)
        unit = "unit: " if room >= 96 else ""
        tail = [(f"F6 {unit}{app.unit}", "app.flip_unit"), ("F9 undo", "app.undo"), ("F10 quit", "app.quit")]
        if app.demo and room >= 110:
            tail.insert(0, ("demo workshop", ""))
        while len(tail) > 1 and left_cells + sum(len(between + text) for text, _ in tail) > room:
            tail.pop(-2 if len(tail) > 2 else -1)
        right = [self._link(text, action) for text, action in tail]
        gap = room - left_cells - sum(len(between + text) for text, _ in tail)
        return Content.assemble(*left, " " * max(0, gap), *(part for link in right for part in (between, link)))

    def _areas(self, *, names: bool, between: str) -> tuple[list[Content], int]:
        parts: list[Content] = []
        cells = 0
        for key, name, area in AREAS:
            here = area == self._area
            text = f"{key} {name}" if names or here else key
            text = f"▐{text}▌" if here else f" {text}{between[1:]}"
            link = self._link(text, f"app.area('{area}')")
            parts.append(link.stylize("reverse bold") if here else link)
            cells += len(text)
        return parts, cells

    @staticmethod
    def _link(text: str, action: str) -> Content:
        if not action:
            return Content.from_markup("[dim]$text[/]", text=text)
        return Content.from_markup(f"[@click={action}]$text[/]", text=text)
