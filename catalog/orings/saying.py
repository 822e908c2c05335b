"""Figures in sentences: as many digits as the comparison needs, and both units where a gap is meant."""

from __future__ import annotations

from collections.abc import Iterable

from catalog.compare import same

MOST_PLACES = 6
MM_PER_INCH = 25.4


def places(figures: Iterable[float], limits: Iterable[float], least: int = 1) -> int:
    """The decimals, from `least` up, at which every figure still stands on its own side of every limit.

    Two that are the same figure (`catalog.compare.same`) ask for no more digits. Six are the most.
    """
    pairs = [(figure, limit) for figure in figures for limit in limits if not same(figure, limit)]
    for count in range(least, MOST_PLACES):
        if all((round(a, count) > round(b, count)) if a > b else (round(a, count) < round(b, count)) for a, b in pairs):
            return count
    return MOST_PLACES


def length(mm: float, against: float | None = None) -> str:
    """A small length in both units, told apart from the one it is compared with: `0.41 mm (0.0161 in)`."""
    others = () if against is None else (against,)
    in_mm = places((mm,), others, 2)
    inches = tuple(one / MM_PER_INCH for one in others)
    in_inch = places((mm / MM_PER_INCH,), inches, 4)
    return f"{_trimmed(mm, in_mm)} mm ({_trimmed(mm / MM_PER_INCH, in_inch)} in)"


def _trimmed(value: float, count: int) -> str:
    # A figure that four decimals write out (0.016 in is 0.4064 mm) is written out.
    exact = round(value, 4)
    return f"{exact:g}" if same(exact, value) else f"{value:.{count}f}"
