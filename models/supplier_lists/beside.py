"""A long list is made ready to write in a process of its own, beside the writing, where there are two processors.

The process reads the file on the side, prepares batch after batch and hands each over; it never sees the workshop. It
ends when it has handed over the last, and when nobody takes them any more.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Final

from models.errors import WorkshopError
from models.supplier_lists.batches import Batch, Preparer
from models.supplier_lists.changes import steps
from models.supplier_lists.progress import LOOK_SECONDS, Progress, Watch, no_cycles, tell
from models.supplier_lists.scratch import Scratch

LONG: Final = 50_000
"""From so many lines on the second process is worth its start, half a second."""


class ImportBrokenError(WorkshopError):
    """The process that prepares the rows ended before its time."""

    title = "The import broke off"


@contextmanager
def batches(
    scratch: Scratch, prepare: Preparer, entries: int, watch: Watch | None, at: Callable[[], Progress]
) -> Iterator[Iterator[Batch]]:
    """Everything that changes, in batches, each prepared while the one before is written; short lists in one go.

    `at` says how far the import is. Raises `CancelledError` when `watch` says stop, `ImportBrokenError` when the
    process ends early.
    """
    process, receive = _start(scratch, prepare) if entries >= LONG and (os.cpu_count() or 1) > 1 else (None, None)
    if process is None or receive is None:
        yield prepare.batches(steps(scratch))
        return
    try:
        yield _received(receive, watch, at)
    finally:
        receive.close()
        process.kill()
        process.join()


def _start(scratch: Scratch, prepare: Preparer) -> tuple[BaseProcess | None, Connection | None]:
    """The process at work and where its batches come from; nothing where the system gives us none."""
    context = multiprocessing.get_context("spawn")
    receive, send = context.Pipe(duplex=False)
    process = context.Process(target=_work, args=(str(scratch.lent()), prepare, send), daemon=True)
    try:
        process.start()
    except OSError:
        receive.close()
        return None, None
    finally:
        send.close()
    return process, receive


def _received(receive: Connection, watch: Watch | None, at: Callable[[], Progress]) -> Iterator[Batch]:
    while True:
        try:
            while not receive.poll(LOOK_SECONDS):
                tell(watch, *at())
            batch = receive.recv()
        except (EOFError, ConnectionError) as gone:
            raise ImportBrokenError(
                "The process that prepares the rows ended.", "The list is as it was before; try again."
            ) from gone
        if batch is None:
            return
        yield batch


def _work(file: str, prepare: Preparer, send: Connection) -> None:
    scratch = Scratch(Path(file))
    with suppress(ConnectionError), no_cycles():  # nobody takes them any more: the import was stopped, or killed
        for batch in prepare.batches(steps(scratch)):
            send.send(batch)
        send.send(None)
    scratch.close()
