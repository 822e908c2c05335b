"""The field above a list: what is typed narrows the list, the arrows and the page keys move in it."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import BindingType
from textual.geometry import Size
from textual.reactive import Reactive
from textual.widgets import Input

from tui.bound import bind


class StillInput(Input):
    """An input of a fixed place. Typing in it lays nothing out; a plain one lays out the whole screen at each key."""

    virtual_size: Reactive[Size] = Reactive(Size(0, 0), layout=False)


class FilterInput(StillInput):
    """An input whose vertical keys and Enter belong to the screen's list."""

    # An Input scrolls, so it binds these keys itself; here they would only hide the screen's own.
    BINDINGS: ClassVar[list[BindingType]] = [
        # Not a priority key of the screen's: it must be handled after the letters typed before it.
        bind("take", "screen.accept", "Take", tooltip="Take the highlighted row"),
        bind("up", "screen.move(-1)", "Up", tooltip="The row above", only="up"),
        bind("down", "screen.move(1)", "Down", tooltip="The row below", only="down"),
        bind("page-up", "screen.page(-1)", "Page up", tooltip="A page up"),
        bind("page-down", "screen.page(1)", "Page down", tooltip="A page down"),
    ]
