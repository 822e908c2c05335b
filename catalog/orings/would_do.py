"""What a decision leaves to choose from once one of its rings was taken: the others that would do, as plain rows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from catalog import orings
from catalog.compare import at_least
from catalog.orings.same_ring import SHARE, apart

if TYPE_CHECKING:
    from catalog.orings.decide import Decision
    from catalog.orings.sizes import RingSize

EVEN: Final = 0.5
"""A ring that more likely leaks than seals would not do, however bad the best is (this project's own, no source)."""


class WouldDo(NamedTuple):
    """A ring that would do in place of the one taken. `seals`: the chance that it seals as well as the right ring, 0 to
    1; `why`: in a clause, see `decide.ToFit`.
    """

    size_key: str
    seals: float
    why: str


class Taken(NamedTuple):
    """How likely the ring that was taken seals, None where nobody judged it, and the others that would do, best first.

    `others` is empty where the ring was taken against the decision: who takes it knows more than the readings do.
    """

    seals: float | None = None
    others: tuple[WouldDo, ...] = ()


def taken_of(decision: Decision | None, size: RingSize) -> Taken:
    """What is to be kept of a decision when a ring of this size is taken.

    The others are those whose chance to seal is within `decide.AT_STAKE` of the best, and at least even; the same ring
    by another name is none of them.
    """
    chances = {} if decision is None else {one.size.key: one.chance.seals for one in decision.to_fit}
    own = chances.get(size.key)
    if decision is None or own is None:
        return Taken()
    least = max(chances.values()) - orings.decide.AT_STAKE
    if not at_least(own, least):
        return Taken(own)
    others = [
        WouldDo(one.size.key, one.chance.seals, one.why)
        for one in decision.to_fit
        if at_least(one.chance.seals, max(least, EVEN)) and apart(one.size, size) > SHARE
    ]
    return Taken(own, tuple(sorted(others, key=lambda one: (-one.seals, one.size_key))))
