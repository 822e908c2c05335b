"""A groove cut through, to scale: the ring lying free in it at the left, squeezed by the other part at the right.

The squeezed outline is a picture, not a figure: the ring keeps its area and takes the room nearest its middle.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import NamedTuple

from rich.cells import cell_len
from textual.content import Content
from textual.widget import Widget

from tui.widgets.canvas import Canvas
from tui.widgets.cells import fit

# Metal drawn around the groove, as a share of the ring's width.
METAL = 0.22
WALL = 0.35
# A port's neck and chamfer are drawn this many ring widths long.
PORT_LENGTH = 1.7
LEAST_COLUMNS = 26
LEAST_ROWS = 5


class Section(NamedTuple):
    """What is drawn, mm and nominal. `ring` is the ring's width free, `stretched` as it lies stretched in the groove.

    `depth`: groove bottom to the other part (in a port the widest round section that is not squeezed). `width` is None
    in a port, `chamfer` (degrees from the axis) elsewhere. `seat`: "middle", "outer" or "inner", where the ring rests.
    `down`: the groove opens downwards, as in a bore around a rod. `free_words` and `closed_words` stand beneath.
    """

    ring: float
    stretched: float
    depth: float
    width: float | None
    chamfer: float | None = None
    gap: float = 0.0
    seat: str = "middle"
    down: bool = False
    free_words: str = ""
    closed_words: str = ""


def section_lines(section: Section | None, columns: int, rows: int, *, plain: bool) -> list[str]:
    """Both states side by side, and a line of words beneath."""
    if section is None or columns < LEAST_COLUMNS or rows < LEAST_ROWS:
        return [fit("The groove is drawn here." if section is None else "Widen the window to see it.", columns)]
    half = (columns - 2) // 2
    panels = [_panel(section, half, rows - 1, closed=closed, plain=plain) for closed in (False, True)]
    lines = [f"{free}  {closed}" for free, closed in zip(*panels, strict=True)]
    room = max(1, columns - cell_len(section.free_words) - cell_len(section.closed_words))
    return [*lines, fit(section.free_words + " " * room + section.closed_words, columns)]


def _panel(section: Section, columns: int, rows: int, *, closed: bool, plain: bool) -> list[str]:
    canvas = Canvas(columns, rows, plain=plain)
    (_port if section.width is None else _groove)(canvas, section, closed=closed)
    return canvas.lines()


def _groove(canvas: Canvas, section: Section, *, closed: bool) -> None:
    assert section.width is not None
    lid = METAL * section.ring
    high = max(section.ring, section.depth) + 2 * lid
    wide = section.width + 2 * WALL * section.ring
    k = min((canvas.height - 1) / high, (canvas.width - 1) / wide)
    left, right = (canvas.width - 1) / 2 - section.width * k / 2, (canvas.width - 1) / 2 + section.width * k / 2
    floor = (canvas.height - 1 + high * k) / 2 - lid * k
    # The groove's edge stands below the other part by the play that pressure may push the ring into.
    top = floor - section.depth * k
    edge = top + min(section.gap / 2, 0.6 * section.depth) * k
    wall = WALL * section.ring * k

    def line(x0: float, y0: float, x1: float, y1: float, *, gap: int = 1) -> None:
        ys = [canvas.height - 1 - y if section.down else y for y in (y0, y1)]
        canvas.line(x0, ys[0], x1, ys[1], gap=gap)

    def dot(x: int, y: int) -> None:
        canvas.dot(x, canvas.height - 1 - y if section.down else y)

    line(left, floor, right, floor)
    for side, outward in ((left, -1), (right, 1)):
        line(side, floor, side, edge)
        line(side, edge, side + outward * wall, edge)
        _hatch(dot, sorted((side + outward * 2, side + outward * wall)), (edge + 2, floor + lid * k))
    _hatch(dot, [left, right], (floor + 2, floor + lid * k))
    reach = (left - wall, right + wall)
    if closed:
        line(reach[0], top, reach[1], top)
        _hatch(dot, list(reach), (top - lid * k, top - 2))
    else:
        line(reach[0], top, reach[1], top, gap=4)
    radius = (section.stretched if closed else section.ring) * k / 2
    x = {"outer": right - radius, "inner": left + radius}.get(section.seat, (left + right) / 2)
    if closed:
        inside = ((i, j) for j in _between(top, floor) for i in _between(left, right))
        _filled(dot, inside, (x, (top + floor) / 2), radius)
    else:
        _filled(dot, _around(x, floor - radius, radius), (x, floor - radius), radius)


def _port(canvas: Canvas, section: Section, *, closed: bool) -> None:
    """Neck below, the plug's flange at the left, the port's chamfer above; the axis runs across."""
    length = PORT_LENGTH * section.ring
    slope = math.tan(math.radians(section.chamfer or 0.0))
    # The round section of `depth` touches neck, flange and cone: so high the cone starts at the flange.
    mouth = section.depth / 2 * (1 + 1 / math.cos(math.radians(section.chamfer or 0.0)) + slope)
    metal = METAL * section.ring
    high = max(section.ring, mouth) + 2 * metal
    k = min((canvas.height - 1) / high, (canvas.width - 1) / (length + 2 * metal))
    left = (canvas.width - 1 - length * k) / 2
    floor = (canvas.height - 1 + high * k) / 2 - metal * k
    ceiling = floor - (high - metal) * k
    right = left + length * k

    def roof(x: float) -> float:
        return floor - (mouth * k - slope * (x - left))

    canvas.line(left, floor, right, floor)
    canvas.line(left, floor, left, ceiling)
    bottom = floor + metal * k
    _hatch(canvas.dot, [left - metal * k, left - 2], (ceiling, floor))
    _hatch(canvas.dot, [left - metal * k, right], (floor + 2, bottom))
    radius = (section.stretched if closed else section.ring) * k / 2
    if closed:
        canvas.line(left, roof(left), right, min(roof(right), floor))
        for x in range(math.ceil(left), math.floor(right) + 1, 3):
            canvas.line(x, max(ceiling, roof(x) - metal * k), x, max(ceiling, roof(x) - 2), gap=3)
        inside = ((i, j) for i in _between(left, right) for j in _between(max(ceiling, roof(i)), floor))
        _filled(canvas.dot, inside, (left + section.depth * k / 2, floor - section.depth * k / 2), radius)
    else:
        _filled(canvas.dot, _around(left + radius, floor - radius, radius), (left + radius, floor - radius), radius)


def _between(low: float, high: float) -> range:
    """Dots strictly between two lines."""
    return range(math.floor(low) + 1, math.ceil(high))


def _around(x: float, y: float, radius: float) -> Iterator[tuple[int, int]]:
    for j in range(math.floor(y - radius), math.ceil(y + radius) + 1):
        for i in range(math.floor(x - radius), math.ceil(x + radius) + 1):
            yield i, j


def _filled(
    dot: Callable[[int, int], None], room: Iterator[tuple[int, int]], middle: tuple[float, float], radius: float
) -> None:
    """Fill as many dots of the room, nearest the middle first, as a round section of this radius has."""
    area = round(math.pi * radius * radius)
    nearest = sorted(room, key=lambda place: (place[0] - middle[0]) ** 2 + (place[1] - middle[1]) ** 2)
    for i, j in nearest[:area]:
        dot(i, j)


def _hatch(dot: Callable[[int, int], None], across: list[float], down: tuple[float, float]) -> None:
    """Sparse slanted dots: metal."""
    for j in range(math.ceil(down[0]), math.floor(down[1]) + 1):
        for i in range(math.ceil(across[0]), math.floor(across[1]) + 1):
            if (i + j) % 4 == 0:
                dot(i, j)


class GroovePicture(Widget):
    """The drawing. Takes a `Section` by `show`."""

    DEFAULT_CSS = "GroovePicture { text-wrap: nowrap; }"
    _section: Section | None = None
    _style: str = ""

    @property
    def plain(self) -> bool:
        """Whether only plain characters may be used."""
        return bool(getattr(self.app, "plain_glyphs", False))

    def show(self, section: Section | None, style: str = "") -> None:
        """Draw another groove; `style`: of its verdict, whose word stands in the answer."""
        self._section = section
        self._style = style
        self.refresh()

    def render(self) -> Content:
        """Title, then the drawing."""
        width, height = self.size
        title = Content.styled(fit("Cut through, to scale: free, then closed", width), "bold $text-accent")
        body = section_lines(self._section, width, height - 1, plain=self.plain) if height > 1 else []
        return Content("\n").join([title, *(Content.styled(line, self._style) for line in body[: height - 1])])
