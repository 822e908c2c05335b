"""The ring sheet: rings and circles at true size to lay a ring on, with bars that prove the printer did not scale."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Final

from catalog.quantity.display import both_units
from tui.sheets import pdf, plain
from tui.sheets.blocks import Column, Heading, Para, Sheet, Table
from tui.sheets.fonts import MM_PER_POINT, font
from tui.sheets.letters import LOST_NOTE
from tui.sheets.marks import Circle, Face, Line, Mark, Page, Words
from tui.sheets.paper import A4, MARGIN, Paper
from tui.sheets.records import Ring
from tui.sheets.wrap import cut, wrap

CHECK: Final = "Print at 100 %; check the bar with a rule."
USE: Final = (
    "Lay the ring down without stretching it. It must cover the grey band, inside and outside edge. "
    "Good to about half a millimetre by eye: confirm with a caliper."
)
BAR_MM: Final = 100.0
BAR_IN: Final = 101.6
"""Four inches in mm: 4 × 25.4 exactly (NIST SP 811)."""
HAIR: Final = 0.1
EDGE: Final = 0.05
"""The pen round a ring, in mm: the ink is half of this too large."""
BAND: Final = 0.88
GAP: Final = 5.0
LABEL: Final = 13.0
"""mm under a ring for its name and sizes."""
LEAST_CELL: Final = 32.0
TOP: Final = 58.0
"""mm from the top of the page to the first row of rings."""
SIDE_BAR: Final = 12.0
"""mm at the left for the upright bar."""
TEXT: Final = 8.0


def as_pdf(rings: Iterable[Ring], paper: Paper = A4, *, title: str = "Ring sheet") -> bytes:
    """Rings at true size as a PDF, smallest first. One too large for the paper is named on it, not drawn.

    Raises ValueError for sizes that are no size, `PrintUnavailableError` without the printing libraries.
    """
    return pdf.written(pages(tuple(rings), paper, title=title), paper, title=title, actual_size=True)


def as_text(rings: Iterable[Ring], paper: Paper = A4, *, title: str = "Ring sheet") -> str:
    """The same rings as plain text: names and sizes, and which are too large for the paper."""
    drawn, large = _sorted(tuple(rings), paper)
    columns = (Column("Ring", 3), Column("ID", 3), Column("OD", 3), Column("Width", 3))
    blocks: list[Para | Heading | Table] = [Para(f"{CHECK} {USE}")]
    if drawn:
        blocks.append(Table(columns, tuple(map(_row, drawn))))
    if large:
        blocks += [Heading(f"Too large for {paper.name}, not drawn"), Table(columns, tuple(map(_row, large)))]
    return plain.text_of(Sheet(title, "", CHECK, tuple(blocks), paper))


def largest(paper: Paper) -> float:
    """The largest outside diameter in mm that the sheet can show."""
    return min(paper.width - 2 * MARGIN - SIDE_BAR, paper.height - TOP - MARGIN - LABEL)


def pages(rings: Sequence[Ring], paper: Paper, *, title: str = "Ring sheet") -> tuple[Page, ...]:
    """The rings as marks, at least one page; every page has its own check bars."""
    drawn, large = _sorted(rings, paper)
    made: list[list[Mark]] = [[]]
    left, right, bottom = MARGIN + SIDE_BAR, paper.width - MARGIN, paper.height - MARGIN
    y = TOP
    for row in _rows(drawn, right - left):
        height = max(ring.outside for ring in row) + LABEL
        if y + height > bottom:
            made.append([])
            y = TOP
        x = left
        for ring in row:
            wide = max(ring.outside, LEAST_CELL)
            made[-1] += _ring(ring, x + wide / 2, y + (height - LABEL) / 2, y + height - LABEL, wide)
            x += wide + GAP
        y += height + GAP
    return tuple(
        (*_head(paper, title, number, len(made), rings, large if number == 1 else ()), *page)
        for number, page in enumerate(made, start=1)
    )


def _sorted(rings: Sequence[Ring], paper: Paper) -> tuple[tuple[Ring, ...], tuple[Ring, ...]]:
    for ring in rings:
        if not (math.isfinite(ring.outside) and ring.inside > 0 and ring.width >= 0):
            raise ValueError(
                f"{ring.name[:40]!r} has an inside diameter of {ring.inside:g} mm and a width of {ring.width:g} mm; "
                "type an inside diameter above zero and a width of zero or more."
            )
    ordered = sorted(rings, key=lambda ring: (ring.outside, ring.inside, ring.name))
    limit = largest(paper)
    return tuple(r for r in ordered if r.outside <= limit), tuple(r for r in ordered if r.outside > limit)


def _rows(rings: Sequence[Ring], room: float) -> list[list[Ring]]:
    rows: list[list[Ring]] = []
    used = math.inf
    for ring in rings:
        wide = max(ring.outside, LEAST_CELL)
        if used + GAP + wide > room:
            rows.append([])
            used = -GAP
        rows[-1].append(ring)
        used += GAP + wide
    return rows


def _ring(ring: Ring, x: float, y: float, below: float, room: float) -> list[Mark]:
    """The band between inside and outside in grey; the edge of the grey, not a line's middle, is the size."""
    marks: list[Mark] = []
    if ring.width > 0:
        marks += [Circle(x, y, ring.outside, EDGE, BAND), Circle(x, y, ring.inside, EDGE, 1.0)]
    else:
        marks.append(Circle(x, y, ring.inside, EDGE))
    arm = min(2.0, ring.inside / 4)
    marks += [Line(x - arm, y, x + arm, y, HAIR, 0.4), Line(x, y - arm, x, y + arm, HAIR, 0.4)]
    sizes = f"ID {both_units(ring.inside)}", f"width {both_units(ring.width)}" if ring.width else "circle"
    base = below + 1.0
    for text, face, size, most in (
        (ring.name, Face.BOLD, TEXT - 1.0, 2),
        (sizes[0], Face.PLAIN, TEXT - 2.0, 1),
        (sizes[1], Face.PLAIN, TEXT - 2.0, 1),
    ):
        letters = font(face)
        lines = wrap(letters.drawable(text).text, room, letters.at(size))
        shown = (
            lines
            if len(lines) <= most
            else (*lines[: most - 1], cut(" ".join(lines[most - 1 :]), room, letters.at(size)))
        )
        for line in shown:
            base += size * 1.25 * MM_PER_POINT
            marks.append(Words(x - letters.width(line, size) / 2, base, line, size, face))
    return marks


