"""Which standard sizes the rings of a box were: `match.rank` for many rings at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import log
from typing import Final, NamedTuple

import numpy as np

from catalog.orings import fractions
from catalog.orings.box.likelihood import AnyRing, Fits, any_rings, fits, log_bound, log_densities
from catalog.orings.box.near import Entries, near
from catalog.orings.box.normal import Flags, Floats, Places
from catalog.orings.box.readings import Readings, alike
from catalog.orings.box.sizes import Sizes, arrays_of
from catalog.orings.condition import looks
from catalog.orings.disagreement import DEVIATIONS
from catalog.orings.evidence import Condition, Evidence
from catalog.orings.match import LEAST_PROBABILITY
from catalog.orings.prior import Prior, rows_of_series
from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.sizes import Series

BLOCK: Final = 1000
"""Rings worked out together: enough that a step over arrays is cheap, few enough that they stay near the processor."""
PRUNED: Final = 26.0
"""An entry whose bound lies this far (in logs) under its ring's best is left out: it weighs less than 1e-11."""
TRUSTED: Final = 1.0
"""Where the best that is found lies further than this under the best bound, what was left out might count."""
LIKELY: Final = 1e-9
"""Sizes less likely than this take no part in gathering names (as in `match`)."""


class Entered(NamedTuple):
    """A ring with a size that it may be, looking so: an entry each, a ring's together, a size's together.

    `ring` and `name` are places as in `Named` (`name` -1 where the size takes part in none), `size` in the book, `look`
    among `looks`; `chance` is of size and look together. By look, then by ring: `none`, that it is of no standard and
    looks so, `look_chance`, and `strange`, where the readings put it then.
    """

    looks: tuple[Condition, ...]
    ring: Places
    name: Places
    size: Places
    look: Places
    chance: Floats
    none: Floats
    look_chance: Floats
    strange: tuple[AnyRing, ...]


class Named(NamedTuple):
    """The names of some rings of a box, as arrays.

    `at`: the rings' places in the box. By name: `ring` (a place in `at`), `size` (a place in the book), `probability`,
    each ring's names together, likeliest first. By ring: `none`, that it is of no standard, and where the readings put
    it then (`id_mm`, `width_mm`; `both`: whether they fix both). `entered`: what the names were made of, where that was
    asked for.
    """

    at: Places
    ring: Places
    size: Places
    probability: Floats
    none: Floats
    id_mm: Floats
    width_mm: Floats
    both: Flags
    entered: Entered | None = None


def names(
    evidences: Sequence[Evidence], prior: Prior | None = None, own: SizeBook | None = None, *, whole: bool = False
) -> tuple[list[Named], list[int]]:
    """The names of the rings of a box, and the places of those rings that must be asked about one by one.

    `whole`: also what the names were made of.
    """
    book = own or built_in()
    weights = _usual_weights(book) if prior is None else log_weights(prior, book)
    found: list[Named] = []
    left = set(range(len(evidences)))
    for read in alike(evidences):
        for start in range(0, len(read.at), BLOCK):
            part = read.only(np.arange(start, min(start + BLOCK, len(read.at))))
            part = part.only(np.array([not fractions.called_by(evidences[place]) for place in part.at]).nonzero()[0])
            if len(part.at):
                found += _named(part, arrays_of(book), weights, (prior or Prior()).none, whole=whole)
    left.difference_update(*(one.at.tolist() for one in found))
    return found, sorted(left)


def log_weights(prior: Prior, book: SizeBook) -> Floats:
    """The log of each size's probability before anything is measured (as in `posterior`)."""
    rows = rows_of_series(book)
    of_all = sum(prior.series_weight.get(one, 1.0) * rows[one] for one in Series) + sum(prior.confirmed.values())
    logs: Floats = np.log([prior.weight(size) for size in book.sizes]) + log((1.0 - prior.none) / of_all)
    return logs


