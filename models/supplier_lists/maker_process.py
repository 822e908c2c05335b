"""Work on a long list in a process of its own, beside the one that writes, where there are two processors.

The process makes part after part and hands each over; it never sees the workshop. It ends when it has handed over the
last, and when nobody takes them any more.
"""

from __future__ import annotations

import multiprocessing
import os
import pickle
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from queue import Queue
from typing import Any, Final, Generic, Protocol, TypeVar

from models.errors import WorkshopError
from models.supplier_lists.progress import LOOK_SECONDS, Progress, Watch, no_cycles, tell

LONG: Final = 50_000
"""From so many lines on the second process is worth its start, half a second."""
AHEAD: Final = 12
"""Parts made and not taken yet, each under a megabyte: they are taken unevenly."""
_OVER: Final = b""
Given = TypeVar("Given")
Part = TypeVar("Part")


class ImportBrokenError(WorkshopError):
    """The process beside ended before its time."""

    title = "The import broke off"


class Receiving(Protocol):
    """The end of a pipe that parts come out of: a socket pair, or a named pipe on Windows."""

    def recv(self) -> Any:
        """The next part, waited for."""

    def poll(self, timeout: float | None = 0.0, /) -> bool:
        """Whether a part lies there within so many seconds."""

    def close(self) -> None:
        """Take no more."""


class Parts(Generic[Part]):
    """What is made, part after part; here, when it is asked for."""

    def __init__(self, made: Iterator[Part]) -> None:
        self._made = made

    def __iter__(self) -> Iterator[Part]:
        return self

    def __next__(self) -> Part:
        return next(self._made)

    def ready(self) -> bool:
        """Whether nobody else is at work on the next one."""
        return True


class _Received(Parts[Part]):
    """What the process beside makes."""

    def __init__(self, receive: Receiving, watch: Watch | None, at: Callable[[], Progress]) -> None:
        super().__init__(self._all())
        self._receive = receive
        self._watch = watch
        self._at = at

    def ready(self) -> bool:
        return self._lies_there(0)

    def _all(self) -> Iterator[Part]:
        while True:
            while not self._lies_there(LOOK_SECONDS):
                tell(self._watch, *self._at())
            try:
                part = self._receive.recv()
            except (EOFError, OSError) as gone:
                raise _broken() from gone
            if part is None:
                return
            if isinstance(part, Exception):
                raise part
            yield part

    def _lies_there(self, seconds: float) -> bool:
        """Whether something lies in the pipe, or it was closed."""
        try:
            return self._receive.poll(seconds)
        except OSError as gone:
            raise _broken() from gone


def _broken() -> ImportBrokenError:
    return ImportBrokenError("The process that prepares the rows ended.", "The list is as it was before; try again.")


@contextmanager
def beside(
    make: Callable[[Given], Iterator[Part]],
    given: Given,
    *,
    lines: int,
    watch: Watch | None,
    at: Callable[[], Progress],
) -> Iterator[Parts[Part]]:
    """What `make`, a function of a module, makes of what it is given; in one go where there are not many lines.

    `at` says how far the import is. What goes wrong there is raised here. Raises `CancelledError` when `watch` says
    stop, `ImportBrokenError` when the process ends early.
    """
    process, receive = _start(make, given) if is_worth_two(lines) else (None, None)
    if process is None or receive is None:
        yield Parts(make(given))
        return
    try:
        yield _Received(receive, watch, at)
    finally:
        receive.close()
        process.kill()
        process.join()


def is_worth_two(lines: int) -> bool:
    """Whether so many lines are work for two processes here."""
    return lines >= LONG and (os.cpu_count() or 1) > 1


def _start(make: Callable[[Any], Iterator[Any]], given: Any) -> tuple[BaseProcess | None, Receiving | None]:
    """The process at work and where its parts come from; nothing where the system gives us none."""
    context = multiprocessing.get_context("spawn")
    receive, send = context.Pipe(duplex=False)
    process = context.Process(target=_work, args=(make, given, send), daemon=True)
    try:
        # The number of `sys.stderr` is handed on; where an app has put its own in the way, that is -1, no file at all.
        with redirect_stderr(sys.__stderr__):
            process.start()
    except (OSError, ValueError):
        receive.close()
        return None, None
    finally:
        send.close()
    return process, receive


def _work(make: Callable[[Any], Iterator[Any]], given: Any, send: Connection) -> None:
    made: Queue[bytes] = Queue(maxsize=AHEAD)
    sending = threading.Thread(target=_send, args=(made, send), daemon=True)
    sending.start()
    last: Exception | None = None
    try:
        with no_cycles():
            for part in make(given):
                made.put(pickle.dumps(part, pickle.HIGHEST_PROTOCOL))
    except Exception as fault:  # whatever it is, the process that asked says it
        last = fault
    made.put(pickle.dumps(last))
    made.put(_OVER)
    sending.join()


def _send(made: Queue[bytes], send: Connection) -> None:
    """Hand over in a thread: the next parts are made while the one before still waits to be taken."""
    try:
        while part := made.get():
            send.send_bytes(part)
    except ConnectionError:
        os._exit(0)  # nobody takes them any more: the import was stopped, or killed
