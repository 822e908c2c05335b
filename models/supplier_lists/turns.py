"""Work on a long list that two processes share: the one that writes takes every so-manieth part, the other the rest."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
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


def in_turns(ours: Iterator[Part], theirs: Parts[Part]) -> Iterator[Part]:
    """Both: ours while theirs are still being made."""
    for part in ours:
        yield part
        while theirs.ready():
            yield from islice(theirs, 1)
    yield from theirs
