"""The trade-off drawn: how many sizes are kept along the bottom, the share of needs they cover up the side."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.widgets.canvas import Canvas

LEFT = 6
"""Cells for the percentages at the side."""


class Point(NamedTuple):
    """So many kept, and the share of needs they cover, 0 to 1."""

    kept: int
    share: float


def curve_lines(
    points: Sequence[Point], chosen: Point | None, width: int, height: int, *, plain: bool = False
) -> list[str]:
    """The curve as text: steps from point to point, a cross hair at the chosen one. Nothing where there is no room."""
    if width < LEFT + 12 or height < 5 or not points:
        return []
    rows = height - 2
    canvas = Canvas(width - LEFT, rows, plain=plain)
    most = max(1, points[-1].kept)

    def across(kept: int) -> float:
        return kept / most * (canvas.width - 1)

    def down(share: float) -> float:
        return (1 - share) * (canvas.height - 1)

    for before, after in pairwise(points):
        canvas.line(across(before.kept), down(before.share), across(after.kept), down(before.share))
        canvas.line(across(after.kept), down(before.share), across(after.kept), down(after.share))
    if chosen is not None:
        canvas.line(0, down(chosen.share), across(chosen.kept), down(chosen.share), gap=4)
        canvas.line(across(chosen.kept), down(chosen.share), across(chosen.kept), canvas.height - 1, gap=4)
        column, row = round(across(chosen.kept)) // 2, round(down(chosen.share)) // 4
        canvas.write(min(column, canvas.columns - 1), min(row, rows - 1), "O" if plain else "●")
    side = {0: "100 %", (rows - 1) // 2: " 50 %", rows - 1: "  0 %"}
    if chosen is not None:
        side[min(rows - 1, round(down(chosen.share)) // 4)] = f"{chosen.share * 100:3.0f} %"
    post = "|" if plain else "│"
    lines = [f"{side.get(i, ''):<{LEFT - 1}}{post}{line}" for i, line in enumerate(canvas.lines())]
    foot = [" "] * (width - LEFT)
    for kept in (0, most, *([chosen.kept] if chosen else [])):
        word = str(kept)
        start = min(round(across(kept)) // 2, len(foot) - len(word))
        foot[start : start + len(word)] = word
    dash = "-" if plain else "─"
    return [*lines, " " * (LEFT - 1) + ("+" if plain else "└") + dash * (width - LEFT), " " * LEFT + "".join(foot)]


class TradeOff(Widget):
    """The curve. Takes its points by `show`."""

    DEFAULT_CSS = "TradeOff { text-wrap: nowrap; }"

    def __init__(self, *, id: str | None = None, plain: bool = False) -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self._plain = plain
        self._points: Sequence[Point] = ()
        self._chosen: Point | None = None

    def show(self, points: Sequence[Point], chosen: Point | None) -> None:
        """Draw other points."""
        self._points, self._chosen = points, chosen
        self.refresh()

    def render(self) -> Content:
        """Title and curve."""
        width, height = self.size
        lines = curve_lines(self._points, self._chosen, width, height - 1, plain=self._plain)
        return Content("\n".join(["Needs covered by sizes kept", *lines] if lines else []))
