"""Work on a long list that two processes share: each claims the next part when it has time, and the order is kept."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import TypeVar

from models.supplier_lists.maker_process import Parts

Part = TypeVar("Part")
Placed = tuple[int, Part]
"""A part and its place among all, from 0."""


class Claims:
    """Who does which part: whoever asks first. One alone needs no folder."""

    def __init__(self, folder: Path | None = None) -> None:
        """`folder`: where two processes leave a file for each part they claim. A lock would die with its holder."""
        self._folder = folder
        self._next = 0

    def take(self) -> int:
        """The place of the next part that nobody has claimed; there may be no such part any more."""
        while True:
            at, self._next = self._next, self._next + 1
            if self._folder is None:
                return at
            try:
                (self._folder / str(at)).touch(exist_ok=False)
            except FileExistsError:
                continue
            return at


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
