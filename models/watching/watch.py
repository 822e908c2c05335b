"""Watch a workshop for what others book in it: another program on the file, another computer on the server."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final, Protocol

from models import watching
from models.storage.address import Server
from models.watching.heard import AwayError, Heard, Line, Told

AGAIN_S: Final = 1.0
"""Seconds between two tries to reach a workshop that is not there, or not any more."""
GATHER_S: Final = 0.1
"""Seconds between two tellings, so that a burst of bookings is told in few."""


class Source(Protocol):
    """A database as it is watched. All but `wake` is called from one thread."""

    def look(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """Rows of a statement, as `heard.Look`. Raises `AwayError`."""
        ...

    def open(self) -> None:
        """Reach it. Raises `AwayError`."""
        ...

    def wait(self) -> bool:
        """Rest a while; whether something may have been booked. Raises `AwayError`."""
        ...

    def wake(self) -> None:
        """End a wait, now and from now on; from any thread."""
        ...

    def close(self) -> None:
        """Let go of it."""
        ...


class Watch:
    """One workshop, watched by one thread: `for heard in watch.heard()` ends once another thread calls `stop`.

    It needs no SQLAlchemy and writes nothing. A workshop that is not there yet, or of another schema, is tried again
    until it is; that is no loss and nothing is told of it. Raises ImportError for a server without its driver.
    """

    def __init__(self, place: Path | Server) -> None:
        self._source: Source = (
            watching.on_server.ServerSource(place) if isinstance(place, Server) else watching.in_file.FileSource(place)
        )
        self._told = Told()
        self._stop = threading.Event()
        self.ready = threading.Event()
        """Set once it watches: what is booked from then on is told."""

    def stop(self) -> None:
        """End it; from any thread."""
        self._stop.set()
        self._source.wake()

    def heard(self) -> Iterator[Heard]:
        """What was booked by anybody since this began, as it is booked; and when the way there is lost and back.

        What one `Heard` tells, none tells again. Blocks between two; all of it runs in the caller's thread.
        """
        lost = False
        try:
            while not self._stop.is_set():
                try:
                    self._source.open()
                    yield from self._first(lost)
                    lost = False
                    yield from self._following()
                except AwayError:
                    self._source.close()
                    if self._told.begun and not lost:
                        lost = True
                        yield Heard(line=Line.LOST)
                    self._stop.wait(AGAIN_S)
        finally:
            self._source.close()

    def _first(self, lost: bool) -> Iterator[Heard]:
        """Begin, or catch up with what was booked while nobody could look."""
        if not self._told.begun:
            self._told.begin(self._source.look)
            self.ready.set()
            return
        booked = self._told.news(self._source.look)
        if booked or lost:
            yield Heard(booked, Line.BACK if lost else Line.UP)

    def _following(self) -> Iterator[Heard]:
        while not self._stop.is_set():
            if self._source.wait() and (booked := self._told.news(self._source.look)):
                yield Heard(booked)
                self._stop.wait(GATHER_S)
