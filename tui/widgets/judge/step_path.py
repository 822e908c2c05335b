"""A stand-in path as boxes: from what is offered, by each rule, to what is asked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.widgets.cells import fit
from tui.widgets.judge.marks import Mark


class Step(NamedTuple):
    """One requirement: the classes on the way from the offered to the required one, and how each step comes out."""

    classes: tuple[str, ...]
    marks: tuple[Mark, ...]


def path_lines(steps: Sequence[Step], columns: int, *, plain: bool) -> list[str]:
    """A class a line with the mark of the step between them, a blank line between requirements."""
    lines: list[str] = []
    for step in steps:
        for i, name in enumerate(step.classes):
            lines.append(fit(f"  {name}", columns))
            if i < len(step.marks):
                arrow = "|" if plain else "│"
                word = {Mark.GOOD: "may be used for", Mark.CARE: "with care, for"}.get(
                    step.marks[i], "must not be used for"
                )
                lines.append(fit(f"  {arrow} {step.marks[i].glyph(plain=plain)} {word}", columns))
        lines.append("")
    return lines


class StepPath(Widget):
    """The paths of a judgement. Takes a tuple of `Step` by `show`."""

    DEFAULT_CSS = "StepPath { text-wrap: nowrap; }"
    _steps: Sequence[Step] = ()

    def __init__(self, *, classes: str | None = None, plain: bool = False) -> None:
        super().__init__(classes=classes)
        self._plain = plain

    def show(self, picture: object) -> None:
        """Draw other paths."""
        self._steps = tuple(one for one in picture if isinstance(one, Step)) if isinstance(picture, tuple) else ()
        self.refresh()

    def render(self) -> Content:
        """Title, then the paths."""
        width, height = self.size
        title = Content.styled(fit("From what you have to what is asked", width), "bold $text-accent")
        lines = path_lines(self._steps, width, plain=self._plain)
        return Content("\n").join([title, *(Content(line) for line in lines[: max(0, height - 1)])])
