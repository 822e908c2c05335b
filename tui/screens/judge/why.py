"""The reasons behind a judgement on one sheet: every line with its sentence and where the rule is from."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tui.screens.closing import Sheet
from tui.screens.judge.ruling import Line, Ruling
from tui.widgets.cells import clean
from tui.widgets.judge.marks import Mark


class ReasonsScreen(Sheet[None]):
    """One sheet, answer first; Esc or Enter closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,enter,w,q,question_mark", "dismiss", "Close", tooltip="Back to the fields", id="reasons.close"),
    ]

    def __init__(self, ruling: Ruling, caution: str, *, plain: bool, title: str = "Why this answer") -> None:
        super().__init__()
        self._ruling = ruling
        self._caution = caution
        self._plain = plain
        self._title = title

    def compose(self) -> ComposeResult:
        """The sheet and how to leave it."""
        with VerticalScroll(classes="sheet", id="reasons"):
            yield Static(self._words())
        yield Static("Esc closes · arrows scroll", classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#reasons").focus()

    def _words(self) -> Content:
        ruling = self._ruling
        parts = [Content.styled(self._title, "bold $text-accent")]
        if ruling.word:
            parts.append(Content.styled(f"{ruling.mark.glyph(plain=self._plain)} {clean(ruling.word)}", "bold"))
        parts += [Content(clean(sentence)) for sentence in ruling.says]
        known = [line for line in ruling.lines if line.mark is not Mark.MEASURE]
        for line in known:
            parts += [Content(""), *self._one(line)]
        if ruling.to_measure:
            parts += [Content(""), Content.styled("Measure this before you trust it", "bold $text-accent")]
            for line in ruling.to_measure:
                parts += [Content(""), *self._one(line)]
        if not ruling.lines:
            parts.append(Content("Nothing was judged yet."))
        parts += [Content(""), Content.styled(clean(ruling.caution or self._caution), "bold")]
        return Content("\n").join(parts)

    def _one(self, line: Line) -> list[Content]:
        head = f"{line.mark.glyph(plain=self._plain)} {clean(line.word)}"
        found = [Content.assemble((head, f"bold {line.mark.style}"), f"  {clean(line.name)}")]
        if line.sentence:
            found.append(Content(f"  {clean(line.sentence)}"))
        if line.source:
            found.append(Content.styled(f"  source: {clean(line.source)}", "dim"))
        return found
