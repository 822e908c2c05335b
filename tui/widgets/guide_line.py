"""The next step of a guide, in one line above the keys."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, cast

from textual.widgets import Static

import models
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from textual.timer import Timer

    from tui.host import Host

LOOK_AGAIN = 0.5
"""Seconds between two looks whether something was booked; only then the workshop is read."""


class GuideLine(Static):
    """Not there until a guide is asked for. It reads the workshop again when this session booked something."""

    DEFAULT_CSS = """
    GuideLine { display: none; height: auto; max-height: 2; background: $primary 30%; padding: 0 1; }
    GuideLine.-on { display: block; }
    """

    def __init__(self) -> None:
        super().__init__("", id="guide", markup=False)
        self._seen: object = None
        self._timer: Timer | None = None

    def on_mount(self) -> None:
        """Look now and then while a guide is under way, and not at all without one."""
        self._timer = self.set_interval(LOOK_AGAIN, self._look, pause=True)
        self.watch(self.app, "guide", self._turned)

    def _turned(self) -> None:
        if self._timer is not None:
            (self._timer.pause if cast("Host", self.app).guide is None else self._timer.resume)()
        self._look()

    def on_show(self) -> None:
        """The page came up: say what is next by now."""
        self._look()

    def _look(self) -> None:
        host = cast("Host", self.app)
        self.set_class(host.guide is not None, "-on")
        if host.guide is None:
            self._seen = None
            return
        now = (host.guide, host.workshop.commits)
        if self.screen.is_current and self._seen != now:
            self._seen = now
            self.run_worker(self._read_again(), exclusive=True, group="guide")

    async def _read_again(self) -> None:
        guide = cast("Host", self.app).guide
        if guide is None:
            return
        try:
            found = await asyncio.to_thread(guide.look)
        except models.errors.WorkshopError as refused:
            self.update(clean(str(refused)))
            return
        if self.is_attached:
            self.update(clean(f"Guide: {found.line()}"))
