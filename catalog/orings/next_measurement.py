"""Which further measurement settles it: the one expected to tell most about which ring it is.

The expected gain is the mutual information between the ring and the new reading,
I = Σ pᵢ · E[log(fᵢ(x) / Σ pⱼ fⱼ(x))], in bits, with fᵢ the normal predictive density of the reading for ring i given
all readings so far (Gaussian conditioning of the joint covariance). The expectation is a fixed Gauss-Hermite rule, so
nothing is sampled.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt
from typing import NamedTuple

from catalog.orings.evidence import Dimension, Evidence, Reading, Tool
from catalog.orings.instruments import plus_minus_mm
from catalog.orings.likelihood import ANY_ID_MM, ANY_WIDTH_MM, GEOMETRY, Terms, covariance, expected, terms
from catalog.orings.sizes import RingSize
from catalog.uncertainty import SQRT_2PI, limit_variance

# Below this the measurement would settle nothing worth the walk to the toolbox.
LEAST_BITS = 0.1
MOST_RIVALS = 6
# Gauss-Hermite, 5 points, for a standard normal variable: nodes 0, ±√(5 ∓ √10).
_HERMITE = (
    (0.0, 8.0 / 15.0),
    (1.355626179974266, 0.2220759220056126),
    (-1.355626179974266, 0.2220759220056126),
    (2.8569700138728056, 0.01125741132772069),
    (-2.8569700138728056, 0.01125741132772069),
)
# What can still be taken, with which tool, and how much of its gain its trouble leaves (cutting destroys the ring).
_CHOICES = (
    (Dimension.ID, Tool.CALIPER, 1.0),
    (Dimension.WIDTH, Tool.CALIPER, 1.0),
    (Dimension.OD, Tool.CALIPER, 1.0),
    (Dimension.WIDTH, Tool.MICROMETER, 0.95),
    (Dimension.ID, Tool.CONE, 0.9),
    (Dimension.AROUND, Tool.TAPE, 0.9),
    (Dimension.CUT_LENGTH, Tool.RULE, 0.6),
)


class Rival(NamedTuple):
    """A ring that the readings so far allow. `size` is None for a ring of no standard."""

    size: RingSize | None
    id_mm: float
    width_mm: float
    id_variance: float
    width_variance: float
    probability: float


class NextMeasurement(NamedTuple):
    """What to measure next, with what, why in words, and the information expected from it in bits."""

    dimension: Dimension
    tool: Tool
    why: str
    bits: float


def rival(size: RingSize, probability: float) -> Rival:
    """A standard size as a rival."""
    return Rival(
        size,
        size.id_mm,
        size.cross_section_mm,
        limit_variance(size.id_tol_mm),
        limit_variance(size.cross_section_tol_mm),
        probability,
    )


def no_standard(id_mm: float, width_mm: float, probability: float) -> Rival:
    """The ring of no standard, around where the readings put it, as a rival with next to no prior knowledge."""
    return Rival(
        None,
        id_mm,
        width_mm,
        limit_variance(min(ANY_ID_MM[1], 4.0 * id_mm)),
        limit_variance(min(ANY_WIDTH_MM[1], 4.0 * width_mm)),
        probability,
    )


def next_measurement(evidence: Evidence, rivals: Sequence[Rival]) -> NextMeasurement | None:
    """The measurement that tells most, or None where none is worth taking."""
    best = sorted(rivals, key=lambda found: found.probability, reverse=True)[:MOST_RIVALS]
    total = sum(found.probability for found in best)
    if len(best) < 2 or total <= 0.0 or best[0].probability / total > 0.995:
        return None
    best = [found._replace(probability=found.probability / total) for found in best if found.probability > 0.0]
    chosen: tuple[float, float, Dimension, Tool, list[tuple[float, float]]] | None = None
    for dimension, tool, worth in _CHOICES:
        likely = _likely(dimension, best[0])
        limit = plus_minus_mm(dimension, tool, likely)
        taken = [reading.plus_minus_mm for reading in evidence.readings if reading.dimension is dimension]
        if taken and min(taken) <= 1.5 * limit:
            continue
        asked = terms(evidence._replace(readings=(*evidence.readings, Reading(dimension, likely, limit, tool))))
        views = [_predict(asked, found) for found in best]
        bits = _bits([found.probability for found in best], views)
        if bits >= LEAST_BITS and (chosen is None or bits * worth > chosen[0] * 1.02):
            chosen = (bits * worth, bits, dimension, tool, views)
    if chosen is None:
        return None
    _, bits, dimension, tool, views = chosen
    return NextMeasurement(dimension, tool, _why(dimension, tool, best, views), bits)


def _likely(dimension: Dimension, found: Rival) -> float:
    per_id, per_width = GEOMETRY[dimension]
    return per_id * found.id_mm + per_width * found.width_mm


def _predict(asked: Terms, found: Rival) -> tuple[float, float]:
    """Mean and standard deviation in mm of the last reading for this ring, given the others."""
    matrix = covariance(asked, found.id_mm, found.width_mm)
    means = expected(asked, found.id_mm, found.width_mm)
    count = len(means)
    for i in range(count):
        for j in range(count):
            matrix[i][j] += (
                asked.per_id[i] * asked.per_id[j] * found.id_variance
                + asked.per_width[i] * asked.per_width[j] * found.width_variance
            )
    # Eliminating the readings one by one leaves the last one's conditional mean and variance.
    for k in range(count - 1):
        pivot = matrix[k][k]
        miss = asked.values[k] - means[k]
        for i in range(k + 1, count):
            factor = matrix[i][k] / pivot
            means[i] += factor * miss
            for j in range(k + 1, count):
                matrix[i][j] -= factor * matrix[k][j]
    return means[-1], sqrt(max(matrix[-1][-1], 1e-12))


def _bits(weights: Sequence[float], views: Sequence[tuple[float, float]]) -> float:
    gain = 0.0
    for weight, (mean, deviation) in zip(weights, views, strict=True):
        for node, share in _HERMITE:
            x = mean + node * deviation
            own = exp(-0.5 * node * node) / (deviation * SQRT_2PI)
            mixed = 0.0
            for other, (other_mean, other_deviation) in zip(weights, views, strict=True):
                z = (x - other_mean) / other_deviation
                if abs(z) < 38.0:
                    mixed += other * exp(-0.5 * z * z) / (other_deviation * SQRT_2PI)
            if mixed > 0.0:
                gain += weight * share * log(own / mixed)
    return max(gain, 0.0) / log(2.0)


def _why(dimension: Dimension, tool: Tool, best: Sequence[Rival], views: Sequence[tuple[float, float]]) -> str:
    """One sentence: what the reading would be for the two likeliest rings it separates."""
    named = [(found.size, mean) for found, (mean, _) in zip(best, views, strict=True) if found.size is not None]
    with_tool = {Tool.RULE: "a steel rule", Tool.TAPE: "a tape"}.get(tool, f"a {tool}")
    name = dimension.words
    if len(named) < 2:
        size, mean = named[0]
        return f"Measure the {name} with {with_tool}: on {size.label} it would read about {mean:.2f} mm."
    first, first_mean = named[0]
    second, second_mean = max(named[1:], key=lambda pair: abs(pair[1] - first_mean))
    return (
        f"Measure the {name} with {with_tool}: about {first_mean:.2f} mm means {first.label}, "
        f"about {second_mean:.2f} mm means {second.label}."
    )
