"""Rows made ready to write, some thousands at a time: their search words, what is read in their text, their old prices.

No database here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from operator import itemgetter
from typing import Any, Final, NamedTuple

from models.search.many_terms import compact_many, indexed_many, with_grams_many
from models.search.terms import compact, indexed, with_grams
from models.supplier_lists.entries import Entry, Kept
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
_OFTEN_THE_SAME: Final = ("min_packs", "price_per", "currency", "breaks", "lead_days", "gtin")
"""Columns of an entry that are one in most lists."""
FIGURES: Final = (*Entry._fields[2:], "priced_list_id")
NAMED: Final = (
    *FIGURES,
    "name",
    "words",
    "fluids",
    *COLUMNS[COLUMNS.index("size_key") : COLUMNS.index("reading_state") + 1],
)
OLD_PRICES: Final = ("row_id", "price_minor", "price_per", "currency", "breaks", "from_list_id", "until_list_id")
_KEPT: Final = tuple(enumerate(Entry._fields[2:], 3))
"""Where in a kept row these are."""
_OFTEN: Final = itemgetter(*(at for at, name in _KEPT if name in _OFTEN_THE_SAME))
_NONE, _READ = ReadingState.NONE.value, ReadingState.READ.value
_NOTHING_READ: Final = (None, None, None, "", None, "", None, None, _NONE)
_PRICE: Final = slice(Entry._fields.index("price_minor"), Entry._fields.index("breaks") + 1)


@dataclass(slots=True)
class Batch:
    """Rows in the order of the columns above; `changed` and `renamed` end with the row's id.

    `same`: columns that are one in all rows added, which leave them out: that is half of a row.
    `back`: ids among the renamed that were withdrawn and are listed again. `seen`: lines of the file behind all this.
    """

    added: list[tuple[Any, ...]] = field(default_factory=list)
    same: Mapping[str, Any] = field(default_factory=dict)
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
        new: list[Kept] = []
        for step in some:
            if step.after is None:
                batch.withdrawn.append(step.row_id)
                continue
            batch.seen += 1
            if step.before is None:
                new.append((step.after[0], step.line, *step.after[1:]))
            elif does(step) is not None:
                self._changed(batch, step, step.before, step.after)
        batch.added, batch.same = self._new(new)
        return batch

    def all_new(self, rows: list[Kept]) -> Batch:
        """The same where the database has none of these rows."""
        added, same = self._new(rows)
        return Batch(added=added, same=same, seen=len(rows))

    def _new(self, rows: list[Kept]) -> tuple[list[tuple[Any, ...]], dict[str, Any]]:
        """Rows to add, and the columns that are the same in all of them."""
        numbers, names = [row[0] for row in rows], [row[2] for row in rows]
        squeezed, words = compact_many(numbers), indexed_many(numbers, names)
        if self.postgresql:
            words = with_grams_many(words, squeezed)
        same = {"supplier_id": self.supplier_id, "added_list_id": self.list_id, "priced_list_id": self.list_id}
        said_once = set(map(_OFTEN, rows))
        if len(said_once) == 1:
            same |= dict(zip(_OFTEN_THE_SAME, said_once.pop(), strict=True))
        rest = itemgetter(*(at for at, name in _KEPT if name not in same))
        return [
            (row[0], short, row[2], said, None, *rest(row), *_NOTHING_READ)
            if empty
            else (row[0], short, row[2], said, _in_text(row[2]).fluids, *rest(row), *_read(row[2], row[0]))
            for row, short, said, empty in zip(rows, squeezed, words, say_nothing(names), strict=True)
        ], same

    def _changed(self, batch: Batch, step: Step, before: Entry, after: Entry) -> None:
        old, new = tuple(before)[_PRICE], tuple(after)[_PRICE]
        priced_now = new != old or step.was_withdrawn
        if priced_now and step.priced_list_id < self.list_id:
            batch.old_prices.append((step.row_id, *old, step.priced_list_id, self.list_id))
        figures = (*after[2:], self.list_id if priced_now else step.priced_list_id)
        if after.name != before.name or step.was_withdrawn:
            words = self._words(after, compact(after.number))
            batch.renamed.append(
                (
                    *figures,
                    after.name,
                    words,
                    _in_text(after.name).fluids,
                    *_read(after.name, after.number),
                    step.row_id,
                )
            )
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


def _read(name: str, number: str) -> tuple[Any, ...]:
    """What is read in a row's free text, in the order of its columns."""
    known = _in_text(name).columns
    return _columns(recognise(name, number)) if known is None else known


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
