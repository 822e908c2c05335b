"""The sizes that a question is asked of: the built-in ones, or these with a shop's own rows among them.

A shop's row with the key of a built-in one stands in its place (confirmed or corrected, see `own_table`); any other is
one more size. A book is made once and handed on: it is compared by identity, so that what is worked out of it is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from operator import attrgetter

from catalog.orings.sizes import RingSize, all_sizes


@dataclass(frozen=True, eq=False)
class SizeBook:
    """Every size there is, by ID, then by width; `own`: the rows that are the shop's word."""

    sizes: tuple[RingSize, ...]
    own: tuple[RingSize, ...] = ()

    @cached_property
    def _keys(self) -> Mapping[str, RingSize]:
        return {size.key: size for size in self.sizes}

    def by_key(self, key: str) -> RingSize | None:
        """The size with this `RingSize.key`, or None."""
        return self._keys.get(key)


@cache
def built_in() -> SizeBook:
    """The sizes of our own tables, and no more."""
    return SizeBook(all_sizes())


def with_own(own: Iterable[RingSize]) -> SizeBook:
    """The built-in sizes with these rows of a shop's own; of two rows with one key the later holds."""
    said = {size.key: size for size in own}
    if not said:
        return built_in()
    rows = tuple(said.values())
    sizes = [said.pop(size.key, size) for size in all_sizes()]
    sizes += said.values()
    sizes.sort(key=attrgetter("id_mm", "cross_section_mm"))
    return SizeBook(tuple(sizes), rows)
