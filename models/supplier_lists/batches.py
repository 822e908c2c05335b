"""Rows made ready to write, some thousands at a time: their search words, what is read in their text, their old prices.

No database here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Final, NamedTuple

from models.search.many_terms import compact_many, indexed_many
from models.search.terms import compact, indexed, with_grams
from models.supplier_lists.entries import Entry
from models.supplier_lists.merge_walk import Step
from models.supplier_lists.read_fluid import fluids_in
from models.supplier_lists.read_ring import is_ring
from models.supplier_lists.recognise import LONGEST, NOTHING, Recognised, recognise
from models.supplier_lists.says_nothing import say_nothing
from models.supplier_lists.words import Does, ReadingState

SIZE: Final = 5000
TEXTS_KEPT: Final = 50_000
"""What was read of so many texts is kept (15 MB): a list says the same of many rows, and reading takes the longest."""
COLUMNS: Final = (
    *("supplier_id", "number", "compact", "name", "words", "fluids", *Entry._fields[2:], "size_key"),
    *(
        "ring_id_100nm",
        "ring_width_100nm",
        "rubber",
        "hardness_shore_a",
        "thread",
        "volume_ul",
        "reading_ppm",
        "reading_state",
    ),
    *("added_list_id", "priced_list_id"),
)
FIGURES: Final = (*Entry._fields[2:], "priced_list_id")
NAMED: Final = (
    *FIGURES,
    "name",
    "words",
    "fluids",
    *COLUMNS[COLUMNS.index("size_key") : COLUMNS.index("reading_state") + 1],
)
OLD_PRICES: Final = ("row_id", "price_minor", "price_per", "currency", "breaks", "from_list_id", "until_list_id")
_NONE, _READ = ReadingState.NONE.value, ReadingState.READ.value
_NOTHING_READ: Final = (None, None, None, "", None, "", None, None, _NONE)
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
    seen: int = 0

    @property
    def counts(self) -> dict[Does, int]:
        """How many rows it does what to."""
        back = len(self.back)
        return {
            Does.ADDED: len(self.added) + back,
            Does.CHANGED: len(self.changed) + len(self.renamed) - back,
            Does.WITHDRAWN: len(self.withdrawn),
        }


def does(step: Step) -> Does | None:
    """What a line means for its row; None: nothing changes."""
    if step.after is None:
        return Does.WITHDRAWN
    if step.before is None or step.was_withdrawn:
        return Does.ADDED
    return Does.CHANGED if step.before != step.after else None


class Preparer(NamedTuple):
    """Makes batches of what is to be written for one list."""

    supplier_id: int
    list_id: int
    postgresql: bool

    def batch(self, some: Iterable[Step]) -> Batch:
        """What changes in these rows."""
        batch = Batch()
        new: list[Entry] = []
        for step in some:
            if step.after is None:
                batch.withdrawn.append(step.row_id)
                continue
            batch.seen += 1
            if step.before is None:
                new.append(step.after)
            elif does(step) is not None:
                self._changed(batch, step, step.before, step.after)
        batch.added = self._new(new)
        return batch

    def all_new(self, entries: list[Entry]) -> Batch:
        """The same where the database has none of these rows."""
        return Batch(added=self._new(entries), seen=len(entries))

    def _new(self, entries: list[Entry]) -> list[tuple[Any, ...]]:
        numbers, names = [entry[0] for entry in entries], [entry[1] for entry in entries]
        squeezed, words = compact_many(numbers), indexed_many(numbers, names)
        if self.postgresql:
            words = list(map(with_grams, words, squeezed))
        who, lists = self.supplier_id, (self.list_id, self.list_id)
        nothing = (*_NOTHING_READ, *lists)
        return [
            (who, entry[0], short, entry[1], said, None, *entry[2:], *nothing)
            if empty
            else (who, entry[0], short, entry[1], said, _in_text(entry[1]).fluids, *entry[2:], *_read(entry), *lists)
            for entry, short, said, empty in zip(entries, squeezed, words, say_nothing(names), strict=True)
        ]

    def _changed(self, batch: Batch, step: Step, before: Entry, after: Entry) -> None:
        old, new = tuple(before)[_PRICE], tuple(after)[_PRICE]
        priced_now = new != old or step.was_withdrawn
        if priced_now and step.priced_list_id < self.list_id:
            batch.old_prices.append((step.row_id, *old, step.priced_list_id, self.list_id))
        figures = (*after[2:], self.list_id if priced_now else step.priced_list_id)
        if after.name != before.name or step.was_withdrawn:
            words = self._words(after, compact(after.number))
            batch.renamed.append((*figures, after.name, words, _in_text(after.name).fluids, *_read(after), step.row_id))
            if step.was_withdrawn:
                batch.back.add(step.row_id)
        else:
            batch.changed.append((*figures, step.row_id))

    def _words(self, entry: Entry, squeezed: str) -> str:
        words = indexed(entry.number, entry.name)
        return with_grams(words, squeezed) if self.postgresql else words


class _InText(NamedTuple):
    """What one text says: the fluids it names, and the columns of `_read`; None where the part number matters too."""

    fluids: str | None
    columns: tuple[Any, ...] | None


@lru_cache(maxsize=TEXTS_KEPT)
def _in_text(name: str) -> _InText:
    found = recognise(name)
    by_number = found.ring is None and is_ring(name[:LONGEST].upper())
    return _InText(fluids_in(name), None if by_number else _columns(found))


def _read(entry: Entry) -> tuple[Any, ...]:
    """What is read in the row's free text, in the order of its columns."""
    known = _in_text(entry.name).columns
    return _columns(recognise(entry.name, entry.number)) if known is None else known


def _columns(found: Recognised) -> tuple[Any, ...]:
    if found is NOTHING:
        return _NOTHING_READ
    _ring, thread, volume = found
    return (
        *found.ring_columns,
        "" if thread is None else thread.designation,
        None if volume is None else volume.volume_ul,
        found.confidence_ppm,
        _READ,
    )
