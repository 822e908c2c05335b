"""How likely each standard size is, given what was measured: Bayes' rule over sizes, looks, and "no standard size".

The density of the readings for each size is in `likelihood`; how worn rings read is in `condition`. Where nobody said
how the ring looks, every look counts by its share (`condition.LOOKS`), and the readings weigh the looks too.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from functools import lru_cache
from math import exp, inf, log, sqrt
from typing import NamedTuple, TypeAlias

from catalog.orings import fractions
from catalog.orings.condition import WEAR, Wear, looks
from catalog.orings.evidence import Condition, Evidence
from catalog.orings.likelihood import (
    ANY_ID_MM,
    ANY_WIDTH_MM,
    Fit,
    Terms,
    any_ring_log_density,
    fit,
    made_log_density,
    terms,
)
from catalog.orings.prior import Prior, rows_of_series
from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.sizes import RingSize, Series

# A reading further off than this many standard deviations beyond the tolerance box has a density of e⁻²⁴ or less.
REACH = 7.0
# How likely readings that are trade fractions to the last digit are a name and no measurement. Common practice, no
# source: nobody's ring measures 1 × 1/8 in on the dot.
CALLED_SO = 0.9


class Look(NamedTuple):
    """One way the ring may look, with its probability. `chances` and `none` are joint: with those of the other looks
    they sum to 1. `found` is the readings' fit at `id_mm` × `width_mm`, where they put a ring of no standard.
    """

    condition: Condition
    probability: float
    chances: dict[str, float]
    none: float
    given: Terms
    found: Fit
    id_mm: float
    width_mm: float


class Posterior(NamedTuple):
    """Probabilities of the standard sizes by `RingSize.key`, and `none`, that it is none of them.

    `near`: the sizes looked at, those of other series too. `looks`: likeliest first. `called`: the size whose trade
    fractions were typed in place of readings. `book`: the sizes there are, the shop's own among them.
    """

    evidence: Evidence
    near: tuple[RingSize, ...]
    chances: dict[str, float]
    none: float
    looks: tuple[Look, ...]
    called: RingSize | None
    book: SizeBook

    @property
    def as_read(self) -> Look:
        """The look that a ring of no standard is described by: as it was read, unless somebody said how it looks."""
        return next((look for look in self.looks if look.condition is Condition.NEW), self.looks[0])


def posterior(evidence: Evidence, allowed: frozenset[Series], prior: Prior, book: SizeBook | None = None) -> Posterior:
    """The probabilities of every size of the `allowed` series in `book` (the built-in sizes where None).

    Raises ValueError where there is no reading.
    """
    book = book or built_in()
    if not evidence.readings:
        raise ValueError("There is no reading; measure at least one dimension of the ring.")
    weighed = [
        _weigh(terms(evidence._replace(condition=look)), share, allowed, prior, book)
        for look, share in looks(evidence.condition)
    ]
    top = max(max(none, max(logs.values(), default=-inf)) for _, logs, none, _, _, _, _ in weighed)
    near: dict[str, RingSize] = {}
    chances: dict[str, float] = {}
    raw: list[Look] = []
    for given, logs, none_log, sizes, found, id_mm, width_mm in weighed:
        weights = {key: exp(value - top) for key, value in logs.items()}
        for size in sizes:
            near[size.key] = size
        for key, weight in weights.items():
            chances[key] = chances.get(key, 0.0) + weight
        none = exp(none_log - top)
        raw.append(
            Look(given.evidence.condition, none + sum(weights.values()), weights, none, given, found, id_mm, width_mm)
        )
    none = sum(look.none for look in raw)
    total = sum(look.probability for look in raw)
    called = next((size for size in fractions.called_by(evidence) if size.series in allowed), None)
    called = book.by_key(called.key) if called is not None else None
    if called is not None:
        by_name = total * CALLED_SO / (1.0 - CALLED_SO)
        near.setdefault(called.key, called)
        chances[called.key] = chances.get(called.key, 0.0) + by_name
        # The name says nothing of the look: each keeps its share of it.
        raw = [
            look._replace(
                probability=look.probability + by_name * look.probability / total,
                chances=look.chances
                | {called.key: look.chances.get(called.key, 0.0) + by_name * look.probability / total},
            )
            for look in raw
        ]
        total += by_name
    raw = [
        look._replace(
            probability=look.probability / total,
            chances={key: chance / total for key, chance in look.chances.items()},
            none=look.none / total,
        )
        for look in raw
    ]
    raw.sort(key=lambda look: -look.probability)
    return Posterior(
        evidence,
        tuple(near.values()),
        {key: chance / total for key, chance in chances.items()},
        none / total,
        tuple(raw),
        called,
        book,
    )


@lru_cache(maxsize=64)
def sizes_of(allowed: frozenset[Series], book: SizeBook) -> tuple[RingSize, ...]:
    """Every size of these series in the book, by ID, then by width."""
    return tuple(size for size in book.sizes if size.series in allowed)


_Weighed: TypeAlias = tuple[Terms, dict[str, float], float, list[RingSize], Fit, float, float]


def _weigh(given: Terms, share: float, allowed: frozenset[Series], prior: Prior, book: SizeBook) -> _Weighed:
    """Logs of the joint weights for one look, and where the readings put a ring of no standard."""
    any_log, any_fit, id_mm, width_mm = any_ring_log_density(given)
    near = _near(given, book)
    of_all = _weight_of_all(allowed, prior, book)
    by_row = log(share * (1.0 - prior.none) / of_all) if of_all else -inf  # no rows: the shop's own, where it has none
    logs: dict[str, float] = {}
    of_width: dict[tuple[float, float], float] = {}  # where only widths were read, rings of one width read alike
    for size in near:
        if size.series in allowed:
            width = size.cross_section_mm, size.cross_section_tol_mm
            density = of_width.get(width)
            if density is None:
                density = made_log_density(fit(given, size.id_mm, width[0]), size.id_tol_mm, width[1])
                if not any(given.per_id):
                    of_width[width] = density
            logs[size.key] = density + by_row + log(prior.weight(size))
    return given, logs, any_log + log(share * prior.none), near, any_fit, id_mm, width_mm


def _weight_of_all(allowed: frozenset[Series], prior: Prior, book: SizeBook) -> float:
    rows = rows_of_series(book)
    return sum(prior.series_weight.get(one, 1.0) * rows[one] for one in sorted(allowed)) + sum(prior.confirmed.values())


def _near(given: Terms, book: SizeBook) -> list[RingSize]:
    """The sizes that could have given these readings at all, found by a window on the ID and one check a reading."""
    sizes = book.sizes
    wear = WEAR[given.evidence.condition]
    low, high = _id_window(given, wear, id_tolerance(book))
    start = bisect_left(sizes, low, key=lambda size: size.id_mm)
    stop = bisect_right(sizes, high, key=lambda size: size.id_mm)
    shift, doubt_of_scale = 1.0 + wear.scale.mean, wear.scale.deviation
    checks = [
        (
            value,
            h1 * shift,
            h2 * shift + sign * wear.set.mean + spread * wear.spread.mean,
            h1,
            h2,
            variance,
            (sign * wear.set.deviation) ** 2
            + (spread * wear.spread.deviation) ** 2
            + (0.2 * max(sign, 0.0) * (wear.set.mean + wear.set.deviation)) ** 2,
        )
        for value, h1, h2, variance, sign, spread in zip(
            given.values,
            given.per_id,
            given.per_width,
            given.error_variance,
            given.set_sign,
            given.spread_sign,
            strict=True,
        )
    ]

    def may_be(size: RingSize) -> bool:
        id_mm, width = size.id_mm, size.cross_section_mm
        for value, k1, k2, h1, h2, variance, by_width in checks:
            across = (h1 * id_mm + h2 * width) * doubt_of_scale
            reach = REACH * sqrt(variance + across * across + by_width * width * width)
            edge = h1 * size.id_tol_mm + h2 * size.cross_section_tol_mm
            if abs(value - k1 * id_mm - k2 * width) > edge + reach:
                return False
        return True

    if any(given.per_id):
        return [size for size in sizes[start:stop] if may_be(size)]
    # Thousands of sizes have some hundred widths between them, and nothing else was read.
    passed = {width for width, size in _of_each_width(book).items() if may_be(size)}
    return [size for size in sizes if (size.cross_section_mm, size.cross_section_tol_mm) in passed]


@lru_cache(maxsize=8)
def _of_each_width(book: SizeBook) -> dict[tuple[float, float], RingSize]:
    """One size of every width with its tolerance, in mm."""
    return {(size.cross_section_mm, size.cross_section_tol_mm): size for size in book.sizes}


TOLERANCE_SHARE = 0.01


@lru_cache(maxsize=8)
def id_tolerance(book: SizeBook) -> float:
    """A length in mm: no size's ID has a tolerance of more than it and `TOLERANCE_SHARE` of the ID."""
    return max(size.id_tol_mm - TOLERANCE_SHARE * size.id_mm for size in book.sizes)


def _id_window(given: Terms, wear: Wear, tolerance: float) -> tuple[float, float]:
    """Bounds in mm on the ID of any size that could have given these readings; wider than the check that follows."""
    low, high = 0.0, inf
    least = 1.0 + wear.scale.mean - REACH * wear.scale.deviation
    most = 1.0 + wear.scale.mean + REACH * wear.scale.deviation
    widest = min(
        (value * 2.0 + 1.0 for value, h1, _ in zip(given.values, given.per_id, given.per_width, strict=True) if not h1),
        default=ANY_WIDTH_MM[1],
    )
    for value, h1, h2, variance in zip(given.values, given.per_id, given.per_width, given.error_variance, strict=True):
        if h1 > 0.0:
            slack = REACH * (sqrt(variance) + wear.spread.deviation * widest * h1)
            low = max(low, ((value - slack) / h1 - h2 / h1 * most * widest - tolerance) / (most + TOLERANCE_SHARE))
            high = min(high, ((value + slack) / h1 + tolerance) / (least - TOLERANCE_SHARE))
    return low, min(high, 2.0 * ANY_ID_MM[1])
