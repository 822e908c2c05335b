"""How far an import is, and stopping it: asked every few thousand rows."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Final, NamedTuple

from models.errors import WorkshopError

EVERY: Final = 2000
"""Rows between two looks at progress and cancel."""


LOOK_SECONDS: Final = 0.2
"""Between two looks while one long statement runs."""
_STEPS: Final = 50_000
"""Of SQLite's own machine, some milliseconds."""


class Progress(NamedTuple):
    """The step (`reading`, `comparing`, `writing`), rows done in it, and the part done (0 to 1) where it is known."""

    step: str
    rows: int
    part: float | None


class CancelledError(WorkshopError):
    """The person stopped the import. Nothing was changed."""

    title = "Stopped"


Watch = Callable[[Progress], bool | None]
"""Called every few thousand rows; answers True to stop."""


def tell(watch: Watch | None, step: str, rows: int, part: float | None) -> None:
    """Tell the watcher. Raises `CancelledError` when it says stop."""
    if watch is not None and watch(Progress(step, rows, part)):
        raise _stopped()


def _stopped() -> CancelledError:
    return CancelledError("The import was stopped.", "The list is as it was before.")


@contextmanager
def stoppable(connection: Any, watch: Watch | None, at: Callable[[], Progress]) -> Iterator[None]:
    """Ask the watcher again and again while the block's statements run; break off the one at work when it says stop.

    `connection` is the driver's own, of SQLite or PostgreSQL; there the watcher is asked from another thread. `at` says
    how far the import is. Raises `CancelledError`; what the statement had done, the transaction takes back.
    """
    if watch is None:
        yield
        return
    look = _Look(watch, at)
    try:
        if isinstance(connection, sqlite3.Connection):
            connection.set_progress_handler(look, _STEPS)
            try:
                yield
            finally:
                connection.set_progress_handler(None, 0)
        else:
            with _looking(look, connection):
                yield
    except Exception as fault:
        if look.stopped and not isinstance(fault, CancelledError):
            raise _stopped() from fault
        raise
    if look.stopped:  # the statement was quicker
        raise _stopped()


def now_and_then(watch: Watch | None, at: Callable[[], Progress]) -> Callable[[], None]:
    """What a long loop calls at every turn: the watcher is asked not too often. Raises `CancelledError`."""
    if watch is None:
        return lambda: None
    look = _Look(watch, at)

    def ask() -> None:
        if look():
            raise _stopped()

    return ask


class _Look:
    """Asks the watcher, not too often; remembers that it said stop."""

    def __init__(self, watch: Watch, at: Callable[[], Progress]) -> None:
        self._watch = watch
        self._at = at
        self._next = time.monotonic() + LOOK_SECONDS
        self.stopped = False

    def __call__(self) -> bool:
        if not self.stopped and time.monotonic() >= self._next:
            self._next = time.monotonic() + LOOK_SECONDS
            self.stopped = bool(self._watch(self._at()))
        return self.stopped


@contextmanager
def _looking(look: _Look, connection: Any) -> Iterator[None]:
    over = threading.Event()

    def work() -> None:
        while not over.wait(LOOK_SECONDS):
            if look():
                connection.cancel()
                return

    looking = threading.Thread(target=work, name="import-watch", daemon=True)
    looking.start()
    try:
        yield
    finally:
        over.set()
        looking.join()
