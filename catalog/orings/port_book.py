"""The ports that a question is asked of: the built-in ones, or these with a shop's own rows among them.

A shop's row that speaks of a built-in one stands in its place (confirmed or corrected, see `own_port`); any other is
one more joint. A book is compared by identity, so that what is worked out of it is kept.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property

from catalog.orings.joints import Port, by_their_threads, ports
from catalog.orings.own_port import PortTold, port_key


@dataclass(frozen=True, eq=False)
class PortBook:
    """Every joint there is; `own`: those that are the shop's word."""

    ports: tuple[Port, ...]
    own: tuple[Port, ...] = ()

    @cached_property
    def own_ring_keys(self) -> frozenset[str]:
        """`RingSize.key` of each ring that a port of the shop's own takes."""
        return frozenset(one.ring.key for one in self.own if one.ring is not None)

    @cached_property
    def by_thread(self) -> Mapping[str, tuple[Port, ...]]:
        """The joints of each thread, by the thread's designation."""
        return by_their_threads(self.ports)


@cache
def built_in() -> PortBook:
    """The ports of our own tables, and no more."""
    return PortBook(ports())


def with_own(said: Iterable[PortTold]) -> PortBook:
    """The built-in ports with what a shop says itself, its new joints last."""
    every = tuple(said)
    if not every:
        return built_in()
    ours = {port_key(one.ours): one.port for one in every if one.ours is not None}
    new = tuple(one.port for one in every if one.ours is None)
    return PortBook((*(ours.get(port_key(port), port) for port in ports()), *new), tuple(one.port for one in every))
