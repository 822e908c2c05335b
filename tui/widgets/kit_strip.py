"""A kit as a strip: of each need what is there, what lies free on the shelf for it, and what is short."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from tui.widgets.cells import fit

NAME: Final = 22
"""Cells for a need's title."""
TOLD: Final = 20
"""Cells for the words after a bar."""
LONGEST: Final = 30
"""Cells of a bar, at most."""


class Part(NamedTuple):
    """One need: how much is wanted, there, free on the shelf and not promised yet; the rest is short."""

    title: str
    wanted: int
    have: int
    free: int

    @property
    def short(self) -> int:
        """What is neither there nor free."""
        return max(0, self.wanted - self.have - self.free)


class Glyphs(NamedTuple):
    """The signs of a bar."""

    have: str
    free: str
    short: str
    between: str


GLYPHS: Final = Glyphs("█", "▒", "·", "│")
PLAIN: Final = Glyphs("#", "/", ".", "|")


def bar(part: Part, cells: int, *, plain: bool = False) -> str:
    """One need in so many cells. What is short has a cell at least, however little it is."""
    signs = PLAIN if plain else GLYPHS
    whole = max(1, part.wanted)
    have = min(part.have, part.wanted)
    free = min(part.free, part.wanted - have)
    lacks = min(cells, max(bool(part.short), round(part.short / whole * cells)))
    full = min(cells - lacks, round(have / whole * cells)) if free else cells - lacks
    return signs.have * full + signs.free * (cells - lacks - full) + signs.short * lacks


def strip_line(parts: Sequence[Part], cells: int, *, plain: bool = False) -> str:
    """All needs side by side in about so many cells, each as wide as the others."""
    if not parts:
        return ""
    each = max(2, min(LONGEST, (cells + 1) // len(parts) - 1))
    signs = PLAIN if plain else GLYPHS
    return signs.between.join(bar(one, each, plain=plain) for one in parts)


def strip_lines(
    parts: Sequence[Part], columns: int, rows: int, amount: Callable[[int, int], str], *, plain: bool = False
) -> list[str]:
    """A line a need. `amount(at, quantity)` says a quantity of the need at that place in words."""
    cells = min(LONGEST, columns - NAME - TOLD - 2)
    if not parts or cells < 3 or rows < 2:
        return []
    signs = PLAIN if plain else GLYPHS
    room = rows - 1
    shown = len(parts) if len(parts) <= room else max(0, room - 1)
    lines = []
    for at, one in enumerate(parts[:shown]):
        told = f"{amount(at, one.short)} short" if one.short else "to promise" if one.free else "there"
        lines.append(f"{fit(one.title, NAME)} {bar(one, cells, plain=plain)} {told}")
    if shown < len(parts):
        lines.append(f"and {len(parts) - shown} needs more")
    lines.append(f"{'':{NAME}} {signs.have} there  {signs.free} free on the shelf  {signs.short} short")
    return [fit(line, columns) for line in lines]
