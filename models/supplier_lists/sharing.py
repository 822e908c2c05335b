"""Work on a long list that two processes share: each claims the next part when it has time, and the order is kept."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from multiprocessing import get_context
from typing import TYPE_CHECKING, Final, TypeVar

from models.supplier_lists.beside import Parts, broken, is_worth_two

if TYPE_CHECKING:
    from multiprocessing.sharedctypes import Synchronized

_PATIENCE_S: Final = 10.0
"""A claim takes microseconds; whoever holds the counter for so long will never let go of it."""
Part = TypeVar("Part")
Placed = tuple[int, Part]
"""A part and its place among all, from 0."""


class Claims:
    """Who does which part: whoever asks first."""

    def __init__(self, shared: Synchronized[int] | None = None) -> None:
        """`shared`: where two processes count; None: for one alone."""
        self._shared = shared
        self._next = 0

    def take(self) -> int:
        """The place of the next part that nobody has claimed; there may be no such part any more.

        Raises `ImportBrokenError` where the other process was ended in the middle of claiming one.
        """
        if self._shared is None:
            self._next += 1
            return self._next - 1
        lock = self._shared.get_lock()
        if not lock.acquire(timeout=_PATIENCE_S):
            raise broken()
        try:
            self._shared.value += 1
            return self._shared.value - 1
        finally:
            lock.release()


def shared(lines: int) -> Claims | None:
    """Claims for two processes; None where so many lines are work for one, or the system has nothing to count with."""
    if not is_worth_two(lines):
        return None
    try:
        return Claims(get_context("spawn").Value("q", 0))
    except OSError:
        return None


def in_order(ours: Iterator[Placed[Part]], theirs: Parts[Placed[Part]], *, most: int) -> Iterator[Part]:
    """All parts in their order. While none of theirs lies there, ours are made, and kept till then: `most` of them."""
    made: dict[int, Part] = {}
    came: dict[int, Part] = {}
    for at in count():
        while at not in made and at not in came:
            if len(made) < most and not theirs.ready() and (found := next(ours, None)) is not None:
                made[found[0]] = found[1]
            elif (found := next(theirs, None)) is not None:
                came[found[0]] = found[1]
            elif (found := next(ours, None)) is not None:
                made[found[0]] = found[1]
            else:
                return
        yield made.pop(at) if at in made else came.pop(at)
