"""The field above a list: what is typed narrows the list, the arrows and the page keys move in it."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.geometry import Size
from textual.reactive import Reactive
from textual.widgets import Input


class StillInput(Input):
    """An input of a fixed place. Typing in it lays nothing out; a plain one lays out the whole screen at each key."""

    virtual_size: Reactive[Size] = Reactive(Size(0, 0), layout=False)


class FilterInput(StillInput):
    """An input whose vertical keys and Enter belong to the screen's list."""

    # An Input scrolls, so it binds these keys itself; here they would only hide the screen's own.
    BINDINGS: ClassVar[list[BindingType]] = [
        # Not a priority key of the screen's: it must be handled after the letters typed before it.
        Binding("enter", "screen.accept", "Take", show=False, tooltip="Take the highlighted row"),
        Binding("up", "screen.move(-1)", "Up", show=False, tooltip="The row above"),
        Binding("down", "screen.move(1)", "Down", show=False, tooltip="The row below"),
        Binding("pageup", "screen.page(-1)", "Page up", show=False, tooltip="A page up"),
        Binding("pagedown", "screen.page(1)", "Page down", show=False, tooltip="A page down"),
    ]
