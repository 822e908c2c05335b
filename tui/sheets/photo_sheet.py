"""The sheet that a ring lies on for its picture: marks round a white square, and a bar that proves the printing."""

from __future__ import annotations

from typing import Final

from catalog.photo import sheet as layout
from tui.sheets import pdf, plain
from tui.sheets.blocks import Para, Sheet
from tui.sheets.fonts import MM_PER_POINT, font
from tui.sheets.marks import Box, Face, Line, Mark, Page, Words
from tui.sheets.paper import A4, MARGIN, Paper
from tui.sheets.wrap import wrap

TITLE: Final = "Sheet for a picture of a ring"
STEPS: Final = (
    "Print at 100 %, on white paper that is not glossy. Smooth the sheet out on a table.",
    "Lay one clean ring in the middle of the square, flat, without stretching it.",
    "Hold the telephone over it, straight or up to 30° aslant, so near that the marks fill the picture. Even light, no "
    "flash, no hard shadow. All twelve marks must be in it, sharp.",
    "Measure the bar between the outer ends by caliper; send the picture as JPEG in full size.",
    "Then: kitwright ring --photo FILE --bar LENGTH",
)
UNTRIED: Final = "Not yet tried on real photographs: check what comes out with a caliper."
MIDDLE_DOWN: Final = 132.0
"""mm from the top of the page to the middle of the marks."""
TEXT: Final = 8.5


def as_pdf(paper: Paper = A4) -> bytes:
    """The sheet at true scale. Raises `PrintUnavailableError` without the printing libraries."""
    return pdf.written((page(paper),), paper, title=TITLE, actual_size=True)


def as_text(paper: Paper = A4) -> str:
    """What to do with it; the marks are on the PDF alone."""
    blocks = [Para(f"{number}. {step}") for number, step in enumerate(STEPS, start=1)]
    told = Para(f"The marks have to be printed: kitwright sheet photo --pdf FILE. {UNTRIED}")
    return plain.text_of(Sheet(TITLE, "", f"for {paper.name}", (*blocks, told), paper))


def page(paper: Paper) -> Page:
    """The marks, the bar and the steps."""
    bold, body = font(Face.BOLD), font(Face.PLAIN)
    across, down = paper.width / 2, MIDDLE_DOWN
    y = MARGIN + 5.0
    marks: list[Mark] = [Words(MARGIN, y, TITLE, 15.0, Face.BOLD)]
    y += 2.0
    for number, step in enumerate((*STEPS, UNTRIED), start=1):
        said = f"{number}. {step}" if number <= len(STEPS) else step
        for line in wrap(said, paper.width - 2 * MARGIN, body.at(TEXT)):
            y += TEXT * 1.2 * MM_PER_POINT
            marks.append(Words(MARGIN, y, line, TEXT))
    marks += [
        Box(across + one.x, down + one.y, one.side, one.side, 0.0, 0.0 if one.black else 1.0)
        for one in layout.squares()
    ]
    left, at = across - layout.BAR_MM / 2, down + layout.BAR_BELOW_MM
    marks.append(Box(left, at, layout.BAR_MM, 3.0, 0.0, 0.0))
    marks += [Line(x, at + 4.0, x, at + 7.0, 0.1) for x in (left, left + layout.BAR_MM)]
    named = f"the bar: {layout.BAR_MM:g} mm as drawn; measured: ______ mm"
    marks.append(Words(across - bold.width(named, TEXT) / 2, at + 8.0, named, TEXT, Face.BOLD))
    return tuple(marks)
