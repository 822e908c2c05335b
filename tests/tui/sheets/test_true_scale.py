"""The ring sheet drawn at 300 dots an inch by a library that had no part in making it, then measured on the picture."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import pypdfium2
import pytest

from tui.sheets import ring_sheet
from tui.sheets.paper import A4, LETTER, MARGIN, Paper
from tui.sheets.records import Ring

WITHIN_MM = 0.05
BAND = 1 - ring_sheet.BAND

PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)
Numbers = np.ndarray[tuple[int], np.dtype[np.float64]]


class Picture(NamedTuple):
    """A page: how dark each dot is, from 0 (white) to 1, and how many dots a millimetre has across and down.

    The page is stretched over whole dots, so that is not quite 300 to the inch.
    """

    dark: np.ndarray[tuple[int, int], np.dtype[np.float64]]
    across: float
    down: float

    def part(self, left: float, right: float, top: float, bottom: float) -> np.ndarray[Any, np.dtype[np.float64]]:
        """What lies between these, in mm from the page's top left corner."""
        return self.dark[
            round(top * self.down) : round(bottom * self.down), round(left * self.across) : round(right * self.across)
        ]


def _drawn(rings: list[Ring], paper: Paper) -> Picture:
    """The sheet's one page."""
    (page,) = pypdfium2.PdfDocument(ring_sheet.as_pdf(rings, paper))
    grey = page.render(scale=300 / 72, grayscale=True).to_numpy()
    high, wide = grey.shape[:2]
    dark = np.asarray(1.0 - grey.reshape(high, wide) / 255.0, dtype=np.float64)
    return Picture(dark, wide / paper.width, high / paper.height)


def _ticks(profile: Numbers, per_mm: float) -> list[float]:
    """Where the marks of a bar lie in mm: the middle of gravity of each run of dark dots."""
    dark = np.flatnonzero(profile > 0.02)
    runs = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
    return [float((profile[run] * run).sum() / profile[run].sum() / per_mm) for run in runs]


@PAPERS
def test_the_bars_are_as_long_as_they_say(paper: Paper) -> None:
    """100 mm, and 4 in of 25.4 mm (NIST SP 811)."""
    drawn = _drawn([Ring("AS568-214", 24.99, 3.53)], paper)
    for line, long, parts in ((44.0, 100.0, 10), (52.0, 101.6, 4)):
        bar = drawn.part(MARGIN + 10.0, MARGIN + ring_sheet.SIDE_BAR + long + 1.0, line - 2.2, line - 1.3)
        ticks = _ticks(bar.mean(axis=0), drawn.across)
        assert len(ticks) == parts + 1
        assert ticks[-1] - ticks[0] == pytest.approx(long, abs=WITHIN_MM)
        assert np.diff(ticks) == pytest.approx([long / parts] * parts, abs=WITHIN_MM)
    upright = drawn.part(MARGIN + 4.3, MARGIN + 5.2, ring_sheet.TOP + 4.0, ring_sheet.TOP + 110.0)
    ticks = _ticks(upright.mean(axis=1), drawn.down)
    assert ticks[-1] - ticks[0] == pytest.approx(100.0, abs=WITHIN_MM)


@PAPERS
@pytest.mark.parametrize(("inside", "width"), [(2.9, 1.78), (24.99, 3.53), (85.09, 5.33), (150.0, 3.0)])
def test_a_ring_is_as_large_as_it_says(paper: Paper, inside: float, width: float) -> None:
    """In the direction of every second degree, so that a ring drawn oval would be found as well."""
    ring = Ring("one", inside, width)
    drawn = _drawn([ring], paper)
    wide = max(ring.outside, ring_sheet.LEAST_CELL)
    middle = (MARGIN + ring_sheet.SIDE_BAR + wide / 2, ring_sheet.TOP + ring.outside / 2)
    for radius, outer in ((ring.outside / 2, True), (inside / 2, False)):
        found = _radii(drawn, middle, radius, band_outside=not outer)
        across = found[:90] + found[90:]
        assert across == pytest.approx(np.full(90, 2 * radius), abs=WITHIN_MM)
        assert float(across.mean()) == pytest.approx(2 * radius, abs=WITHIN_MM / 2)


def test_a_ring_a_tenth_too_large_would_be_found() -> None:
    drawn = _drawn([Ring("one", 25.1, 3.53)], A4)
    middle = (MARGIN + ring_sheet.SIDE_BAR + 16.08, ring_sheet.TOP + 16.08)
    found = _radii(drawn, middle, 12.5, band_outside=True)
    assert abs(float((found[:90] + found[90:]).mean()) - 25.0) > WITHIN_MM


def _radii(drawn: Picture, middle: tuple[float, float], radius: float, *, band_outside: bool) -> Numbers:
    """How far the edge lies from the middle, mm, in 180 directions.

    Along each, darkness is a line of unknown weight at the edge and the band's grey on one side of it. Its sum and its
    first moment give the edge, and blur changes neither.
    """
    reach, step = 0.5, 0.01
    inward = np.arange(-reach, reach, step) + step / 2
    turned = np.arange(0, 360, 2) * math.pi / 180
    away = radius + inward
    x = (middle[0] + np.outer(np.cos(turned), away)) * drawn.across - 0.5
    y = (middle[1] + np.outer(np.sin(turned), away)) * drawn.down - 0.5
    left, top = np.floor(x).astype(int), np.floor(y).astype(int)
    across, down = x - left, y - top
    dark = drawn.dark
    seen = (
        dark[top, left] * (1 - across) * (1 - down)
        + dark[top, left + 1] * across * (1 - down)
        + dark[top + 1, left] * (1 - across) * down
        + dark[top + 1, left + 1] * across * down
    )
    towards = -1.0 if band_outside else 1.0
    whole, moment = seen.sum(axis=1) * step, (seen * inward * towards).sum(axis=1) * step
    edge = np.zeros(len(turned))
    for _ in range(20):
        edge = (moment + BAND * (edge + reach) ** 2 / 2) / whole
    return np.asarray(radius + edge * towards, dtype=np.float64)