@lru_cache(maxsize=8)
def _usual_weights(book: SizeBook) -> Floats:
    return log_weights(Prior(), book)


class _Weighed(NamedTuple):
    """The entries of one look: their fits, their prior log weights, and a bound on their logs."""

    entries: Entries
    fits: Fits
    before: Floats
    bound: Floats


def _named(
    read: Readings, sizes: Sizes, weights: Floats, none: float, pruned: float = PRUNED, *, whole: bool = False
) -> Iterator[Named]:
    """The names of rings read alike; those that must be asked about by themselves are left out."""
    ways = looks(read.condition)
    strange = {look: any_rings(read, look) for look, _ in ways}
    none_logs = np.array([strange[look].log_density + log(share * none) for look, share in ways])
    best_bound = none_logs.max(axis=0)
    weighed = []
    for look, share in ways:
        entries = near(read, look, sizes)
        found = fits(read.only(entries.ring), look, sizes.id_mm[entries.size], sizes.width_mm[entries.size])
        before = weights[entries.size] + log(share)
        bound = before + log_bound(found, sizes.id_tol_mm[entries.size], sizes.width_tol_mm[entries.size])
        _raise_to_most(best_bound, entries.ring, bound)
        weighed.append(_Weighed(entries, found, before, bound))
    rings, places, logs = [], [], []
    for entries, found, before, bound in weighed:
        kept = bound > best_bound[entries.ring] - pruned
        size = entries.size[kept]
        rings.append(entries.ring[kept])
        places.append(size)
        logs.append(before[kept] + log_densities(found.only(kept), sizes.id_tol_mm[size], sizes.width_tol_mm[size]))
    ring, size, log_ = np.concatenate(rings), np.concatenate(places), np.concatenate(logs)
    best = none_logs.max(axis=0)
    np.maximum.at(best, ring, log_)
    sure = best >= best_bound - TRUSTED if pruned < np.inf else np.ones(len(best), dtype=bool)
    looked = np.repeat(np.arange(len(places)), [len(one) for one in places])
    asked = sure & ~_clash(read, strange)
    yield _normalised(read, sizes, (ring, size, looked, log_), none_logs, best, asked, strange, whole=whole)
    if not sure.all():
        yield from _named(read.only(np.flatnonzero(~sure)), sizes, weights, none, np.inf, whole=whole)


