"""Rows made ready to write, some thousands at a time: their search words, what is read in their text, their old prices.

No database here: this is the half of the work that can run beside it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from models.search.terms import compact, indexed, with_grams
from models.supplier_lists.changes import Step
from models.supplier_lists.entries import Entry
from models.supplier_lists.recognise import recognise
from models.supplier_lists.words import Does, ReadingState

SIZE: Final = 5000
COLUMNS: Final = (
    *("supplier_id", "number", "compact", "name", "words", *Entry._fields[2:], "size_key", "ring_id_100nm"),
    *("ring_width_100nm", "rubber", "hardness_shore_a", "thread", "volume_ul", "reading_ppm", "reading_state"),
    *("added_list_id", "priced_list_id"),
)
FIGURES: Final = (*Entry._fields[2:], "priced_list_id")
NAMED: Final = (*FIGURES, "name", "words", *COLUMNS[COLUMNS.index("size_key") : COLUMNS.index("reading_state") + 1])
OLD_PRICES: Final = ("row_id", "price_minor", "price_per", "currency", "breaks", "from_list_id", "until_list_id")
_NONE, _READ = ReadingState.NONE.value, ReadingState.READ.value
_PRICE: Final = slice(Entry._fields.index("price_minor"), Entry._fields.index("breaks") + 1)


@dataclass(slots=True)
class Batch:
    """Rows in the order of the columns above; `changed` and `renamed` end with the row's id.

    `back`: ids among the renamed that were withdrawn and are listed again. `seen`: lines of the file behind all this.
    """

    added: list[tuple[Any, ...]] = field(default_factory=list)
    changed: list[tuple[Any, ...]] = field(default_factory=list)
    renamed: list[tuple[Any, ...]] = field(default_factory=list)
    back: set[int] = field(default_factory=set)
    withdrawn: list[int] = field(default_factory=list)
    old_prices: list[tuple[Any, ...]] = field(default_factory=list)
    counts: dict[Does, int] = field(default_factory=lambda: dict.fromkeys(Does, 0))
    seen: int = 0

    @property
    def size(self) -> int:
        """How many rows there are to write."""
        return len(self.added) + len(self.changed) + len(self.renamed) + len(self.withdrawn)


def does(step: Step) -> Does | None:
    """What a line means for its row; None: nothing changes."""
    if step.after is None:
        return Does.WITHDRAWN
    if step.before is None or step.was_withdrawn:
        return Does.ADDED
    return Does.CHANGED if step.before != step.after else None


class Preparer:
    """Makes batches of what is to be written for one list."""

    def __init__(self, supplier_id: int, list_id: int, *, postgresql: bool) -> None:
        self._supplier_id = supplier_id
        self._list_id = list_id
        self._postgresql = postgresql

    def batches(self, steps: Iterator[Step]) -> Iterator[Batch]:
        """Everything that changes, in batches."""
        batch = Batch()
        for step in steps:
            batch.seen += step.line > 0
            what = does(step)
            if what is not None:
                batch.counts[what] += 1
                self._put(batch, step)
            if batch.size >= SIZE or batch.seen >= 4 * SIZE:
                yield batch
                batch = Batch()
        yield batch

    def _put(self, batch: Batch, step: Step) -> None:
        before, after = step.before, step.after
        if after is None:
            batch.withdrawn.append(step.row_id)
        elif before is None:
            batch.added.append(self._new(after))
        else:
            self._changed(batch, step, before, after)

    def _new(self, entry: Entry) -> tuple[Any, ...]:
        squeezed = compact(entry.number)
        found_by = (self._supplier_id, entry.number, squeezed, entry.name, self._words(entry, squeezed))
        return (*found_by, *entry[2:], *_read(entry), self._list_id, self._list_id)

    def _changed(self, batch: Batch, step: Step, before: Entry, after: Entry) -> None:
        old, new = tuple(before)[_PRICE], tuple(after)[_PRICE]
        priced_now = new != old or step.was_withdrawn
        if priced_now and step.priced_list_id < self._list_id:
            batch.old_prices.append((step.row_id, *old, step.priced_list_id, self._list_id))
        figures = (*after[2:], self._list_id if priced_now else step.priced_list_id)
        if after.name != before.name or step.was_withdrawn:
            words = self._words(after, compact(after.number))
            batch.renamed.append((*figures, after.name, words, *_read(after), step.row_id))
            if step.was_withdrawn:
                batch.back.add(step.row_id)
        else:
            batch.changed.append((*figures, step.row_id))

    def _words(self, entry: Entry, squeezed: str) -> str:
        words = indexed(entry.number, entry.name)
        return with_grams(words, squeezed) if self._postgresql else words


def _read(entry: Entry) -> tuple[Any, ...]:
    """What is read in the row's free text, in the order of its columns."""
    found = recognise(entry.name, entry.number)
    sure = found.confidence_ppm
    return (
        *found.ring_columns,
        "" if found.thread is None else found.thread.designation,
        None if found.volume is None else found.volume.volume_ul,
        sure,
        _NONE if sure is None else _READ,
    )
