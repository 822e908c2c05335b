"""The sizes of a book as arrays, worked out once: dimensions, and which of them may go by another's name."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from catalog.orings.box.normal import Floats, Places
from catalog.orings.posterior import id_tolerance
from catalog.orings.same_ring import LEAD, SHARE, apart
from catalog.orings.size_book import SizeBook


class Sizes(NamedTuple):
    """By place in the book. `by_key`: its place among the keys in order; `by_lead`: among those whose name goes first.

    `leaders`: for each size those whose name it may go by, the nearest first, -1 where there are no more.
    `id_tolerance`: see `posterior`.
    """

    id_mm: Floats
    id_tol_mm: Floats
    width_mm: Floats
    width_tol_mm: Floats
    by_key: Places
    by_lead: Places
    leaders: Places
    id_tolerance: float


@lru_cache(maxsize=4)
def arrays_of(book: SizeBook) -> Sizes:
    """The book's sizes as arrays."""
    sizes = book.sizes
    made = np.array([(one.id_mm, one.id_tol_mm, one.cross_section_mm, one.cross_section_tol_mm) for one in sizes])
    by_key, by_lead = np.empty(len(sizes), dtype=np.int64), np.empty(len(sizes), dtype=np.int64)
    by_key[sorted(range(len(sizes)), key=lambda at: sizes[at].key)] = np.arange(len(sizes))
    by_lead[sorted(range(len(sizes)), key=lambda at: (LEAD.index(sizes[at].series), sizes[at].key))] = np.arange(
        len(sizes)
    )
    found = _leaders(book)
    leaders = np.full((len(sizes), max(map(len, found), default=0)), -1, dtype=np.int64)
    for at, row in enumerate(found):
        leaders[at, : len(row)] = row
    return Sizes(made[:, 0], made[:, 1], made[:, 2], made[:, 3], by_key, by_lead, leaders, id_tolerance(book))


def _leaders(book: SizeBook) -> list[list[int]]:
    """As `same_ring.gather` chooses: only a size that goes first may lead; the nearest does, the last of equals."""
    sizes = book.sizes
    ids = [size.id_mm for size in sizes]
    order = {at: (LEAD.index(size.series), size.key) for at, size in enumerate(sizes)}
    found = []
    for at, size in enumerate(sizes):
        reach = SHARE * size.id_tol_mm
        near = range(bisect_left(ids, size.id_mm - reach), bisect_right(ids, size.id_mm + reach))
        rows = [
            (distance, other)
            for other in near
            if order[other] < order[at] and (distance := apart(sizes[other], size)) <= SHARE
        ]
        rows.sort(key=lambda row: (row[0], [-ids[row[1]]], _backwards(sizes[row[1]].key)))
        found.append([other for _, other in rows])
    return found


def _backwards(key: str) -> list[int]:
    return [-ord(letter) for letter in key]
