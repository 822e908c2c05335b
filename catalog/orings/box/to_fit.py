"""Which ring goes in where each ring of a box was: `decide.decide` for many rings at once.

How likely each size seals where another was is kept in a table that fills as it is asked for (`decide.chance`): at most
some forty thousand pairs for a kind of joint, two numbers each.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import chain
from typing import Final, NamedTuple

import numpy as np

from catalog.orings.box.names import Named, names
from catalog.orings.box.normal import Flags, Floats, Places
from catalog.orings.decide import (
    ALIKE,
    AT_STAKE,
    LEAST,
    MOST,
    PASSED_OVER,
    STRANGE,
    Chance,
    Wanted,
    chance,
    decide,
    of_no_standard,
    seated,
)
from catalog.orings.evidence import Evidence
from catalog.orings.joint_kind import JointKind
from catalog.orings.match import rank
from catalog.orings.prior import Prior
from catalog.orings.seats import Tables
from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.sizes import RingSize

SMALLEST: Final = 8


class Fitting(NamedTuple):
    """What is said of one ring: the ring to fit and its chance, whether it is named so, and what the old one was.

    `others`: the rings that could go in beside it, best first. `size`: the likeliest name, None where there is none.
    """

    best: RingSize | None
    chance: Chance
    settled: bool
    others: tuple[tuple[RingSize, Chance], ...]
    size: RingSize | None
    probability: float
    none_probability: float


def rings_to_fit(
    evidences: Sequence[Evidence], wanted: Wanted | None = None, prior: Prior | None = None, own: SizeBook | None = None
) -> list[Fitting]:
    """The ring to fit for each ring of a box, in their order. `wanted` holds for all of them."""
    book = own or built_in()
    wanted = seated(wanted or Wanted(), book)
    known, alone = names(evidences, prior, own) if _is_plain(wanted) else ([], list(range(len(evidences))))
    found: dict[int, Fitting] = dict(chain.from_iterable(_fitted(one, book, wanted) for one in known))
    for place in alone:
        found[place] = _alone(evidences[place], wanted, prior, own)
    return [found[place] for place in range(len(evidences))]


def _is_plain(wanted: Wanted) -> bool:
    """Whether the sizes' chances alone decide: nothing is known of the place beside the kind of joint."""
    return wanted == Wanted(wanted.joint, tables=wanted.tables) and wanted.joint is not JointKind.PORT


def _alone(evidence: Evidence, wanted: Wanted, prior: Prior | None, own: SizeBook | None) -> Fitting:
    decision = decide(rank(evidence, prior=prior, own=own), wanted)
    match = decision.ranking.matches[0] if decision.ranking.matches else None
    best = decision.best
    return Fitting(
        None if best is None else best.size,
        Chance(0.0, 0.0, 1.0) if best is None else best.chance,
        decision.settled,
        tuple((one.size, one.chance) for one in decision.to_fit[1:]),
        None if match is None else match.size,
        0.0 if match is None else match.probability,
        decision.ranking.none_probability,
    )


class _Pairs:
    """How likely each size of a book seals where another was, in one kind of joint, worked out when asked for."""

    def __init__(self, book: SizeBook, wanted: Wanted) -> None:
        self.sizes, self.wanted = book.sizes, wanted
        self._place = np.full((len(book.sizes), len(book.sizes)), -1, dtype=np.int32)
        self._seals, self._marginal = np.zeros(SMALLEST), np.zeros(SMALLEST)
        self._count = 0

    def of(self, old: Places, new: Places) -> tuple[Floats, Floats]:
        """The chances that each of `new` seals, and is marginal, where each of `old` was."""
        place = self._place[old, new]
        missing = place < 0
        if missing.any():
            for one, other in sorted(set(zip(old[missing].tolist(), new[missing].tolist(), strict=True))):
                self._add(one, other)
            place = self._place[old, new]
        return self._seals[place], self._marginal[place]

    def _add(self, old: int, new: int) -> None:
        if self._count == len(self._seals):
            self._seals, self._marginal = (
                np.resize(self._seals, 2 * self._count),
                np.resize(self._marginal, 2 * self._count),
            )
        found = chance(self.sizes[new], self.sizes[old], self.wanted)
        self._seals[self._count], self._marginal[self._count] = found.seals, found.marginal
        self._place[old, new] = self._count
        self._count += 1