def _row(ring: Ring) -> tuple[str, str, str, str]:
    return ring.name, both_units(ring.inside), both_units(ring.outside), both_units(ring.width) if ring.width else "–"


def _head(paper: Paper, title: str, number: int, count: int, rings: Sequence[Ring], large: Sequence[Ring]) -> Page:
    bold, body = font(Face.BOLD), font(Face.PLAIN)
    room = paper.width - 2 * MARGIN
    y = MARGIN + 5.0
    named = cut(bold.drawable(title).text, room - 40.0, bold.at(15.0))
    numbered = f"page {number} of {count}"
    marks: list[Mark] = [
        Words(MARGIN, y, named, 15.0, Face.BOLD),
        Words(paper.width - MARGIN - body.width(numbered, TEXT), y, numbered, TEXT),
        Words(MARGIN, y + 5.5, CHECK, 10.0, Face.BOLD),
    ]
    y += 6.5
    said = list(wrap(USE, room, body.at(TEXT)))
    if large:
        said.append(_not_drawn(large, paper, room))
    if any(not_all.lossy for ring in rings if (not_all := body.drawable(ring.name))):
        said.append(LOST_NOTE)
    for line in said:
        y += TEXT * 1.25 * MM_PER_POINT
        marks.append(Words(MARGIN, y, line, TEXT))
    x = MARGIN + SIDE_BAR
    marks += _bar(x, 44.0, BAR_MM, 10, "100 mm")
    marks += _bar(x, 52.0, BAR_IN, 4, "4 in")
    marks += _upright(MARGIN + 3.0, TOP + 5.0, BAR_MM, 10, "100 mm")
    return tuple(marks)


def _not_drawn(large: Sequence[Ring], paper: Paper, room: float) -> str:
    """Which rings are too large, as many as one line holds, and how many more."""
    body = font(Face.PLAIN)
    named = [" ".join(body.drawable(f"{ring.name} (OD {ring.outside:.2f} mm)").text.split()) for ring in large]
    for shown in range(len(named), 0, -1):
        more = f" and {len(named) - shown} larger" if shown < len(named) else ""
        line = f"Too large for {paper.name}, not drawn: {', '.join(named[:shown])}{more}"
        if body.width(line, TEXT) <= room:
            return line
    return cut(f"Too large for {paper.name}, not drawn: {named[0]}", room, body.at(TEXT))


def _bar(x: float, y: float, long: float, parts: int, named: str) -> list[Mark]:
    ticks = [x + long * index / parts for index in range(parts + 1)]
    marks: list[Mark] = [Line(x, y, x + long, y, 0.25)]
    marks += [Line(at, y - 2.5, at, y, HAIR) for at in ticks]
    # Every second part is drawn thick, so that parts can be counted without reading.
    marks += [Line(a, y - 0.6, b, y - 0.6, 1.0) for index, (a, b) in enumerate(pairwise(ticks)) if index % 2 == 0]
    return [*marks, Words(x + long + 2.0, y, named, TEXT, Face.BOLD)]


def _upright(x: float, y: float, long: float, parts: int, named: str) -> list[Mark]:
    ticks = [y + long * index / parts for index in range(parts + 1)]
    marks: list[Mark] = [Line(x, y, x, y + long, 0.25)]
    marks += [Line(x, at, x + 2.5, at, HAIR) for at in ticks]
    marks += [Line(x + 0.6, a, x + 0.6, b, 1.0) for index, (a, b) in enumerate(pairwise(ticks)) if index % 2 == 0]
    return [*marks, Words(x - 3.0, y - 2.0, named, TEXT - 1.0, Face.BOLD)]
