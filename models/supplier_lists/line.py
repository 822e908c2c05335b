"""Lines of a supplier's file, whatever the file's kind: one, or some at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple


class Line(NamedTuple):
    """Its number (from 1), its cells as text, how many bytes of the file were read (0: not looked), what broke it."""

    number: int
    cells: Sequence[str]
    read: int
    broken: str = ""


class Lines(NamedTuple):
    """Lines one after another: their numbers, their cells, what broke the line at some place, and bytes read so far."""

    numbers: Sequence[int]
    cells: Sequence[Sequence[str]]
    broken: Mapping[int, str]
    read: int

    def line(self, at: int) -> Line:
        """One of them."""
        return Line(self.numbers[at], self.cells[at], self.read, self.broken.get(at, ""))


def gathered(lines: Sequence[Line]) -> Lines:
    """Single lines as some at once."""
    return Lines(
        [line.number for line in lines],
        [line.cells for line in lines],
        {at: line.broken for at, line in enumerate(lines) if line.broken},
        max((line.read for line in lines), default=0),
    )
