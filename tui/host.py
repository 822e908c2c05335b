"""The app as its pages see it: the workshop, what a bare number means, and what a page may ask of the app."""

from __future__ import annotations

import os
from asyncio import sleep
from collections import deque
from time import monotonic
from typing import TYPE_CHECKING

from textual.reactive import reactive, var

import tui
from tui import fields, screens
from tui.steady import LONGEST, Steady
from tui.theme import DARK, LIGHT
from tui.widgets.next_line import NextLine

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual import events
    from textual.widget import AwaitMount

    from tui.fields.units import Units
    from tui.guide import Guide
    from tui.workshop import Workshop


WARM_REST = 0.4
"""Seconds between an area that was opened and what is loaded ahead."""
KEPT = 50
"""Messages that are remembered."""
LOOK_AGAIN = 0.05
"""Seconds between two looks whether an area is being opened."""


class Host(Steady):
    """What the areas share. `tui/app.py` opens them; a page knows this class and not that module.

    `data`: path or database address, None for the platform's data folder. `demo`: the invented workshop in a
    database of its own. `unit`: what a bare length means at start, "mm" or "in".
    """

    unit: reactive[str] = reactive("mm", init=False)
    guide: var[Guide | None] = var(None, init=False)

    def __init__(self, data: str | None = None, demo: bool = False, unit: str = "mm") -> None:
        super().__init__()
        self.set_reactive(Host.unit, unit)
        self.animation_level = "none"
        for theme in (DARK, LIGHT):
            self.register_theme(theme)
        self.theme = DARK.name
        self._data = data
        self._demo = demo
        self._units: Units | None = None
        self._workshop: Workshop | None = None
        self._quiet_since = monotonic()
        # The last messages, newest last.
        self.said: deque[str] = deque(maxlen=KEPT)
        # A console without UTF-8 gets plain letters in place of lines and dots.
        self.plain_glyphs = bool(os.environ.get("KITWRIGHT_ASCII")) or os.environ.get("TERM") == "linux"

    @property
    def workshop(self) -> Workshop:
        """The workshop's database, opened by the first worker that asks for it, never before the first frame."""
        if self._workshop is None:
            self._workshop = tui.workshop.Workshop(self._data, self._demo)
        return self._workshop

    def switch_mode(self, mode: str) -> AwaitMount:
        """Open an area, and note when."""
        self._quiet_since = monotonic()
        return super().switch_mode(mode)

    async def rest(self) -> None:
        """Wait until for a while no area was opened or read its first rows: what is loaded ahead would hold it up."""
        until = monotonic() + LONGEST
        while True:
            page = self.open_page()
            if isinstance(page, screens.area.Area) and page.reads and monotonic() < until:
                self._quiet_since = monotonic()
            left = self._quiet_since + WARM_REST - monotonic()
            if left <= 0:
                return
            await sleep(min(left, LOOK_AGAIN))

    def tell(self, text: str, *, trouble: bool = False) -> None:
        """A message: where the open area says what is next, over a sheet where one is open."""
        page = self.open_page()
        if isinstance(page, screens.area.Area) and page.is_mounted:
            self.said.append(text)
            page.query_one(NextLine).tell(text, trouble=trouble)
        elif not (isinstance(page, screens.closing.ClosesOnce) and page.says_itself(text)):
            self.notify(
                text, severity="warning" if trouble else "information", timeout=10 if trouble else 5, markup=False
            )

    @property
    def demo(self) -> bool:
        """Whether this is the invented workshop."""
        return self._demo

    @property
    def units(self) -> Units:
        """What a bare number means: lengths by this session, the rest as the bench keeps it."""
        if self._units is None:
            self._units = fields.units.kept()
        return self._units._replace(length=self.unit)

    def action_flip(self, quantity: str) -> None:
        """Change what a bare torque, pressure, volume or temperature means at this bench, and keep it."""
        first, second = fields.units.CHOICES[quantity]
        now = second if getattr(self.units, quantity) == first else first
        self._units = self.units._replace(**{quantity: now})
        try:
            fields.units.keep(self._units)
        except OSError as problem:
            self.tell(f"This holds until you leave: it can't be kept ({problem.strerror}).", trouble=True)
        self.tell(f"A {quantity} typed without a unit is in {now} now.")
        self.mutate_reactive(Host.unit)

    def action_guide(self) -> None:
        """Begin the guide: the demo's day, or an own workshop's first hour; end it where it is under way."""
        self.guide = None if self.guide is not None else tui.guide.Guide(self.workshop, demo=self.demo)

    def action_flip_unit(self) -> None:
        """Change what a bare number means. Every screen shows both units either way."""
        self.unit = "in" if self.unit == "mm" else "mm"
        self.tell(f"A length typed without a unit is in {'inches' if self.unit == 'in' else 'mm'} now.")

    def action_undo(self) -> None:
        """Take back the last change made in this session."""
        raise NotImplementedError

    def action_area(self, name: str) -> None:
        """Open an area."""
        raise NotImplementedError

    async def open_first(self) -> None:
        """Open the first area, once the outline is on screen."""
        raise NotImplementedError

    def take_keys(self) -> None:
        """The first field has the focus: hand over what was typed before."""
        raise NotImplementedError

    async def hand_on(self, waiting: Iterable[events.Key | events.Paste], *, anew: bool = False) -> None:
        """Deliver keys that a form kept until its Enter was done; `anew`: to the page beneath, for it has closed."""
        raise NotImplementedError
