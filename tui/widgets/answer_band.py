"""The answer at the top of an area: as many of its lines as there is room for, so that nothing beneath moves."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import Final

from textual.app import RenderResult
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget
from textual.widgets import Static

from tui.widgets.cells import clean

CUT: Final = " …"
CUT_SHOWN_BY: Final = " … ? shows all"


class Tone(StrEnum):
    """What a chip's colour says beside its word: certain, in doubt, no, or nothing of the kind."""

    PLAIN = ""
    GOOD = "$text-success"
    DOUBT = "$text-warning"
    BAD = "$text-error"


def chip(word: str, tone: Tone = Tone.PLAIN) -> Content:
    """A state in a word that stands out without colour too."""
    return Content.styled(f" {clean(word)} ", f"bold reverse {tone}".rstrip())


class AnswerBand(Widget):
    """Lines of words, the most needed first. What has no room is left out, and the last line says so."""

    DEFAULT_CSS = "AnswerBand { height: 3; padding: 0; }"

    def __init__(self, *, cut: str = CUT, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._cut = cut
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
        now = tuple(lines)
        if now != self._lines:
            self._lines = now
            self.refresh()

    def render(self) -> Content:
        """Wrapped lines, cut to the height."""
        return with_room(self._lines, self.size, self._cut)


class Told(Static):
    """A row's words beneath or beside its list. Where they have no room the last line says so, too."""

    def __init__(self, *, cut: str = CUT, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__("", id=id, classes=classes, markup=False)
        self._cut = cut

    def render(self) -> RenderResult:
        """Its words, cut to the height."""
        visual = super().render()
        return with_room(visual.split("\n"), self.size, self._cut) if isinstance(visual, Content) else visual


def with_room(lines: Sequence[Content], size: Size, cut: str) -> Content:
    """Wrapped lines, as many as there is room for; `cut` ends the last one where there are more."""
    width, height = size
    wrapped = [part for line in lines for part in line.wrap(width)] if width > 0 else []
    if len(wrapped) > height > 0:
        wrapped = wrapped[:height]
        last = wrapped[-1].truncate(max(0, width - len(cut)), ellipsis=False)
        wrapped[-1] = last + Content.styled(cut, "dim")
    return Content("\n").join(wrapped)
