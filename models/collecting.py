"""The cycle collector, held while many plain rows are made."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def no_cycles() -> Iterator[None]:
    """Plain rows hold no cycles: without its collector Python makes many of them in two thirds of the time.

    The collector walks all that is alive each time, so that it is what grows faster than the rows. Two at once end with
    it on, whichever ends first.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
