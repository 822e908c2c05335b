"""A picture in a terminal: two pixels a letter, one above the other; without colours a ramp of letters."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.color import Color
from rich.segment import Segment
from rich.style import Style

from tui.widgets.grey_ramp import ramp

if TYPE_CHECKING:
    from models.pictures.pixels import Pixels

UPPER: Final = "▀"


def half_blocks(picture: Pixels) -> list[list[Segment]]:
    """The picture's lines: the upper pixel is the letter's colour, the lower one its ground's."""
    lines = []
    for y in range(0, picture.height, 2):
        line: list[Segment] = []
        for x in range(picture.width):
            below = Color.from_rgb(*picture.at(x, y + 1)) if y + 1 < picture.height else None
            line.append(Segment(UPPER, Style(color=Color.from_rgb(*picture.at(x, y)), bgcolor=below)))
        lines.append(line)
    return lines


def grey(picture: Pixels) -> list[list[Segment]]:
    """The same as letters, for a terminal without colours."""
    return [[Segment(line)] for line in ramp(picture)]
