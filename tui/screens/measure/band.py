"""The answer at the top of Measure: as many of its lines as there is room for, so that nothing beneath ever moves."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widget import Widget

MORE = " … ? shows all"


class AnswerBand(Widget):
    """Lines of words, the most needed first. What has no room is left out, and the last line says so."""

    DEFAULT_CSS = "AnswerBand { height: 4; padding: 0; }"

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._lines: tuple[Content, ...] = ()

    @property
    def lines(self) -> tuple[Content, ...]:
        """All of its lines, those without room too."""
        return self._lines

    @property
    def text(self) -> str:
        """The same as plain text."""
        return "\n".join(line.plain for line in self._lines)

    def show(self, lines: Sequence[Content]) -> None:
        """Show other lines."""
        self._lines = tuple(lines)
        self.refresh()

    def render(self) -> Content:
        """Wrapped lines, cut to the height."""
        width, height = self.size
        wrapped = [part for line in self._lines for part in line.wrap(width)] if width > 0 else []
        if len(wrapped) > height:
            kept = wrapped[:height]
            kept[-1] = kept[-1].truncate(max(0, width - len(MORE)), ellipsis=False) + Content.styled(MORE, "dim")
            wrapped = kept
        return Content("\n").join(wrapped)
