"""Stock as bars: what of an item lies free and promised in each bin, and in all against its reorder mark."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Final, NamedTuple

from tui.widgets.cells import fit

NAME: Final = 9
"""Cells for a bin's name."""
AMOUNT: Final = 15
"""Cells for what lies there, in words."""


class Heap(NamedTuple):
    """What lies in one bin."""

    name: str
    free: int
    promised: int


class Mark(NamedTuple):
    """Order more once so much is free, up to so much."""

    order_at: int
    up_to: int


class Glyphs(NamedTuple):
    """The signs that a bar is made of."""

    free: str
    promised: str
    empty: str
    mark: str


GLYPHS: Final = Glyphs("█", "▒", "·", "┃")
PLAIN: Final = Glyphs("#", "/", ".", "|")


def heaps_of(places: Iterable[tuple[str, int, int]]) -> tuple[Heap, ...]:
    """Bins by name, each with all that lies free and promised in it."""
    bins: dict[str, Heap] = {}
    for name, free, promised in places:
        before = bins.get(name, Heap(name, 0, 0))
        bins[name] = Heap(name, before.free + free, before.promised + promised)
    return tuple(bins.values())


def whole_of(heaps: Sequence[Heap], mark: Mark | None) -> int:
    """How much a full bar stands for: all that lies there, or what is filled up to, whichever is more."""
    lying = sum(max(0, one.free) + one.promised for one in heaps)
    return max(lying, mark.up_to if mark else 0, 1)


def bar(free: int, promised: int, whole: int, cells: int, *, mark: int | None = None, plain: bool = False) -> str:
    """Free, then promised, then room up to `whole`; the reorder mark stands over what is free so far.

    What lies there at all has a cell, and the mark lies within the free part only where more is free than it says.
    """
    signs = PLAIN if plain else GLYPHS
    if cells <= 0:
        return ""
    free, whole = max(0, free), max(1, whole)
    full = min(cells - (promised > 0 and cells > 1), max(free > 0, round(free / whole * cells)))
    held = min(cells - full, max(promised > 0, round(promised / whole * cells)))
    line = list(signs.free * full + signs.promised * held + signs.empty * (cells - full - held))
    if mark is not None:
        at = min(cells - 1, round(mark / whole * cells))
        at = min(at, full - 1) if free > mark and full else max(at, min(full, cells - 1))
        line[at] = signs.mark
    return "".join(line)


def stock_line(heaps: Sequence[Heap], mark: Mark | None, cells: int, *, plain: bool = False) -> str:
    """All of it in one bar of so many cells."""
    free, promised = sum(one.free for one in heaps), sum(one.promised for one in heaps)
    return bar(free, promised, whole_of(heaps, mark), cells, mark=mark.order_at if mark else None, plain=plain)


def stock_lines(
    heaps: Sequence[Heap],
    mark: Mark | None,
    columns: int,
    rows: int,
    amount: Callable[[int], str],
    *,
    plain: bool = False,
) -> list[str]:
    """A bar a bin and one for all of it, then what the marks say. `amount` says a quantity in words."""
    cells = columns - NAME - AMOUNT - 2
    if not heaps or cells < 4 or rows < 3:
        return []
    whole, order = whole_of(heaps, mark), mark.order_at if mark else None

    def line(name: str, free: int, promised: int, at: int | None) -> str:
        told = f"{amount(free)} free" if free or not promised else f"{amount(promised)} held"
        return fit(
            f"{fit(name, NAME)} {bar(free, promised, whole, cells, mark=at, plain=plain)} {fit(told, AMOUNT)}", columns
        )

    total = line("in all", sum(one.free for one in heaps), sum(one.promised for one in heaps), order)
    signs = PLAIN if plain else GLYPHS
    promised = sum(one.promised for one in heaps)
    keys = f"{signs.free} free  {signs.promised} promised" if promised else ""
    marks = f"{signs.mark} reorder at {amount(mark.order_at)}, up to {amount(mark.up_to)}" if mark else ""
    foot = [total, *(f"{'':{NAME}} {one}" for one in (marks, keys) if one)]
    room = max(0, rows - len(foot))
    shown = heaps if len(heaps) <= room else heaps[: max(0, room - 1)]
    lines = [line(one.name, one.free, one.promised, None) for one in shown]
    if len(shown) < len(heaps):
        lines.append(fit(f"{'':{NAME}} and {len(heaps) - len(shown)} bins more", columns))
    return [*lines, *(fit(one, columns) for one in foot)][:rows]
