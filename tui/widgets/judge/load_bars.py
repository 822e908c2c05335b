"""The clamp load each condition of the thread gives, as bars against the proof load."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.widgets.cells import fit


class LoadBar(NamedTuple):
    """A range of clamp load as shares of the proof load: least, typical, most. `chosen`: the condition asked about."""

    name: str
    low: float
    typical: float
    high: float
    chosen: bool = False


NAME = 15
TAIL = 6


def bar_line(bar: LoadBar, width: int, top: float, *, plain: bool) -> str:
    """One bar: its range, a mark at the typical load, a post at the proof load, and the figure."""
    room = max(4, width - NAME - TAIL)
    post = min(room - 1, round(1.0 / top * (room - 1)))
    at = [min(room - 1, round(share / top * (room - 1))) for share in (bar.low, bar.typical, bar.high)]
    cells = [" "] * room
    for i in range(at[0], at[2] + 1):
        cells[i] = "=" if plain else "━"
    cells[post] = "|" if plain else "┃"
    cells[at[1]] = "O" if plain else "●"
    lead = ("> " if plain else "▸ ") if bar.chosen else "  "
    over = "!" if bar.typical > 1 else ""
    return fit(lead + bar.name, NAME) + "".join(cells) + fit(f"{100 * bar.typical:.0f}%{over}", TAIL, right=True)


class LoadBars(Widget):
    """A bar a condition. Takes the bars by `show`."""

    DEFAULT_CSS = "LoadBars { text-wrap: nowrap; }"
    _bars: Sequence[LoadBar] = ()

    def __init__(self, *, classes: str | None = None, plain: bool = False) -> None:
        super().__init__(classes=classes)
        self._plain = plain

    def show(self, picture: object) -> None:
        """Draw other bars."""
        self._bars = tuple(bar for bar in picture if isinstance(bar, LoadBar)) if isinstance(picture, tuple) else ()
        self.refresh()

    def render(self) -> Content:
        """Title, bars, legend."""
        width, height = self.size
        title = Content.styled(fit("Clamp load at this torque", width), "bold $text-accent")
        if not self._bars:
            return Content("\n").join([title, Content("Type a thread and a class to see the loads.")])
        top = max(1.15, *(bar.high for bar in self._bars))
        lines = [bar_line(bar, width, top, plain=self._plain) for bar in self._bars]
        legend = "O typical  | proof or yield load" if self._plain else "● typical  ┃ proof or yield load"
        return Content("\n").join([title, *(Content(line) for line in lines[: max(0, height - 2)]), Content(legend)])
