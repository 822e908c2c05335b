"""Which standard size was this ring? Evidence in, sizes with their probabilities out.

Bayes' rule is in `posterior`. Sizes that no reading could tell apart are one match with several names (`same_ring`).
Which ring to put in is another question: `decide`.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from catalog import orings
from catalog.because import Because
from catalog.orings.denial import Denial, denial
from catalog.orings.disagreement import Disagreement, disagreement
from catalog.orings.doubt import doubt
from catalog.orings.evidence import Condition, Dimension, Evidence
from catalog.orings.likelihood import Terms, expected, settles_both
from catalog.orings.neighbours import Cord, Neighbours, cord, neighbours
from catalog.orings.posterior import Posterior, posterior, sizes_of
from catalog.orings.prior import Prior
from catalog.orings.same_ring import LEAD, gather
from catalog.orings.size_book import SizeBook
from catalog.orings.sizes import RingSize, Series

LEAST_PROBABILITY = 0.001


class Match(NamedTuple):
    """A standard size with its probability, its further names, and how far each reading lies from what it would show.

    `residuals` run alongside the evidence's readings, in tolerances: ±1 is the edge of what the standard allows.
    """

    size: RingSize
    probability: float
    also: tuple[RingSize, ...]
    residuals: tuple[float, ...]


class Ranking(NamedTuple):
    """The answer to one piece of evidence, likeliest size first.

    `none_probability`: that it is none of the sizes in our tables; `denial` says how far that is a denial, where
    nothing was found. Where `conflict` says that the readings can't be of one ring, nothing else is said: there are no
    matches, and `none_probability` is 0. `looks`: how the ring may look, with probabilities, likeliest first.
    """

    evidence: Evidence
    matches: tuple[Match, ...]
    none_probability: float
    doubt: str
    conflict: Disagreement | None
    neighbours: Neighbours | None
    cord: Cord | None
    denial: Denial | None
    looks: tuple[tuple[Condition, float], ...]
    posterior: Posterior

    @property
    def called(self) -> RingSize | None:
        """The size whose trade fractions were typed in place of readings."""
        return self.posterior.called

    @property
    def found(self) -> bool:
        """Whether some standard size is likelier than none of them."""
        return bool(self.matches) and self.none_probability < 0.5

    @property
    def because(self) -> tuple[Because, ...]:
        """The rows, names and lists that decided it, with source and standing."""
        return orings.ring_reasons.reasons(self)


def rank(
    evidence: Evidence,
    *,
    series: Collection[Series] | None = None,
    prior: Prior | None = None,
    limit: int = 10,
    own: SizeBook | None = None,
) -> Ranking:
    """Rank the standard sizes by how well they explain the evidence.

    `series` restricts which series may answer (their rings' names in other standards are still given), `limit` how many
    matches come back. `own`: the sizes with a shop's own among them (`size_book.with_own`). Raises ValueError where
    there is no reading or no series.
    """
    allowed = frozenset(series) if series is not None else frozenset(Series)
    if not allowed:
        raise ValueError("No series is left to search; name at least one.")
    prior = prior or Prior()
    known = posterior(evidence, allowed, prior, own)
    looks = tuple((look.condition, look.probability) for look in known.looks)
    clash = disagreement(known, allowed, prior)
    if clash is not None:
        return Ranking(evidence, (), 0.0, clash.words, clash, None, None, None, looks, known)
    groups = _groups(known, allowed)
    named = [(size, probability) for size, probability, _ in groups]
    read = known.as_read
    both = settles_both(read.found)
    width_read = any(reading.dimension is Dimension.WIDTH for reading in evidence.readings)
    nothing = known.none >= 0.5 or not groups
    id_mm, width_mm = read.id_mm, read.width_mm
    denied = denial(read.found, id_mm, width_mm, width_read=width_read, series=allowed) if nothing else None
    return Ranking(
        evidence,
        tuple(Match(size, share, also, residuals(known, size)) for size, share, also in groups[:limit]),
        known.none,
        doubt(named, known.none, denied=denied, called=known.called, look_said=evidence.look_said),
        None,
        neighbours(id_mm, width_mm if both or width_read else None, sizes_of(allowed, known.book)) if nothing else None,
        cord(id_mm, width_mm) if nothing and both else None,
        denied,
        looks,
        known,
    )


def _groups(known: Posterior, allowed: frozenset[Series]) -> list[tuple[RingSize, float, tuple[RingSize, ...]]]:
    """The likely rings under their leading names, each with its probability and further names, likeliest first."""
    leading = [one for one in LEAD if one in allowed]
    likely = [size for size in known.near if size.series not in allowed or known.chances[size.key] > 1e-9]
    groups = []
    for ring in gather(likely, leading):
        probability = sum(known.chances.get(size.key, 0.0) for size in (ring.size, *ring.also))
        if probability >= LEAST_PROBABILITY:
            groups.append((-probability, ring.size.key, ring))
    groups.sort()
    return [(ring.size, -less, ring.also) for less, _, ring in groups]


def residuals(known: Posterior, size: RingSize) -> tuple[float, ...]:
    """How far each reading lies from what the size would show, in tolerances, under the look that explains it best."""
    given: Terms = max(known.looks, key=lambda look: look.chances.get(size.key, 0.0)).given
    means = expected(given, size.id_mm, size.cross_section_mm)
    return tuple(
        (value - mean) / (h1 * size.id_tol_mm + h2 * size.cross_section_tol_mm)
        for value, mean, h1, h2 in zip(given.values, means, given.per_id, given.per_width, strict=True)
    )
