"""Whose turn it is to write into a SQLite file: the programs of one user on one computer, in the order they came.

SQLite lets whoever asks at the right instant go first, so with many programs one may wait in vain. Here each draws a
number and holds a lock on the byte of that number; it is its turn once no lower byte is locked. Locks of a program that
was killed are gone with it. Where this can't be had (Windows, no folder for temporary files), SQLite alone decides.
"""

from __future__ import annotations

import os
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path
from typing import Final

assert sys.platform != "win32"  # it has no such locks; this module isn't imported there
import fcntl  # noqa: E402

LOOK_SECONDS: Final = 0.002
"""Between two looks whether it is our turn. Who looks more often gains nothing."""
_NUMBER: Final = 8
"""Bytes of the last number drawn, and after them of the number whose turn it was last."""
_GUARD, _FIRST = 2 * _NUMBER, 1024
"""The byte that is locked while a number is drawn, and the byte of number 0."""


@contextmanager
def turn(file: Path, seconds: float) -> Iterator[None]:
    """Wait for our turn at the file, and leave the queue when the block ends.

    Once nobody's turn has come for so many seconds, the block begins out of turn: SQLite's own lock has the last word.
    """
    queue = _queue_of(file)
    if queue is None or not queue.threads.acquire(timeout=seconds):
        yield
        return
    number: int | None = None
    try:
        with suppress(OSError):
            number = queue.draw()
            queue.wait(number, seconds)
        yield
    finally:
        if number is not None:
            queue.leave(number)
        queue.threads.release()


class Queue:
    """The queue at one file, as one program sees it. `threads`: only one of its threads stands in it at a time."""

    def __init__(self, handle: int) -> None:
        self._handle = handle
        self.threads = threading.Lock()

    def drawn(self) -> int:
        """The last number that anybody drew; 0 where nobody did."""
        return self._read(0)

    def draw(self) -> int:
        """Draw the next number and stand in the queue with it. Raises OSError."""
        self._lock(_GUARD, 1, wait=True)
        try:
            number = self.drawn() + 1
            self._lock(_FIRST + number, 1, wait=True)
            os.pwrite(self._handle, number.to_bytes(_NUMBER, "little"), 0)
            return number
        finally:
            self._unlock(_GUARD, 1)

    def wait(self, number: int, seconds: float) -> None:
        """Wait until everybody with a lower number has left, or nobody's turn has come for so long. Raises OSError."""
        last, until = self._read(_NUMBER), time.monotonic() + seconds
        while not self._lock(_FIRST, number, wait=False):
            if (now := self._read(_NUMBER)) != last:
                last, until = now, time.monotonic() + seconds
            if time.monotonic() >= until:
                return
            time.sleep(LOOK_SECONDS)
        self._unlock(_FIRST, number)
        os.pwrite(self._handle, number.to_bytes(_NUMBER, "little"), _NUMBER)

    def leave(self, number: int) -> None:
        """Our turn is over."""
        with suppress(OSError):
            self._unlock(_FIRST + number, 1)

    def _read(self, at: int) -> int:
        return int.from_bytes(os.pread(self._handle, _NUMBER, at), "little")

    def _lock(self, start: int, length: int, *, wait: bool) -> bool:
        """Lock some bytes; whether that could be done. Raises OSError."""
        try:
            fcntl.lockf(self._handle, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB, length, start)
        except (BlockingIOError, PermissionError):  # what POSIX allows for "somebody else has it"
            return False
        return True

    def _unlock(self, start: int, length: int) -> None:
        fcntl.lockf(self._handle, fcntl.LOCK_UN, length, start)


def _queue_of(file: Path) -> Queue | None:
    try:
        seen = file.stat()
        # Locks end with the program, so each program has its own queue, one of a fork as well.
        return _queue(
            f"kitwright-turns-{os.geteuid()}-{seen.st_dev:x}-{seen.st_ino:x}", tempfile.gettempdir(), os.getpid()
        )
    except OSError:
        return None


@cache
def _queue(name: str, folder: str, _program: int) -> Queue:
    """Opened once and never closed: closing any handle of a file would end all locks of the program on it."""
    handle = os.open(Path(folder) / name, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
    if os.fstat(handle).st_uid != os.geteuid():
        os.close(handle)
        raise PermissionError(name)
    return Queue(handle)