def _normalised(
    read: Readings,
    sizes: Sizes,
    entries: tuple[Places, Places, Places, Floats],
    none_logs: Floats,
    best: Floats,
    asked: Flags,
    strange: dict[Condition, AnyRing],
    *,
    whole: bool,
) -> Named:
    """From logs to names, of the rings that are `asked` for."""
    ring, size, look, logs = entries
    count = len(sizes.id_mm)
    all_keys = ring * count + size
    order = np.argsort(all_keys, kind="stable")
    all_keys = all_keys[order]
    by_look = np.exp(logs[order] - best[all_keys // count])
    first = np.flatnonzero(np.diff(all_keys, prepend=-1))
    key, weight = all_keys[first], np.add.reduceat(by_look, first) if len(first) else by_look
    none_by_look = np.exp(none_logs - best)
    none_weight = none_by_look.sum(axis=0)
    total = none_weight + np.bincount(key // count, weights=weight, minlength=len(read.at))
    ring, size, chance, member = _gathered(key, weight / total[key // count], sizes)
    as_read = strange[Condition.NEW] if Condition.NEW in strange else strange[read.condition]
    kept = asked[ring]
    place = np.cumsum(asked) - 1
    entered = None
    if whole:
        look, ring_of, by_look = look[order], all_keys // count, by_look / total[all_keys // count]
        name = np.repeat(member, np.diff(first, append=len(all_keys)))
        name = np.where(name >= 0, np.append(np.cumsum(kept) - 1, -1)[name], -1)
        width = len(read.at)
        look_chance = np.bincount(look * width + ring_of, weights=by_look, minlength=len(none_logs) * width)
        look_chance = look_chance.reshape(len(none_logs), width) + none_by_look / total
        there = asked[ring_of] & (name >= 0)
        entered = Entered(
            tuple(strange),
            place[ring_of[there]],
            name[there],
            all_keys[there] % count,
            look[there],
            by_look[there],
            (none_by_look / total)[:, asked],
            look_chance[:, asked],
            tuple(one.only(asked) for one in strange.values()),
        )
    return Named(
        read.at[asked],
        place[ring[kept]],
        size[kept],
        chance[kept],
        (none_weight / total)[asked],
        as_read.id_mm[asked],
        as_read.width_mm[asked],
        as_read.both[asked],
        entered,
    )


def _raise_to_most(most: Floats, ring: Places, values: Floats) -> None:
    """Raise each ring's entry of `most` to the largest of its values; `ring` does not fall."""
    if len(ring):
        first = np.flatnonzero(np.diff(ring, prepend=-1))
        there = ring[first]
        most[there] = np.maximum(most[there], np.maximum.reduceat(values, first))


def _clash(read: Readings, strange: dict[Condition, AnyRing]) -> Flags:
    """Rings whose readings may be those of two (`disagreement` looks closer)."""
    apart = np.ones(len(read.at), dtype=bool)
    for one in strange.values():
        freedom = len(read.values) - np.where(one.both, 2, 1)
        # A hair's breadth more than is asked there: what is close is looked at there.
        apart &= (freedom >= 1) & (one.misfit >= (freedom - 1 + DEVIATIONS**2) * (1.0 - 1e-6))
    return apart


def _gathered(key: Places, chance: Floats, sizes: Sizes) -> tuple[Places, Places, Floats, Places]:
    """Rings, leading sizes and probabilities of the names: sizes that are one ring are put together (`same_ring`).

    Beside them the name's place for each size that was given, -1 where it takes part in none.
    """
    count = len(sizes.id_mm)
    kept = chance > LIKELY
    member = np.full(len(key), -1)
    key, chance = key[kept], chance[kept]
    ring, size = key // count, key % count
    leader = np.arange(len(key))
    leads = np.ones(len(key), dtype=bool)
    known = sizes.leaders[size, 0] < 0 if sizes.leaders.shape[1] else np.ones(len(key), dtype=bool)
    rows = np.flatnonzero(~known)
    others = sizes.leaders[size[rows]]
    wanted = ring[rows, None] * count + others
    places = np.minimum(np.searchsorted(key, wanted), max(len(key) - 1, 0))
    there = (others >= 0) & (key[places] == wanted) if len(key) else others >= 0
    while len(rows):
        ready = (~there | known[places]).all(axis=1)
        may = there[ready] & leads[places[ready]]
        first = may.argmax(axis=1)
        follows = may.any(axis=1)
        now = rows[ready]
        leader[now[follows]] = places[ready][follows, first[follows]]
        leads[now[follows]] = False
        known[now] = True
        rows, places, there = rows[~ready], places[~ready], there[~ready]
    whole: Floats = np.bincount(leader, weights=chance, minlength=len(key)).astype(np.float64)
    said = np.flatnonzero(leads & (whole >= LEAST_PROBABILITY))
    order = said[np.lexsort((sizes.by_key[size[said]], -whole[said], ring[said]))]
    place = np.full(len(key), -1)
    place[order] = np.arange(len(order))
    member[kept] = place[leader]
    return ring[order], size[order], whole[order], member


def by_ring(found: Named) -> Iterator[tuple[int, slice]]:
    """Each ring's place in the box, with where its names stand."""
    ends = np.searchsorted(found.ring, np.arange(len(found.at) + 1)).tolist()
    for at, place in enumerate(found.at.tolist()):
        yield place, slice(ends[at], ends[at + 1])
