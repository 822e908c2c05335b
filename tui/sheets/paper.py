"""The paper: sizes in millimetres, and the margin that nothing may cross."""

from __future__ import annotations

from typing import Final, NamedTuple


class Paper(NamedTuple):
    """A sheet of paper, upright. `width` and `height` in mm."""

    name: str
    width: float
    height: float


A4: Final = Paper("A4", 210.0, 297.0)
"""ISO 216."""
LETTER: Final = Paper("Letter", 215.9, 279.4)
"""8 1/2 in × 11 in (ANSI/ASME Y14.1, size A)."""
PAPERS: Final = {paper.name.casefold(): paper for paper in (A4, LETTER)}

MARGIN: Final = 12.0
"""mm kept white on every side of a sheet. Common printers can't print the outer 4 to 6 mm."""


def paper_named(name: str) -> Paper:
    """The paper called `A4` or `Letter`, in any case. Raises ValueError with what to type."""
    found = PAPERS.get(name.strip().casefold())
    if found is None:
        raise ValueError(f"There is no paper {name[:20]!r} here; type A4 or Letter.")
    return found
