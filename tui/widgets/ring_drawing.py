"""The ring as it was read, to scale: from above and cut through, with thin circles for the least and the most."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tui.widgets.canvas import Canvas
from tui.widgets.pictures import number

if TYPE_CHECKING:
    from catalog.orings.read_limits import Extent, ReadLimits

EMPTY: Final = "Type an ID and a width to see it."
FEWEST_COLUMNS: Final = 16
FEWEST_ROWS: Final = 3
TIMES: Final = (1000, 500, 300, 200, 150, 100, 80, 60, 50, 40, 30, 25, 20, 15, 12, 10, 8, 6, 5, 4, 3, 2, 1)
"""How many times its own length an error may be drawn, so that a thin circle stands clear of the ring."""
CLEAR: Final = 2.0
"""Dots that part a thin circle from what it belongs to, at least: one of them stays dark."""


def drawn_times(error_mm: float, dots_per_mm: float, room: float) -> int:
    """How many times its own length an error is drawn, so that it takes at most `room` dots."""
    return next((times for times in TIMES if times * error_mm * dots_per_mm <= room), 1)


def ring_lines(read: ReadLimits | None, columns: int, rows: int, unit: str, *, plain: bool = False) -> list[str]:
    """The ring from above and its section drawn larger, both to scale, their error drawn several times its length.

    Solid: the ring as read. Thin: the least and the most; where that lies inside the solid ring it is left dark.
    """
    canvas = Canvas(columns, rows, plain=plain)
    across = None if read is None else read.outside or read.mean or read.inside
    if read is None or (across is None and read.width is None) or columns < FEWEST_COLUMNS or rows < FEWEST_ROWS:
        canvas.write(1, rows // 2, EMPTY[: columns - 1])
        return canvas.lines()
    labels = [label(name, one, unit) for name, one in known(read)]
    left, times, scale = 0, 1, 0.0
    if across is not None:
        radius = min(canvas.height / 2 - 1, canvas.width * 0.55 / 2 - 1)
        times, scale = _to_scale(read, across, radius)
        _from_above(canvas, read, radius + 1, canvas.height / 2 - 0.5, scale, times)
        left = int(radius * 2 + 2) // 2 + 2
        hole = int((read.inside.least_mm if read.inside is not None else 0.0) * scale / 2) - 2
        if labels and hole >= len(labels[0]) + 1 and rows >= 7:
            canvas.write(round((radius + 1) / 2 - len(labels[0]) / 2), rows // 2, labels.pop(0))
    below = _section(canvas, read, left, rows - len(labels) - 1, scale, times, labels)
    if not below and across is not None:
        labels.append(f"± ×{times}")
    for i, text in enumerate(labels):
        canvas.write(left, below + i, text)
    return canvas.lines()


def known(read: ReadLimits) -> list[tuple[str, Extent]]:
    """What is known of it, by name; the mean diameter only where nothing else across the ring is."""
    named = [("ID", read.inside), ("OD", read.outside), ("width", read.width)]
    if read.inside is None and read.outside is None:
        named.insert(0, ("mean Ø", read.mean))
    return [(name, one) for name, one in named if one is not None]


def label(name: str, one: Extent, unit: str) -> str:
    """`ID 24.90 ±0.13`; with a ~ where it was worked out from other readings."""
    return f"{name} {'' if one.read else '~'}{number(one.middle_mm, unit)} ±{number(one.plus_minus_mm, unit)}"


def _to_scale(read: ReadLimits, across: Extent, radius: float) -> tuple[int, float]:
    """How many times its length the error is drawn, and dots a mm, so that the most fits into `radius` dots."""
    circles = [one for one in (read.inside, read.outside) if one is not None] or [across]
    error = max(one.plus_minus_mm for one in circles) / 2
    room = max(CLEAR + 1, radius * 0.1)
    for times in TIMES:
        scale = radius / (across.middle_mm / 2 + times * across.plus_minus_mm / 2)
        if times * error * scale <= room:
            return times, scale
    return 1, radius / (across.most_mm / 2)


def _from_above(canvas: Canvas, read: ReadLimits, x: float, y: float, scale: float, times: int) -> None:
    inside, outside = read.inside, read.outside
    if inside is not None and outside is not None:
        inner, outer = inside.middle_mm / 2 * scale, outside.middle_mm / 2 * scale
        canvas.ring(x, y, outer, inner)
        in_by, out_by = (times * one.plus_minus_mm / 2 * scale for one in (inside, outside))
        canvas.circle(x, y, max(0.0, inner - max(in_by, CLEAR)))
        canvas.circle(x, y, outer + out_by)
        if outer - inner >= in_by + out_by + CLEAR:
            canvas.circle(x, y, inner + in_by, lit=False)
            canvas.circle(x, y, outer - out_by, lit=False)
        return
    for one in (inside, outside, None if inside or outside else read.mean):
        if one is not None:
            by = times * one.plus_minus_mm / 2 * scale
            canvas.circle(x, y, max(0.0, one.middle_mm / 2 * scale - by))
            canvas.circle(x, y, one.middle_mm / 2 * scale + by)


def _section(
    canvas: Canvas, read: ReadLimits, left: int, rows: int, scale: float, times: int, labels: list[str]
) -> int:
    """The ring cut through, `rows` high at most; gives the row beneath it, 0 where it has no room."""
    width = read.width
    most = min(rows * 2 - 1, (canvas.width - left * 2) / 2 - 1, canvas.height * 0.32)
    if width is None or most < 4:
        return 0
    if not scale:
        times = drawn_times(width.plus_minus_mm, 2 * most / width.middle_mm, most * 0.5)
    radius = most / (1 + times * width.plus_minus_mm / width.middle_mm)
    by = times * width.plus_minus_mm / width.middle_mm * radius
    x, y = left * 2 + most, most + 0.5
    canvas.disc(x, y, radius)
    canvas.circle(x, y, radius + max(by, CLEAR) if radius + CLEAR <= most + 1 else most)
    if by >= 1 and radius - by >= 2:
        canvas.circle(x, y, radius - by, lit=False)
    larger = 2 * radius / (width.middle_mm * scale) if scale else 0.0
    labels.append(f"{f'cut ×{larger:.0f}, ' if larger >= 1.5 else ''}± ×{times}")
    return max(1, int(most * 2 / 4) + 1)
