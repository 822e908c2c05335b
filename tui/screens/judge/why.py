"""The reasons behind a judgement on one sheet: every line with its sentence and where the rule is from."""

from __future__ import annotations

from textual.content import Content

from tui.screens.ask import Ask
from tui.screens.asking import to_read
from tui.screens.judge.ruling import Line, Ruling
from tui.widgets.cells import clean
from tui.widgets.judge.marks import Mark


def reasons_sheet(ruling: Ruling, caution: str, *, plain: bool, title: str = "Why this answer") -> Ask[None]:
    """One sheet, answer first."""
    return to_read(title, _words(ruling, caution, plain=plain), name="reasons")


def _words(ruling: Ruling, caution: str, *, plain: bool) -> Content:
    parts: list[Content] = []
    if ruling.word:
        parts.append(Content.styled(f"{ruling.mark.glyph(plain=plain)} {clean(ruling.word)}", "bold"))
    parts += [Content(clean(sentence)) for sentence in ruling.says]
    known = [line for line in ruling.lines if line.mark is not Mark.MEASURE]
    for line in known:
        parts += [Content(""), *_one(line, plain=plain)]
    if ruling.to_measure:
        parts += [Content(""), Content.styled("Measure this before you trust it", "bold $text-accent")]
        for line in ruling.to_measure:
            parts += [Content(""), *_one(line, plain=plain)]
    if not ruling.lines:
        parts.append(Content("Nothing was judged yet."))
    parts += [Content(""), Content.styled(clean(ruling.caution or caution), "bold")]
    return Content("\n").join(parts)


def _one(line: Line, *, plain: bool) -> list[Content]:
    head = f"{line.mark.glyph(plain=plain)} {clean(line.word)}"
    found = [Content.assemble((head, f"bold {line.mark.style}"), f"  {clean(line.name)}")]
    if line.sentence:
        found.append(Content(f"  {clean(line.sentence)}"))
    if line.source:
        found.append(Content.styled(f"  source: {clean(line.source)}", "dim"))
    return found
