"""Which standard size was this ring? Evidence in, sizes with their probabilities out.

Bayes' rule over every standard size and one more hypothesis, "no standard size". The density of the readings for each
is in `likelihood`; how worn rings read is in `condition`. Sizes that no reading could tell apart are one match with
several names (`same_ring`).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection
from functools import cache
from math import exp, inf, log, sqrt
from typing import NamedTuple

from catalog.because import Because
from catalog.orings import fractions
from catalog.orings.condition import WEAR, Wear
from catalog.orings.denial import Denial, denial
from catalog.orings.doubt import conflict, doubt
from catalog.orings.evidence import Dimension, Evidence
from catalog.orings.likelihood import (
    ANY_ID_MM,
    ANY_WIDTH_MM,
    Terms,
    any_ring_log_density,
    box_log_density,
    expected,
    fit,
    settles_both,
    terms,
)
from catalog.orings.neighbours import Cord, Neighbours, cord, neighbours
from catalog.orings.next_measurement import MOST_RIVALS, NextMeasurement, next_measurement, no_standard, rival
from catalog.orings.prior import Prior
from catalog.orings.same_ring import LEAD, gather
from catalog.orings.sizes import RingSize, Series, all_sizes

# A reading further off than this many standard deviations beyond the tolerance box has a density of e⁻²⁴ or less.
REACH = 7.0
LEAST_PROBABILITY = 0.001
# How likely readings that are trade fractions to the last digit are a name and no measurement. Common practice, no
# source: nobody's ring measures 1 × 1/8 in on the dot.
CALLED_SO = 0.9


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
    nothing was found. `called`: the size whose trade fractions were typed in place of readings.
    """

    evidence: Evidence
    matches: tuple[Match, ...]
    none_probability: float
    doubt: str
    conflict: str | None
    next_measurement: NextMeasurement | None
    neighbours: Neighbours | None
    cord: Cord | None
    denial: Denial | None = None
    called: RingSize | None = None

    @property
    def found(self) -> bool:
        """Whether some standard size is likelier than none of them."""
        return bool(self.matches) and self.none_probability < 0.5

    @property
    def because(self) -> tuple[Because, ...]:
        """The rows, names and lists that decided it, with source and standing."""
        from catalog.orings.ring_reasons import reasons

        return reasons(self)


