"""A fill as a sight glass: the level between its low and full marks, drawn to scale."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.answers.levels import volume
from tui.widgets.cells import fit

Volume = int | Fraction


class Glass(NamedTuple):
    """Volumes as shares of the full mark (1.0); labels say them in words. `over`: the level is past the full mark.

    `left_label`: what stayed in when it was drained; `drained_label`: what came out; "" for none.
    """

    level: float
    low: float
    left_in: float
    level_label: str
    low_label: str
    full_label: str
    over: bool = False
    single: bool = False
    left_label: str = ""
    drained_label: str = ""


def glass_of(
    held: Volume, low: Volume, full: Volume, left_in: Volume, first: str, *, over: bool, drained: Volume = 0
) -> Glass:
    """The glass of a level and its marks, all in one unit: microlitres. `first`: the unit that labels are in."""
    return Glass(
        float(held / full),
        float(low / full),
        float(left_in / full),
        volume(held, first, short=True),
        volume(low, first, short=True),
        volume(full, first, short=True),
        over,
        low == full,
        volume(left_in, first, short=True) if left_in else "",
        volume(drained, first, short=True) if drained else "",
    )


TUBE = 11
PARTS = " ▁▂▃▄▅▆▇█"
PLAIN = str.maketrans({"◂": "<", "←": "<-", "↓": "v", "▒": ":"})


def glass_lines(glass: Glass | None, columns: int, rows: int, *, plain: bool) -> list[str]:
    """The glass from top to bottom: over-fill, full mark, low mark, what stayed in, the bottom."""
    if glass is None or rows < 5 or columns < TUBE + 6:
        return [fit("Type the marks to see the glass.", columns)]
    inner = rows - 2
    # Past the full mark there is a sixth of the glass, so that an over-fill is seen; a larger one runs to the top.
    top = max(7 / 6, min(glass.level, 1.5))
    fluid, marks = _fluid(glass, inner, top, plain=plain), _marks(glass, inner, top)
    wall, corner = ("|", "+") if plain else ("│", "╰")
    lines = [(("+" if plain else "╭") + ("-" if plain else "─") * TUBE + ("+" if plain else "╮"))]
    for row in range(inner):
        label = marks.get(row, "")
        lines.append(f"{wall}{fluid[row] * TUBE}{wall}" + (f" {label}" if label else ""))
    out = f" ↓ drained {glass.drained_label}" if glass.drained_label else ""
    lines.append(corner + ("-" if plain else "─") * TUBE + ("+" if plain else "╯") + out)
    return [fit(line, columns) for line in lines]


def _fluid(glass: Glass, rows: int, top: float, *, plain: bool) -> list[str]:
    """One character a row, from the top: full, part full, what stayed in, or empty."""
    cells = []
    for row in range(rows):
        floor, ceiling = (rows - row - 1) / rows * top, (rows - row) / rows * top
        share = min(1.0, max(0.0, (glass.level - floor) / (ceiling - floor)))
        if glass.left_in and (floor + ceiling) / 2 < glass.left_in:
            cells.append(":" if plain else "▒")
        elif plain:
            cells.append("#" if share > 0.5 else " ")
        else:
            cells.append(PARTS[round(share * 8)])
    return cells


def _marks(glass: Glass, rows: int, top: float) -> dict[int, str]:
    """The labels by row; where two fall on one row the lower one steps aside."""

    def row_of(share: float) -> int:
        return min(rows - 1, max(0, rows - 1 - int(share / top * rows)))

    marks = {row_of(1.0): f"◂ full {glass.full_label}"}
    wanted = [] if glass.single else [(glass.low, f"◂ low {glass.low_label}")]
    if abs(glass.level - 1.0) > 1e-9 and (glass.single or abs(glass.level - glass.low) > 1e-9):
        wanted.append((min(glass.level, top), f"← now {glass.level_label}" + (" OVER" if glass.over else "")))
    elif abs(glass.level - 1.0) <= 1e-9:
        marks[row_of(1.0)] += " = now"
    else:
        wanted[0] = (glass.low, wanted[0][1] + " = now")
    if glass.left_label:
        wanted.append((min(glass.left_in, 0.999), f"▒ stayed {glass.left_label}"))
    for share, label in wanted:
        row = row_of(share)
        down = share < 1.0
        while row in marks and 0 <= row < rows:
            row += 1 if down else -1
        if 0 <= row < rows:
            marks[row] = label
    return marks


class SightGlass(Widget):
    """The glass. Takes a `Glass` by `show`."""

    DEFAULT_CSS = "SightGlass { text-wrap: nowrap; }"
    _glass: Glass | None = None

    def __init__(self, *, classes: str | None = None, plain: bool = False) -> None:
        super().__init__(classes=classes)
        self._plain = plain

    def show(self, picture: object) -> None:
        """Draw another level."""
        self._glass = picture if isinstance(picture, Glass) else None
        self.refresh()

    def render(self) -> Content:
        """Title, then the glass."""
        width, height = self.size
        title = Content.styled(fit("Sight glass, to scale by volume", width), "bold $text-accent")
        lines = glass_lines(self._glass, width, height - 1, plain=self._plain) if height > 1 else []
        if self._plain:
            lines = [line.translate(PLAIN) for line in lines]
        return Content("\n").join([title, *(Content(line) for line in lines)])
