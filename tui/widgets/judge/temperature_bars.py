"""The temperatures each rubber serves at, as bars, with the coldest and hottest that are asked as two posts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from tui.widgets.cells import fit


class TemperatureBar(NamedTuple):
    """Where a rubber serves, °C: lasting `low` to `high`, briefly to `short`; what is asked; whether it is offered."""

    name: str
    low: float
    high: float
    short: float
    cold: float
    hot: float
    offered: bool


NAME = 8
COLDEST, HOTTEST = -60.0, 250.0


def _cell(celsius: float, room: int) -> int:
    inside = min(max(celsius, COLDEST), HOTTEST)
    return round((inside - COLDEST) / (HOTTEST - COLDEST) * (room - 1))


def bar_line(bar: TemperatureBar, width: int, *, plain: bool) -> str:
    """One bar: lasting, short time, posts at what is asked; a sign in front where the rubber is not offered."""
    room = max(8, width - NAME)
    lasting, short, post = ("=", "-", "|") if plain else ("━", "╌", "┃")
    cells = [" "] * room
    for i in range(_cell(bar.low, room), _cell(bar.short, room) + 1):
        cells[i] = lasting if i <= _cell(bar.high, room) else short
    for asked in (bar.cold, bar.hot):
        cells[_cell(asked, room)] = post
    sign = " " if bar.offered else ("x" if plain else "✗")
    return fit(f"{sign} {bar.name}", NAME) + "".join(cells)


class TemperatureBars(Widget):
    """A bar a rubber. Takes the bars by `show`."""

    DEFAULT_CSS = "TemperatureBars { text-wrap: nowrap; }"
    _bars: Sequence[TemperatureBar] = ()

    def __init__(self, *, classes: str | None = None, plain: bool = False) -> None:
        super().__init__(classes=classes)
        self._plain = plain

    def show(self, picture: object) -> None:
        """Draw other bars."""
        picked = picture if isinstance(picture, tuple) else ()
        self._bars = tuple(bar for bar in picked if isinstance(bar, TemperatureBar))
        self.refresh()

    def render(self) -> Content:
        """Title, bars, legend."""
        width, height = self.size
        title = Content.styled(fit("Where each rubber serves", width), "bold $text-accent")
        if not self._bars:
            return Content("\n").join([title, Content("Type a fluid to see the temperatures.")])
        lines = [bar_line(bar, width, plain=self._plain) for bar in self._bars]
        signs = "= lasting  - short time  | asked" if self._plain else "━ lasting  ╌ short time  ┃ asked"
        span = f"  ({COLDEST:g} to {HOTTEST:g} °C)"
        legend = signs + span if len(signs + span) <= width else signs
        return Content("\n").join([title, *(Content(line) for line in lines[: max(0, height - 2)]), Content(legend)])
