"""Squeeze, stretch and fill as bars: least, nominal and most of the worst cases against the allowed band."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.widgets.cells import fit

# How much of the track lies beyond each end of the band.
BEYOND = 0.18
NAME = 8


class FigureBar(NamedTuple):
    """One figure in percent: its worst cases, the band they must stay in, the usual band, and how it comes out.

    `sign` and `word` say it without colour; `style` only adds to them.
    """

    name: str
    least: float
    nominal: float
    most: float
    allowed: tuple[float, float]
    usual: tuple[float, float]
    sign: str
    word: str
    style: str = ""


def head_line(bar: FigureBar, columns: int) -> str:
    """Name, the three figures, sign and word: "squeeze  14.2 / 18.0 / 21.6 %  ✓ ok"."""
    figures = f"{bar.least:.1f} / {bar.nominal:.1f} / {bar.most:.1f} %"
    tail = f"{bar.sign} {bar.word}"
    room = columns - NAME - len(tail) - 1
    if len(figures) >= room:
        figures = figures.replace(" ", "")
    return fit(fit(bar.name, NAME) + " " + fit(figures, room) + tail, columns)


def track_line(bar: FigureBar, columns: int, *, plain: bool) -> str:
    """The track: brackets at the allowed band's ends with their figures, a heavy line where it is usual, three marks.

    A mark never covers a bracket: what is within stands inside it, what is beyond stands outside.
    """
    low, high = bar.allowed
    left_text, right_text = f"{low:g}", f"{high:g}"
    room = columns - 10
    if room < 12:
        return ""
    reach = high - low
    start, end = low - BEYOND * reach, high + BEYOND * reach

    def at(value: float) -> int:
        return min(room - 1, max(0, round((value - start) / (end - start) * (room - 1))))

    edge_low, edge_high = at(low), at(high)

    def mark(value: float) -> int:
        place = at(value)
        if low <= value <= high:
            return min(max(place, edge_low + 1), edge_high - 1)
        return min(place, edge_low - 1) if value < low else max(place, edge_high + 1)

    light, heavy, between, dot = ("-", "=", "#", "O") if plain else ("─", "━", "═", "●")
    first, last = ("(", ")") if plain else ("├", "┤")
    cells = [" "] * room
    for i in range(edge_low, edge_high + 1):
        cells[i] = light
    for i in range(max(edge_low, at(bar.usual[0])), min(edge_high, at(bar.usual[1])) + 1):
        cells[i] = heavy
    cells[edge_low], cells[edge_high] = "[", "]"
    least, nominal, most = mark(bar.least), mark(bar.nominal), mark(bar.most)
    for i in range(least, most + 1):
        if cells[i] not in "[]":
            cells[i] = between
    cells[least], cells[most] = first, last
    if bar.least < start:
        cells[0] = "<" if plain else "◀"
    if bar.most > end:
        cells[-1] = ">" if plain else "▶"
    cells[nominal] = dot
    return fit(f"{left_text:>5}{''.join(cells)}{right_text}", columns)


class FigureBars(Widget):
    """Two lines a figure. Takes the bars by `show`."""

    DEFAULT_CSS = "FigureBars { text-wrap: nowrap; }"
    _bars: Sequence[FigureBar] = ()
    _empty = ""

    @property
    def plain(self) -> bool:
        """Whether only plain characters may be used."""
        return bool(getattr(self.app, "plain_glyphs", False))

    def show(self, bars: Sequence[FigureBar], empty: str = "") -> None:
        """Draw other figures, or say why there are none."""
        self._bars, self._empty = tuple(bars), empty
        self.refresh()

    def render(self) -> Content:
        """Title, then the figures."""
        width, height = self.size
        legend = "least (O) most, [ ] allowed, = usual" if self.plain else "least ├●┤ most, [ ] allowed, ━ usual"
        lines = [Content.styled(fit(legend, width), "bold $text-accent")]
        if not self._bars:
            return Content("\n").join([*lines, Content.styled(fit(self._empty, width), "dim")])
        for bar in self._bars:
            lines.append(Content.styled(head_line(bar, width), bar.style))
            lines.append(Content(track_line(bar, width, plain=self.plain)))
        return Content("\n").join(lines[: max(1, height)])
