"""What other benches book, told to the app as it is booked, by a thread that ends with the app.

A thread of its own, as the caliper has: it lives as long as the app, and would keep one of the few that calls into the
workshop share.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING, Final

from textual.message import Message

from models import watching
from models.errors import WorkshopError

if TYPE_CHECKING:
    from collections.abc import Callable

    from models.watching.heard import Heard
    from models.watching.watch import Watch
    from tui.workshop import Workshop

ENDS_S: Final = 2.0
"""Seconds that the app waits for the thread as it is left; one that waits for a server ends with the program."""


class News(Message):
    """Somebody else booked something, or the way to the workshop is lost or back."""

    def __init__(self, heard: Heard) -> None:
        super().__init__()
        self.heard = heard


class Watcher:
    """Watches one workshop and tells what others than this app booked there."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop
        self._watch: Watch | None = None
        self._thread: threading.Thread | None = None
        self._leaving = threading.Event()
        self.ready = threading.Event()
        """Set once it watches; also where there is nothing to watch."""

    def begin(self, tell: Callable[[News], object]) -> None:
        """Begin; each piece of news is told from that thread."""
        self._thread = threading.Thread(target=self._listen, args=(tell,), name="watching", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End it, and wait until it has ended."""
        self._leaving.set()
        if self._watch is not None:
            self._watch.stop()
        if self._thread is not None:
            self._thread.join(ENDS_S)

    def _listen(self, tell: Callable[[News], object]) -> None:
        try:
            watch = self._watch = watching.watch.Watch(self._workshop.place())
        except (WorkshopError, ImportError):
            self.ready.set()
            return  # opening it says why
        if self._leaving.is_set():
            return
        watch.ready = self.ready
        for heard in watch.heard():
            others = tuple(one for one in heard.booked if not self._workshop.is_own(one.key))
            if (others or heard.line is not watching.heard.Line.UP) and not self._leaving.is_set():
                tell(News(heard._replace(booked=others)))
