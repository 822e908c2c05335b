"""Viscosity against temperature, with the window that the pump allows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.widgets.canvas import Canvas
from tui.widgets.cells import fit


class Dot(NamedTuple):
    """A point of the curve: °C, mm²/s, and whether the pump allows it."""

    temp_c: float
    cst: float
    allowed: bool


class Plot(NamedTuple):
    """The curve, the two measured points, and the pump's limits with the temperatures they fall on, where known."""

    dots: Sequence[Dot]
    measured: Sequence[Dot]
    min_cst: float | None = None
    max_cst: float | None = None
    coldest_c: float | None = None
    hottest_c: float | None = None
    start_c: float | None = None


LEFT = 6


def plot_lines(plot: Plot | None, columns: int, rows: int, *, plain: bool) -> list[str]:
    """Temperature across, viscosity up on a logarithmic scale. Heavy curve: allowed; limits dotted; o: measured."""
    if plot is None or len(plot.dots) < 2 or columns < 24 or rows < 5:
        return [fit("Type two viscosities to see the curve.", columns)]
    canvas = Canvas(columns, rows, plain=plain)
    floor = (rows - 1) * 4 - 1
    levels = [dot.cst for dot in plot.dots] + [cst for cst in (plot.min_cst, plot.max_cst) if cst]
    # The thick end of a cold curve would squeeze everything else flat: four decades are enough to read.
    low = math.log10(min(levels))
    high = min(math.log10(max(levels)), low + 4.2)
    high = max(high, math.log10(plot.max_cst) + 0.2) if plot.max_cst else high
    x0, x1 = plot.dots[0].temp_c, plot.dots[-1].temp_c

    def across(temp: float) -> float:
        return LEFT * 2 + (temp - x0) / (x1 - x0) * (canvas.width - 1 - LEFT * 2)

    def up(cst: float) -> float:
        return (1 - (math.log10(cst) - low) / (high - low)) * floor

    canvas.line(LEFT * 2 - 1, 0, LEFT * 2 - 1, floor)
    canvas.line(LEFT * 2 - 1, floor, canvas.width - 1, floor)
    for decade in range(math.ceil(low), math.floor(high) + 1):
        canvas.write(0, min(rows - 2, max(0, int(up(10**decade)) // 4)), f"{10**decade:>5,}")
    for cst, name in ((plot.max_cst, "most"), (plot.min_cst, "least")):
        if cst:
            y = up(cst)
            canvas.line(LEFT * 2, y, canvas.width - 1, y, gap=3)
            row = min(rows - 2, max(0, int(y) // 4))
            text = f"{name} {cst:g}"
            # Each label stands where the curve is not: the upper limit at the right, the lower at the left.
            canvas.write(columns - len(text) if name == "most" else LEFT + 1, row, text)
    for temp in (plot.coldest_c, plot.hottest_c):
        if temp is not None and x0 <= temp <= x1:
            canvas.line(across(temp), 0, across(temp), floor, gap=4)
    for before, dot in zip(plot.dots, plot.dots[1:], strict=False):
        if up(dot.cst) < 0:
            continue
        heavy = dot.allowed and before.allowed
        canvas.line(across(before.temp_c), up(before.cst), across(dot.temp_c), up(dot.cst), gap=1 if heavy else 2)
        if heavy:
            canvas.line(across(before.temp_c), up(before.cst) - 1, across(dot.temp_c), up(dot.cst) - 1)
    for dot in plot.measured:
        if x0 <= dot.temp_c <= x1 and up(dot.cst) >= 0:
            canvas.write(int(across(dot.temp_c)) // 2, min(rows - 2, int(up(dot.cst)) // 4), "o")
    _ticks(canvas, plot, rows, across)
    return canvas.lines()


def _ticks(canvas: Canvas, plot: Plot, rows: int, across: object) -> None:
    assert callable(across)
    x0, x1 = plot.dots[0].temp_c, plot.dots[-1].temp_c
    step = 20 if (x1 - x0) / 20 * 6 <= canvas.columns - LEFT else 40
    temp = math.ceil(x0 / step) * step
    while temp <= x1:
        text = f"{temp:g}"
        column = min(canvas.columns - len(text), max(LEFT, int(across(temp)) // 2 - len(text) // 2))
        canvas.write(column, rows - 1, text)
        temp += step
    canvas.write(0, rows - 1, "°C")
    if plot.start_c is not None and x0 <= plot.start_c <= x1:
        canvas.write(int(across(plot.start_c)) // 2, rows - 2, "^")


class ViscosityPlot(Widget):
    """The plot. Takes a `Plot` by `show`."""

    DEFAULT_CSS = "ViscosityPlot { text-wrap: nowrap; }"
    _plot: Plot | None = None

    def __init__(self, *, classes: str | None = None, plain: bool = False) -> None:
        super().__init__(classes=classes)
        self._plain = plain

    def show(self, picture: object) -> None:
        """Draw another curve."""
        self._plot = picture if isinstance(picture, Plot) else None
        self.refresh()

    def render(self) -> Content:
        """Title, then the plot."""
        width, height = self.size
        words = "mm²/s by °C; o measured"
        if self._plot is not None and self._plot.start_c is not None:
            words += ", ^ start"
        title = Content.styled(fit(words, width), "bold $text-accent")
        lines = plot_lines(self._plot, width, height - 1, plain=self._plain) if height > 1 else []
        return Content("\n").join([title, *(Content(line) for line in lines)])
