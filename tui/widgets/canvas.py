"""A small drawing surface in braille dots (2 × 4 a cell), with letters on top; plain characters where asked."""

from __future__ import annotations

import math

_BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))


class Canvas:
    """`columns` × `rows` cells; dots run from (0, 0) at the top left, 2 across and 4 down each cell.

    A terminal cell is about twice as high as wide, so a dot is about square and a circle looks round.
    """

    def __init__(self, columns: int, rows: int, *, plain: bool = False) -> None:
        self.columns = max(0, columns)
        self.rows = max(0, rows)
        self._plain = plain
        self._dots = [[0] * self.columns for _ in range(self.rows)]
        self._letters: dict[tuple[int, int], str] = {}

    @property
    def width(self) -> int:
        """Dots across."""
        return self.columns * 2

    @property
    def height(self) -> int:
        """Dots down."""
        return self.rows * 4

    def dot(self, x: float, y: float, *, lit: bool = True) -> None:
        """Set the dot nearest to (x, y), or put it out; outside the surface nothing happens."""
        column, row = round(x), round(y)
        if 0 <= column < self.width and 0 <= row < self.height:
            bit = _BITS[column % 2][row % 4]
            dots = self._dots[row // 4][column // 2]
            self._dots[row // 4][column // 2] = dots | bit if lit else dots & ~bit

    def circle(self, x: float, y: float, radius: float, *, lit: bool = True) -> None:
        """A circle's outline, centre and radius in dots; `lit` False puts its dots out."""
        steps = max(12, int(radius * 8))
        for i in range(steps):
            angle = math.tau * i / steps
            self.dot(x + radius * math.cos(angle), y + radius * math.sin(angle), lit=lit)

    def disc(self, x: float, y: float, radius: float) -> None:
        """A filled circle."""
        for row in range(math.floor(y - radius), math.ceil(y + radius) + 1):
            half = radius * radius - (row - y) ** 2
            if half >= 0:
                reach = math.sqrt(half)
                for column in range(math.ceil(x - reach), math.floor(x + reach) + 1):
                    self.dot(column, row)

    def ring(self, x: float, y: float, outer: float, inner: float) -> None:
        """A filled ring between two radii; never thinner than its two outlines."""
        for row in range(math.floor(y - outer), math.ceil(y + outer) + 1):
            for column in range(math.floor(x - outer), math.ceil(x + outer) + 1):
                distance = math.hypot(column - x, row - y)
                if inner <= distance <= outer:
                    self.dot(column, row)
        self.circle(x, y, outer)
        self.circle(x, y, inner)

    def line(self, x0: float, y0: float, x1: float, y1: float, *, gap: int = 1) -> None:
        """A straight line; `gap` 2 or more leaves dots out."""
        steps = max(1, round(max(abs(x1 - x0), abs(y1 - y0))))
        for i in range(0, steps + 1, gap):
            self.dot(x0 + (x1 - x0) * i / steps, y0 + (y1 - y0) * i / steps)

    def box(self, x0: float, y0: float, x1: float, y1: float, *, gap: int = 1) -> None:
        """An upright rectangle's outline."""
        for xa, ya, xb, yb in ((x0, y0, x1, y0), (x1, y0, x1, y1), (x1, y1, x0, y1), (x0, y1, x0, y0)):
            self.line(xa, ya, xb, yb, gap=gap)

    def write(self, column: int, row: int, text: str) -> None:
        """Letters over the dots, from a cell onwards; what runs off the surface is left out."""
        for i, letter in enumerate(text):
            if 0 <= column + i < self.columns and 0 <= row < self.rows:
                self._letters[column + i, row] = letter

    def lines(self) -> list[str]:
        """The picture, one string a row."""
        return ["".join(self._cell(column, row) for column in range(self.columns)) for row in range(self.rows)]

    def _cell(self, column: int, row: int) -> str:
        letter = self._letters.get((column, row))
        if letter is not None:
            return letter
        dots = self._dots[row][column]
        if not dots:
            return " "
        if self._plain:
            return "#" if dots.bit_count() > 4 else "+" if dots.bit_count() > 1 else "."
        return chr(0x2800 + dots)
