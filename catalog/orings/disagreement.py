"""Readings that no one ring gives: a slip of the pen, or a second ring on the bench. Which reading is it?

Healthy rings read by hand come 0.5 mm apart (OD against ID + 2 × width; HANDREAD in SOURCES.md), so a few tenths are
no contradiction: the readings must lie apart both by many standard deviations and by a length one can see.
"""

from __future__ import annotations

from typing import NamedTuple

from catalog.orings.evidence import Dimension, Evidence, Reading
from catalog.orings.likelihood import Fit, any_ring_log_density, expected, pressed_in, settles_both, terms
from catalog.orings.posterior import Look, Posterior, posterior
from catalog.orings.prior import Prior
from catalog.orings.sizes import Series

# Above what accident explains, and above what hands did to any of 90 healthy rings (0.504 mm).
DEVIATIONS = 4.5
LEAST_MM = 0.6
_OF_THE_SUM = {Dimension.ID, Dimension.OD, Dimension.WIDTH}


class Disagreement(NamedTuple):
    """Readings that can't be of one ring. `at`: the index of the reading furthest off; `others_mm`: what the others
    make of it, mm, or None where they leave it open.
    """

    evidence: Evidence
    at: int
    others_mm: float | None

    @property
    def reading(self) -> Reading:
        """The reading furthest off."""
        return self.evidence.readings[self.at]

    @property
    def words(self) -> str:
        """A sentence or two: what can't be, and which reading to take again."""
        read = ", ".join(f"{one.dimension.words} {one.value_mm:.2f}" for one in self.evidence.readings)
        start = f"These readings cannot be of one ring ({read} mm; OD = ID + 2 × width)."
        name = self.reading.dimension.words
        by_others = self.others_mm if (plain := self._by_formula) is None else plain
        if by_others is None:
            return f"{start} Take the {name} again."
        return f"{start} Take the {name} again: by the others it is about {by_others:.2f} mm."

    @property
    def _by_formula(self) -> float | None:
        """The reading by the sum that the sentence names, where each of its three was read once; else None."""
        read = {one.dimension: one.value_mm for one in self.evidence.readings}
        if len(self.evidence.readings) != len(_OF_THE_SUM) or read.keys() != _OF_THE_SUM:
            return None
        inner, outer, width = (read[one] for one in (Dimension.ID, Dimension.OD, Dimension.WIDTH))
        made = {Dimension.ID: outer - 2 * width, Dimension.OD: inner + 2 * width, Dimension.WIDTH: (outer - inner) / 2}
        found = made[self.reading.dimension]
        return found if found > 0 else None


def disagreement(known: Posterior, allowed: frozenset[Series], prior: Prior) -> Disagreement | None:
    """Whether the readings can't be of one ring, however it looks; else None."""
    evidence = known.evidence
    if known.called is not None or not all(_apart(look.found) for look in known.looks):
        return None
    look = known.looks[0]
    best: tuple[float, float, int, float | None] | None = None
    furthest = 0.0
    for at in range(len(evidence.readings)):
        rest = evidence._replace(readings=evidence.readings[:at] + evidence.readings[at + 1 :])
        by_others = _by_others(look, at)
        off = abs(look.given.values[at] - by_others) if by_others is not None else 0.0
        furthest = max(furthest, off)
        # Without the wrong reading the others are those of a ring that is made.
        none = posterior(rest._replace(condition=look.condition), allowed, prior, known.book).none
        if best is None or (round(none, 3), -off) < best[:2]:
            shown = None if by_others is None else by_others - pressed_in(evidence.readings[at])
            best = round(none, 3), -off, at, shown
    if best is None or furthest < LEAST_MM:
        return None
    return Disagreement(evidence, best[2], best[3])


def _apart(found: Fit) -> bool:
    """Whether the readings miss each other by more than accident explains.

    Their misfit is a chi-square variable of as many degrees of freedom as there are readings over what they fix.
    """
    if settles_both(found):
        freedom = found.readings - 2
        explained = (found.yy * found.ux**2 - 2.0 * found.xy * found.ux * found.uy + found.xx * found.uy**2) / (
            found.xx * found.yy - found.xy**2
        )
    else:
        freedom = found.readings - 1
        explained = found.ux**2 / found.xx if found.xx > 0.0 else found.uy**2 / found.yy
    return freedom >= 1 and found.rest - explained >= freedom - 1 + DEVIATIONS**2


def _by_others(look: Look, at: int) -> float | None:
    """What this reading would be by the others, mm, freed of what the hand takes off; None where they leave it open."""
    evidence = look.given.evidence
    rest = evidence._replace(readings=evidence.readings[:at] + evidence.readings[at + 1 :])
    _, found, id_mm, width_mm = any_ring_log_density(terms(rest))
    own_id, own_width = look.given.per_id[at], look.given.per_width[at]
    fixed = settles_both(found) or (
        (not own_id or found.xx > 0.0) and (not own_width or found.yy > 0.0) and found.xx * found.yy == 0.0
    )
    return expected(look.given, id_mm, width_mm)[at] if fixed else None