def rank(
    evidence: Evidence,
    *,
    series: Collection[Series] | None = None,
    prior: Prior | None = None,
    limit: int = 10,
) -> Ranking:
    """Rank the standard sizes by how well they explain the evidence.

    `series` restricts which series may answer (their rings' names in other standards are still given), `limit` how many
    matches come back. Raises ValueError where there is no reading or no series.
    """
    if not evidence.readings:
        raise ValueError("There is no reading; measure at least one dimension of the ring.")
    allowed = frozenset(series) if series is not None else frozenset(Series)
    if not allowed:
        raise ValueError("No series is left to search; name at least one.")
    prior = prior or Prior()
    given = terms(evidence)
    any_log, any_fit, id_mm, width_mm = any_ring_log_density(given)
    near = _near(given)
    weight_of_all = _weight_of_all(allowed, prior)
    logs: dict[str, float] = {}
    of_width: dict[tuple[float, float], float] = {}  # where only widths were read, rings of one width read alike
    for size in near:
        if size.series in allowed:
            width = size.cross_section_mm, size.cross_section_tol_mm
            density = of_width.get(width)
            if density is None:
                density = box_log_density(fit(given, size.id_mm, width[0]), size.id_tol_mm, width[1])
                if not any(given.per_id):
                    of_width[width] = density
            logs[size.key] = density + log((1.0 - prior.none) * prior.weight(size) / weight_of_all)
    none_log = any_log + log(prior.none)
    top = max(none_log, max(logs.values(), default=-inf))
    weights = {key: exp(value - top) for key, value in logs.items()}
    none_weight = exp(none_log - top)
    total = none_weight + sum(weights.values())
    called = next((size for size in fractions.called_by(evidence) if size.series in allowed), None)
    if called is not None:
        by_name = total * CALLED_SO / (1.0 - CALLED_SO)
        near = near if called.key in weights else [*near, called]
        weights[called.key] = weights.get(called.key, 0.0) + by_name
        total += by_name
    leading = [one for one in LEAD if one in allowed]
    likely = [size for size in near if size.series not in allowed or weights[size.key] > 1e-9 * total]
    groups = []
    for ring in gather(likely, leading):
        probability = sum(weights.get(size.key, 0.0) for size in (ring.size, *ring.also)) / total
        if probability >= LEAST_PROBABILITY:
            groups.append((-probability, ring.size.key, ring))
    groups.sort()
    named = [(ring.size, -less) for less, _, ring in groups]
    none_probability = none_weight / total
    rivals = [rival(size, probability) for size, probability in named[:MOST_RIVALS]]
    rivals.append(no_standard(id_mm, width_mm, none_probability))
    known = settles_both(any_fit)
    nothing = none_probability >= 0.5 or not groups
    clash = conflict(evidence, any_fit)
    ask = None if clash or called is not None else next_measurement(evidence, rivals)
    widths_known = any(reading.dimension is Dimension.WIDTH for reading in evidence.readings)
    denied = (
        denial(any_fit, id_mm, width_mm, width_read=widths_known, series=allowed) if nothing and not clash else None
    )
    return Ranking(
        evidence,
        tuple(Match(ring.size, -less, ring.also, _residuals(given, ring.size)) for less, _, ring in groups[:limit]),
        none_probability,
        doubt(named, none_probability, can_settle=ask is not None, denied=denied, called=called),
        clash,
        ask,
        neighbours(id_mm, width_mm if known or widths_known else None, _of(allowed)) if nothing and not clash else None,
        cord(id_mm, width_mm) if nothing and known and not clash else None,
        denied,
        called,
    )


def _residuals(given: Terms, size: RingSize) -> tuple[float, ...]:
    means = expected(given, size.id_mm, size.cross_section_mm)
    return tuple(
        (value - mean) / (h1 * size.id_tol_mm + h2 * size.cross_section_tol_mm)
        for value, mean, h1, h2 in zip(given.values, means, given.per_id, given.per_width, strict=True)
    )


@cache
def _of(allowed: frozenset[Series]) -> tuple[RingSize, ...]:
    return tuple(size for size in all_sizes() if size.series in allowed)


def _weight_of_all(allowed: frozenset[Series], prior: Prior) -> float:
    by_series = sum(prior.series_weight.get(series, 1.0) * count for series, count in _counts(allowed))
    return by_series + sum(prior.confirmed.values())


@cache
def _counts(allowed: frozenset[Series]) -> tuple[tuple[Series, int], ...]:
    return tuple((series, sum(size.series is series for size in _of(allowed))) for series in allowed)


def _near(given: Terms) -> list[RingSize]:
    """The sizes that could have given these readings at all, found by a window on the ID and one check a reading."""
    sizes = all_sizes()
    wear = WEAR[given.evidence.condition]
    low, high = _id_window(given, wear)
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
    passed = {width for width, size in _of_each_width().items() if may_be(size)}
    return [size for size in sizes if (size.cross_section_mm, size.cross_section_tol_mm) in passed]


@cache
def _of_each_width() -> dict[tuple[float, float], RingSize]:
    """One size of every width with its tolerance, in mm."""
    return {(size.cross_section_mm, size.cross_section_tol_mm): size for size in all_sizes()}


def _id_window(given: Terms, wear: Wear) -> tuple[float, float]:
    """Bounds in mm on the ID of any size that could have given these readings; generous."""
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
            low = max(low, ((value - slack) / most - h2 * widest) / h1 * 0.94 - 1.0)
            high = min(high, (value + slack) / least / h1 * 1.06 + 1.0)
    return low, min(high, 2.0 * ANY_ID_MM[1])
