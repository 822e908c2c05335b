"""A section drawn with plain characters: how a port can seal, where a washer or a shaft seal is measured."""

from __future__ import annotations

from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.seal_sections import SHAFT_SEAL, WASHER, sections
from tui.widgets.cells import fit


class Drawn(NamedTuple):
    """What to draw: `port`, `washer` or `shaft seal`; of a port the look that was taken, if any."""

    kind: str
    taken: str = ""


def drawn_lines(drawn: Drawn, columns: int) -> list[str]:
    """The drawing, in as many columns as there are."""
    if drawn.kind == "port":
        return sections(columns, drawn.taken)
    return list(WASHER if drawn.kind == "washer" else SHAFT_SEAL)


TITLES = {
    "port": "Which of these, cut through?",
    "washer": "Where a washer is measured",
    "shaft seal": "Where a shaft seal is measured",
}


class SectionText(Widget):
    """The drawing. Takes a `Drawn` by `show`; shows `default` where there is nothing to judge yet."""

    DEFAULT_CSS = "SectionText { text-wrap: nowrap; }"

    def __init__(self, default: Drawn, *, classes: str | None = None) -> None:
        super().__init__(classes=classes)
        self._default = default
        self._drawn = default

    def show(self, picture: object) -> None:
        """Draw another one."""
        self._drawn = picture if isinstance(picture, Drawn) else self._default
        self.refresh()

    def render(self) -> Content:
        """Title, then the drawing."""
        width, height = self.size
        title = Content.styled(fit(TITLES[self._drawn.kind], width), "bold $text-accent")
        lines = drawn_lines(self._drawn, width)[: max(0, height - 1)]
        return Content("\n").join([title, *(Content(line[:width]) for line in lines)])
