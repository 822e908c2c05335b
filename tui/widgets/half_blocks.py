"""A picture in a terminal: two pixels a letter, one above the other; without colours a ramp of letters."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final

from rich.color import Color
from rich.segment import Segment
from rich.style import Style

from tui.widgets.grey_ramp import ramp

if TYPE_CHECKING:
    from models.pictures.pixels import Pixels

UPPER: Final = "▀"
Line = list[Segment]


def half_blocks(picture: Pixels) -> list[Line]:
    """The picture's lines: the upper pixel is the letter's colour, the lower one its ground's."""
    lines = []
    for y in range(0, picture.height, 2):
        below = [picture.at(x, y + 1) if y + 1 < picture.height else None for x in range(picture.width)]
        pairs = zip((picture.at(x, y) for x in range(picture.width)), below, strict=True)
        lines.append([Segment(UPPER * len(list(run)), _style(*pair)) for pair, run in groupby(pairs)])
    return lines


def _style(above: tuple[int, int, int], below: tuple[int, int, int] | None) -> Style:
    return Style(color=Color.from_rgb(*above), bgcolor=Color.from_rgb(*below) if below is not None else None)


def letters(picture: Pixels) -> list[Line]:
    """The same as letters, for a terminal that has no colours or too few."""
    return [[Segment(line)] for line in ramp(picture)]
