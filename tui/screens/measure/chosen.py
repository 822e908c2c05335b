"""A ring that is taken to a kit, with what was decided of it: from Measure, or from a list of rings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog import orings
from tui import answers
from tui.workshop import ChosenRing

if TYPE_CHECKING:
    from catalog.orings.decide import Decision
    from catalog.orings.sizes import RingSize


def doubt_of(decision: Decision | None, size: RingSize) -> str:
    """The chance of a chosen ring and what may be wrong with it, where it was judged; else ""."""
    rings = decision.to_fit if decision is not None else ()
    return next((answers.to_fit.sure_of_critical(one) for one in rings if one.size == size), "")


def lying(decision: Decision | None, size: RingSize) -> tuple[str, ...]:
    """The rubbers in which such a ring lies free on the shelf."""
    rings = decision.to_fit if decision is not None else ()
    rows = next((one.on_shelf or () for one in rings if one.size == size), ())
    return tuple(dict.fromkeys(row.elastomer for row in rows if row.free))


def chosen_ring(decision: Decision | None, size: RingSize) -> ChosenRing:
    """A ring of this size, as that decision judges it."""
    matches = () if decision is None else decision.ranking.matches
    match = next((one for one in matches if one.size.key == size.key), None)
    taken = orings.would_do.taken_of(decision, size)
    return ChosenRing(
        size.label,
        size.key,
        () if match is None else tuple(one.key for one in match.also),
        0.0 if match is None else match.probability,
        None if decision is None else decision.ranking.evidence,
        doubt=doubt_of(decision, size),
        seals=taken.seals,
        would_do=taken.others,
        lying=lying(decision, size),
    )
