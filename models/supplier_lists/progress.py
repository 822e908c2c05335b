"""How far an import is, and stopping it: asked every few thousand rows."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final, NamedTuple

from models.errors import WorkshopError

EVERY: Final = 2000
"""Rows between two looks at progress and cancel."""


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
        raise CancelledError("The import was stopped.", "The list is as it was before.")


@contextmanager
def no_cycles() -> Iterator[None]:
    """Millions of plain tuples hold no cycles: without its collector Python passes them in two thirds of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
