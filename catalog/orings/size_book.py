"""The sizes that a question is asked of: the built-in ones, or these with a shop's own rows among them.

A shop's row with the key of a built-in one stands in its place (confirmed or corrected, see `own_table`); any other is
one more size. A book is made once and handed on: it is compared by identity, so that what is worked out of it is kept.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from operator import attrgetter
from typing import TYPE_CHECKING, Final

from catalog.orings.same_ring import SHARE, apart
from catalog.orings.sizes import RingSize, all_sizes

if TYPE_CHECKING:
    from catalog.orings.groove_book import GrooveBook

CLOSE_MM: Final = 1.0
"""Rings further apart in ID than this are not compared: a third of the widest tolerance is less."""


@dataclass(frozen=True, eq=False)
class SizeBook:
    """Every size there is, by ID, then by width; `own`: the rows that are the shop's word.

    `grooves`: where they sit, where the shop has grooves or ports of its own; None: in our tables' alone.
    """

    sizes: tuple[RingSize, ...]
    own: tuple[RingSize, ...] = ()
    grooves: GrooveBook | None = None

    @cached_property
    def _keys(self) -> Mapping[str, RingSize]:
        return {size.key: size for size in self.sizes}

    @cached_property
    def _by_id(self) -> tuple[list[float], list[int]]:
        """Every size's ID in mm, the smallest first, and its place among the sizes."""
        in_order = sorted((one.id_mm, place) for place, one in enumerate(self.sizes))
        return [inner for inner, _ in in_order], [place for _, place in in_order]

    @cached_property
    def _same(self) -> dict[str, tuple[str, ...]]:
        return {}

    def same_rings(self, key: str) -> tuple[str, ...]:
        """The keys of the other names of a size's ring: no reading could tell them apart. None where it is unknown."""
        if key not in self._same:
            self._same[key] = self._same_rings(key)
        return self._same[key]

    def _same_rings(self, key: str) -> tuple[str, ...]:
        size = self.by_key(key)
        if size is None:
            return ()
        ids, places = self._by_id
        within = range(bisect_right(ids, size.id_mm - CLOSE_MM), bisect_left(ids, size.id_mm + CLOSE_MM))
        near = (self.sizes[place] for place in sorted(places[at] for at in within))
        return tuple(one.key for one in near if one.key != key and apart(one, size) <= SHARE)

    def by_key(self, key: str) -> RingSize | None:
        """The size with this `RingSize.key`, or None."""
        return self._keys.get(key)


@cache
def built_in() -> SizeBook:
    """The sizes of our own tables, and no more."""
    return SizeBook(all_sizes())


def with_own(own: Iterable[RingSize], grooves: GrooveBook | None = None) -> SizeBook:
    """The built-in sizes with these rows of a shop's own; of two rows with one key the later holds.

    `grooves`: with the shop's own; None: it has none.
    """
    said = {size.key: size for size in own}
    if not said and grooves is None:
        return built_in()
    rows = tuple(said.values())
    sizes = [said.pop(size.key, size) for size in all_sizes()]
    sizes += said.values()
    sizes.sort(key=attrgetter("id_mm", "cross_section_mm"))
    return SizeBook(tuple(sizes), rows, grooves)
