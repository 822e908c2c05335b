"""The reasons behind an answer: every candidate with its probability and how far each reading lies from it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tui.answers.chances import short_percent as percent
from tui.answers.reasons import reasons_of
from tui.screens.closing import Sheet
from tui.screens.measure.answer import Candidate, candidates
from tui.screens.measure.result import MeasureResult, size_both


class WhyScreen(Sheet[None]):
    """One sheet, answer first; Esc or Enter closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,w,q,question_mark", "dismiss", "Close", tooltip="Back to the readings", id="why.close"),
    ]

    def __init__(
        self, result: MeasureResult, chosen: Candidate | None, unit: str, answer: Sequence[Content] = ()
    ) -> None:
        """`answer`: what Measure says, all of it."""
        super().__init__()
        self._answer = answer
        self._result = result
        self._chosen = chosen
        self._unit = unit

    def compose(self) -> ComposeResult:
        """The sheet and how to leave it."""
        with VerticalScroll(classes="sheet", id="why"):
            yield Static(self._words())
        yield Static("Esc closes · arrows scroll", classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#why").focus()

    def _words(self) -> Content:
        ranking = self._result.ranking
        if ranking is None:
            return Content("Nothing was measured yet.")
        lines = [Content.styled("Why this answer", "bold $text-accent"), *self._answer, Content(ranking.doubt)]
        for one in self._result.decision.to_fit if self._result.decision is not None else ():
            lines.append(Content(f"{one.size.label} seals in {percent(one.chance.seals)}: it {one.why}."))
        lines += [
            Content(""),
            Content("Beside each reading: how far it lies from what the size would show, in tolerances."),
            Content("±1.0 is the edge of what the standard allows."),
        ]
        for found in candidates(self._result):
            lines.append(Content(""))
            lines += self._one(found)
        lines += [
            Content(""),
            Content.styled("What it rests on", "bold"),
            *(Content(f"  {one.words}") for one in reasons_of(ranking.because)),
        ]
        if self._result.following is not None:
            lines += [Content(""), Content.assemble(("Next: ", "bold"), self._result.following.words)]
        return Content("\n").join(lines)

    def _one(self, found: Candidate) -> list[Content]:
        mark = "▸ " if self._chosen is not None and found.title == self._chosen.title else "  "
        sure = percent(found.probability) if found.probability is not None else "near"
        lines = [Content.assemble(mark, (found.title, "bold"), f"  {sure}")]
        if found.size is None:
            return lines
        lines.append(Content(f"  {size_both(found.size, self._unit)}"))
        tolerance = f"±{found.size.id_tol_mm:.2f} on the ID, ±{found.size.cross_section_tol_mm:.2f} mm on the width"
        lines.append(Content(f"  as made: {tolerance}"))
        readings = [f"{name} {value:+.1f}" for name, value in zip(self._result.names, found.residuals, strict=False)]
        if readings:
            lines.append(Content("  " + "   ".join(readings)))
        if found.also:
            lines.append(Content("  same ring: " + ", ".join(size.label for size in found.also)))
        return lines