@lru_cache(maxsize=4)
def _pairs(book: SizeBook, joint: JointKind | None, tables: Tables) -> _Pairs:
    return _Pairs(book, Wanted(joint, tables=tables))


def _fitted(found: Named, book: SizeBook, wanted: Wanted) -> Iterator[tuple[int, Fitting]]:
    """Each ring's place in the box with what is said of it."""
    count = len(found.at)
    starts = np.searchsorted(found.ring, np.arange(count))
    rank_in_ring = np.arange(len(found.ring)) - starts[found.ring]
    kept = (rank_in_ring < MOST) & (found.probability >= LEAST)
    size, probability = np.zeros((count, MOST), dtype=np.int64), np.zeros((count, MOST))
    there = np.zeros((count, MOST), dtype=bool)
    where = found.ring[kept], rank_in_ring[kept]
    # A ring that is hardly of no standard is served as the sizes are (as in `decide`).
    of_sizes = 1.0 - np.where(found.none < STRANGE, found.none, 0.0)
    size[where], there[where] = found.size[kept], True
    probability[where] = found.probability[kept] / of_sizes[found.ring[kept]]
    seals, marginal = _chances(size, probability, there, _pairs(book, wanted.joint, wanted.tables))
    for ring in np.flatnonzero((found.none >= STRANGE) & found.both).tolist():
        own = of_no_standard(float(found.id_mm[ring]), float(found.width_mm[ring]))
        for at in np.flatnonzero(there[ring]).tolist():
            there_too = chance(book.sizes[size[ring, at]], own, wanted)
            seals[ring, at] += found.none[ring] * there_too.seals
            marginal[ring, at] += found.none[ring] * there_too.marginal
    yield from _said(found, book, (size, probability, there), seals, marginal)


def _chances(size: Places, probability: Floats, there: Flags, pairs: _Pairs) -> tuple[Floats, Floats]:
    """The chance that each ring which may have been in seals, and is marginal, over what else may have been in."""
    ring, old, new = np.nonzero(there[:, :, None] & there[:, None, :])
    by_pair = pairs.of(size[ring, old], size[ring, new])
    place = ring * MOST + new
    weight = probability[ring, old]

    def by_ring(chances: Floats) -> Floats:
        summed: Floats = np.bincount(place, weights=weight * chances, minlength=there.size).astype(np.float64)
        return summed.reshape(there.shape)

    return by_ring(by_pair[0]), by_ring(by_pair[1])


def _said(
    found: Named, book: SizeBook, before: tuple[Places, Floats, Flags], seals: Floats, marginal: Floats
) -> Iterator[tuple[int, Fitting]]:
    size, match, there = before
    worth = np.where(there, seals + 0.5 * marginal, -1.0)
    # The likeliest goes first among those within a point of the best: they stand in that order.
    most = worth.max(axis=1)
    kept = worth[:, 0] >= most - PASSED_OVER * match[:, 0]
    best = (worth >= np.where(kept, worth[:, 0], most)[:, None] - ALIKE).argmax(axis=1)
    order = np.lexsort((-marginal, np.where(there, -seals, 1.0)), axis=1)
    first = np.searchsorted(found.ring, np.arange(len(found.at)))
    named = np.searchsorted(found.ring, np.arange(len(found.at)), side="right") > first
    sizes = book.sizes
    for ring, (place, at, rows, none) in enumerate(
        zip(found.at.tolist(), best.tolist(), order.tolist(), found.none.tolist(), strict=True)
    ):
        is_named = bool(named[ring])
        likeliest = sizes[found.size[first[ring]]] if is_named else None
        share = float(found.probability[first[ring]]) if is_named else 0.0
        if not there[ring, at]:
            yield place, Fitting(None, Chance(0.0, 0.0, 1.0), False, (), likeliest, share, none)
            continue
        by_seals, by_marginal = seals[ring].tolist(), marginal[ring].tolist()
        rings = [
            (
                sizes[size[ring, one]],
                Chance(by_seals[one], by_marginal[one], max(1.0 - by_seals[one] - by_marginal[one], 0.0)),
            )
            for one in (at, *(row for row in rows if row != at))
            if there[ring, one]
        ]
        settled = bool(worth[ring, at] >= 1.0 - AT_STAKE)
        yield place, Fitting(*rings[0], settled, tuple(rings[1:]), likeliest, share, none)
