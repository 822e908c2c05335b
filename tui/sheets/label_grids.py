"""Labels on a sheet of paper or on a roll, in millimetres: some common ones, and any other grid that fits."""

from __future__ import annotations

from typing import Final, NamedTuple

from tui.sheets.paper import A4, LETTER, Paper


class Grid(NamedTuple):
    """Labels in columns and rows. `left`, `top`: the first label's corner. `gap_x`, `gap_y`: white between two. mm.

    `roll`: each label is a page of its own, which the printer cuts or the roll's liner parts. `endless`: the roll has
    no length of its own; `height` is the shortest label, and all of a print are as long as the longest of them needs.
    """

    name: str
    paper: Paper
    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    gap_x: float = 0.0
    gap_y: float = 0.0
    roll: bool = False
    endless: bool = False

    @property
    def per_page(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows

    def corner(self, index: int) -> tuple[float, float]:
        """The top left corner of the label with this index on its page, row by row, in mm."""
        row, column = divmod(index, self.columns)
        return self.left + column * (self.width + self.gap_x), self.top + row * (self.height + self.gap_y)


SMALLEST: Final = (30.0, 15.0)
"""The smallest label in mm, width and height, that holds a readable code and a QR code of a short bin code."""
EDGE: Final = 4.0
"""mm at the edge of the paper where no label may lie."""

GRIDS: Final = (
    Grid("A4 21", A4, 3, 7, 63.5, 38.1, 7.25, 15.15, 2.5, 0.0),
    Grid("A4 14", A4, 2, 7, 99.1, 38.1, 4.65, 15.15, 2.5, 0.0),
    Grid("A4 8", A4, 2, 4, 99.1, 67.7, 4.65, 13.1, 2.5, 0.0),
    Grid("A4 40", A4, 4, 10, 46.0, 25.0, 8.5, 19.0, 3.0, 1.0),
    Grid("Letter 30", LETTER, 3, 10, 66.675, 25.4, 4.7625, 12.7, 3.175, 0.0),
    Grid("Letter 10", LETTER, 2, 5, 101.6, 50.8, 4.0, 12.7, 4.7, 0.0),
)
ROLLS: Final = (
    Grid("Roll 50x25", Paper("roll, 50 mm", 50.0, 25.0), 1, 1, 50.0, 25.0, 0.0, 0.0, roll=True),
    Grid("Roll 62", Paper("roll, 62 mm", 62.0, 29.0), 1, 1, 62.0, 29.0, 0.0, 0.0, roll=True, endless=True),
)
"""Rolls of label printers: 50 × 25 mm labels, and 62 mm paper without an end. Common practice, no source."""
LONGEST: Final = 100.0
"""The longest label in mm that is cut from an endless roll."""


def grid_named(name: str) -> Grid:
    """The grid or roll called `A4 21` or `Roll 62`, in any case. Raises ValueError with the names there are."""
    wanted = name.casefold().replace("×", "x").replace("mm", "").split()
    for grid in (*GRIDS, *ROLLS):
        if "".join(grid.name.casefold().split()) == "".join(wanted):
            return grid
    names = ", ".join(grid.name for grid in (*GRIDS, *ROLLS))
    raise ValueError(f"There is no label paper {name[:20]!r}; type one of: {names}.")


def as_long(roll: Grid, height: float) -> Grid:
    """An endless roll cut at this length, mm."""
    return roll._replace(paper=roll.paper._replace(height=height), height=height)


def grid(
    paper: Paper,
    *,
    columns: int,
    rows: int,
    width: float,
    height: float,
    left: float,
    top: float,
    gap_x: float = 0.0,
    gap_y: float = 0.0,
) -> Grid:
    """A grid of one's own, all lengths in mm. Raises ValueError for one that doesn't fit the paper."""
    if columns < 1 or rows < 1:
        raise ValueError("A grid needs at least one column and one row of labels.")
    if not (width >= SMALLEST[0] and height >= SMALLEST[1]):
        raise ValueError(f"A label must be at least {SMALLEST[0]:g} mm wide and {SMALLEST[1]:g} mm high.")
    if not (gap_x >= 0 and gap_y >= 0):
        raise ValueError("The gap between labels is below zero; type 0 for none.")
    right = left + columns * width + (columns - 1) * gap_x
    bottom = top + rows * height + (rows - 1) * gap_y
    if not (left >= EDGE and top >= EDGE and right <= paper.width - EDGE and bottom <= paper.height - EDGE):
        raise ValueError(
            f"The labels take {left:g} to {right:g} mm across and {top:g} to {bottom:g} mm down; keep {EDGE:g} mm "
            f"clear of the edges of {paper.name} ({paper.width:g} × {paper.height:g} mm)."
        )
    return Grid(f"{paper.name} {columns} × {rows}", paper, columns, rows, width, height, left, top, gap_x, gap_y)
