"""The grooves that a question is asked of: the built-in tables', or these with a shop's own rows among them.

A shop's row that speaks of a built-in one stands in its place (confirmed or corrected, see `own_groove`); any other is
one more groove, and goes before ours: the shop's own machines are what it is asked about. A book is compared by
identity, so that what is worked out of it is kept.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from catalog.orings.groove_rules import row_key
from catalog.orings.own_groove import GrooveTold
from catalog.orings.standard_grooves import GrooveRow, groove_rows


@dataclass(frozen=True, eq=False)
class GrooveBook:
    """Every groove there is. `own`: those that are the shop's word.

    `port_keys`: `RingSize.key` of rings that ports of the shop's own take, beside those of our tables.
    """

    rows: tuple[GrooveRow, ...]
    own: tuple[GrooveRow, ...] = ()
    port_keys: frozenset[str] = frozenset()


@cache
def built_in() -> GrooveBook:
    """The grooves of our own tables, and no more."""
    return GrooveBook(groove_rows())


def with_own(said: Iterable[GrooveTold], port_keys: frozenset[str] = frozenset()) -> GrooveBook:
    """The built-in grooves with what a shop says itself."""
    every = tuple(said)
    if not every and not port_keys:
        return built_in()
    ours = {row_key(one.ours): one.row for one in every if one.ours is not None}
    new = tuple(one.row for one in every if one.ours is None)
    return GrooveBook(
        (*new, *(ours.get(row_key(row), row) for row in groove_rows())), tuple(one.row for one in every), port_keys
    )
