"""Work on a long list that two processes share: the one that writes takes every so-manieth part, the other the rest."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from itertools import chain, count
from typing import NamedTuple, TypeVar

from models.supplier_lists.beside import Parts

Part = TypeVar("Part")


class Turns(NamedTuple):
    """Whose turn it is: every `one_in`-th part is ours, from the first on; `ours`: it is we who ask."""

    one_in: int
    ours: bool

    def takes(self, at: int) -> bool:
        """Whether the one who asks takes the part in this place, from 0."""
        return (at % self.one_in == 0) is self.ours


ALL = Turns(1, True)


def in_order(ours: Iterator[Part], theirs: Parts[Part], one_in: int, *, most: int) -> Iterator[Part]:
    """All parts in their order. While the next of theirs is being made, ours are made ahead, and kept: so many at most.

    The other process takes a third of a second to start.
    """
    ahead: deque[Part] = deque()
    for at in count():
        if at % one_in == 0:
            part = ahead.popleft() if ahead else next(ours, None)
        else:
            while len(ahead) < most and not theirs.ready() and (more := next(ours, None)) is not None:
                ahead.append(more)
            part = next(theirs, None)
        if part is None:
            break
        yield part
    yield from chain(ahead, ours, theirs)
