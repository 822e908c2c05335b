"""The sheet a ring is laid on for its picture: twelve marks round a white field, and a bar to check the printing.

All in mm, x to the right and y down, from the middle of the marks. The marks are of the ArUco kind: five by five
cells in a black frame of one cell. Their patterns are our own, drawn by lot until any two, turned in any way, differed
in nine cells or more; so did each from itself turned by a quarter.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

CELLS: Final = 5
MARK_MM: Final = 16.1
"""A mark's side with its frame: seven cells of 2.3 mm."""
APART: Final = 9
"""In how many cells any two marks differ."""
REACH_MM: Final = 67.0
"""From the middle to the middle of an outer mark, across and along."""
FIELD_MM: Final = 112.0
"""The side of the white square that the ring lies in."""
BAR_MM: Final = 100.0
"""How long the bar is where the printer does not scale."""
BAR_BELOW_MM: Final = 84.0
"""From the middle of the marks down to the bar."""
PATTERNS: Final = (
    29425644,
    20706785,
    23914801,
    15649732,
    18291254,
    12793633,
    8864300,
    32854417,
    28086013,
    19986671,
    17843954,
    250938,
)
"""Each mark's cells, row by row from the top left, as one number: 1 is white."""
_STEPS: Final = (-REACH_MM, -REACH_MM / 3, REACH_MM / 3, REACH_MM)
PLACES: Final = tuple((x, y) for y in _STEPS for x in _STEPS if abs(x) == REACH_MM or abs(y) == REACH_MM)
"""Where the middle of each mark lies."""


class Square(NamedTuple):
    """A black or white square: its top left corner and its side, in mm."""

    x: float
    y: float
    side: float
    black: bool


def cells(pattern: int) -> tuple[tuple[int, ...], ...]:
    """A mark's rows of cells, 1 for white."""
    bits = [pattern >> (CELLS * CELLS - 1 - number) & 1 for number in range(CELLS * CELLS)]
    return tuple(tuple(bits[row * CELLS : (row + 1) * CELLS]) for row in range(CELLS))


def corners(number: int) -> tuple[tuple[float, float], ...]:
    """The corners of a mark, clockwise from the top left."""
    x, y = PLACES[number]
    half = MARK_MM / 2
    return (x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)


def squares() -> Iterator[Square]:
    """What to draw: each mark as a black square and the white cells in it."""
    cell = MARK_MM / (CELLS + 2)
    for number, pattern in enumerate(PATTERNS):
        left, top = corners(number)[0]
        yield Square(left, top, MARK_MM, black=True)
        for row, bits in enumerate(cells(pattern), start=1):
            for column, white in enumerate(bits, start=1):
                if white:
                    yield Square(left + column * cell, top + row * cell, cell, black=False)
