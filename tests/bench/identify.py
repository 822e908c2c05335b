"""How well the matcher names simulated rings, next to a nearest-size lookup and to the best that anyone could do.

    python -m tests.bench.identify [--rings 4000] [--sampled 800] [--seed 1] [--shape cut-normal]

Rings are drawn from every series by the matcher's own prior, made within their tolerances as the shape says, worn as
their condition says, and read by caliper (ID and width; a flattened ring's width both ways). The matcher takes rings as
made by a normal of half the tolerance, cut there; the other shapes show what that costs where it isn't so. Beside the
matcher stand

* nearest: the size at the least distance in (ID, width), as a table and a finger find it;
* limit: the Bayes limit. An independent sampler that knows the true process draws every rival ring many times over and
  names the one most often near the readings. No matcher can name more rings than that, sampling noise aside.
  It is slow, so it sees fewer rings; the gap compares it with the matcher on those same rings.

Rings of no standard are drawn equally likely by ratio in ID 3-200 mm and width 1-8 mm, and kept where they lie outside
every size's tolerance box by more than three standard deviations of reading and wear, in ID or in width.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Callable, Sequence
from functools import cache
from math import exp, log, sqrt
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from catalog.orings.box.normal import Floats
from catalog.orings.condition import FREE_FACE_DOUBT, FREE_FACE_GAIN, WEAR, Wear
from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.instruments import plus_minus_mm, reading
from catalog.orings.match import Ranking, rank
from catalog.orings.prior import Prior
from catalog.orings.sizes import RingSize, all_sizes

PRIOR = Prior()
_CUT_NORMAL = NormalDist(0.0, 0.5)


def _triangular(share: float) -> float:
    return sqrt(2.0 * share) - 1.0 if share < 0.5 else 1.0 - sqrt(2.0 * (1.0 - share))


def _cut_normal(share: float) -> float:
    low = _CUT_NORMAL.cdf(-1.0)
    return _CUT_NORMAL.inv_cdf(low + share * (1.0 - 2.0 * low))


# Where in its tolerance (-1 to 1) a ring is made, by the share of rings made below.
SHAPES: dict[str, Callable[[float], float]] = {
    "cut-normal": _cut_normal,
    "even": lambda share: 2.0 * share - 1.0,
    "triangular": _triangular,
    "narrow": lambda share: max(min(NormalDist(0.0, 1.0 / 3.0).inv_cdf(share), 1.0), -1.0),
    "small": lambda share: max(min(NormalDist(-0.3, 0.3).inv_cdf(share), 1.0), -1.0),
}
"""The last is a lot that was all made small: no matcher can know."""
WORN = tuple(one for one in Condition if one is not Condition.NOT_SAID)
RIVAL_DRAWS = 4000
STRANGE = 3.0


class Worn(NamedTuple):
    """One draw of the wear: scale, set, spread, and what the free faces gain."""

    scale: float
    set: float
    spread: float
    gain: float


class Score(NamedTuple):
    """Shares of rings, 0 to 1. None found: the answer was "no standard size", rightly; false alarm: wrongly."""

    top_1: float
    top_3: float
    nearest: float
    limit: float
    gap: float
    calibration: float
    none_found: float
    none_false: float


def draw_wear(wear: Wear, dice: random.Random) -> Worn:
    """One ring's wear, as `catalog.orings.condition` describes it."""
    return Worn(
        dice.gauss(*wear.scale),
        dice.gauss(*wear.set),
        dice.gauss(*wear.spread),
        FREE_FACE_GAIN,
    )


def shown(id_mm: float, width_mm: float, worn: Worn, flattened: bool) -> tuple[float, ...]:
    """What perfect instruments read in mm: ID, width across the flats and, where flattened, across the free faces."""
    id_read = id_mm * (1.0 + worn.scale) - worn.spread * width_mm
    flat = width_mm * (1.0 + worn.scale - worn.set)
    if not flattened:
        return id_read, flat
    return id_read, flat, width_mm * (1.0 + worn.scale + worn.gain * worn.set)


def deviations(values: Sequence[float]) -> list[float]:
    """Standard deviations in mm of the caliper's readings of an ID followed by widths."""
    limits = [plus_minus_mm(Dimension.ID, Tool.CALIPER, values[0])]
    limits += [plus_minus_mm(Dimension.WIDTH, Tool.CALIPER, value) for value in values[1:]]
    return [limit / sqrt(3.0) for limit in limits]


def read(values: Sequence[float], condition: Condition, wear: Wear, dice: random.Random) -> Evidence:
    """The readings with the caliper's error."""
    noisy = [dice.gauss(value, deviation) for value, deviation in zip(values, deviations(values), strict=True)]
    if len(noisy) == 3:
        noisy[2] += dice.gauss(0.0, FREE_FACE_DOUBT * (wear.set.mean + wear.set.deviation) * noisy[1])
    kinds = [Dimension.ID] + [Dimension.WIDTH] * (len(noisy) - 1)
    return Evidence(tuple(reading(kind, max(value, 0.05)) for kind, value in zip(kinds, noisy, strict=True)), condition)


def spread_draws(wear: Wear, shape: Callable[[float], float]) -> list[tuple[float, ...]]:
    """Draws of place in the tolerance box and wear, spread evenly (Halton) so that few of them decide like many."""
    normal = NormalDist()

    def halton(index: int, base: int) -> float:
        share, place = 1.0, 0.0
        while index:
            share /= base
            place += share * (index % base)
            index //= base
        return place

    return [
        (
            shape(halton(index, 2)),
            shape(halton(index, 3)),
            *(
                change.mean + change.deviation * normal.inv_cdf(halton(index, base))
                for change, base in zip(wear, (5, 7, 11), strict=True)
            ),
        )
        for index in range(1, RIVAL_DRAWS + 1)
    ]


def sampled_decision(evidence: Evidence, ranking: Ranking, rivals: Sequence[tuple[float, ...]]) -> int | None:
    """The place of the match whose rings are most often near the readings, each drawn many times over.

    `rivals` are the draws, shared by all rings: position in the tolerance box (-1 to 1) twice, scale, set, spread.
    The decision is by match: a match's weight is the sum over the names it goes by.
    """
    wear = WEAR[evidence.condition]
    values = [reading.value_mm for reading in evidence.readings]
    values[1:] = sorted(values[1:])
    spreads = deviations(values)
    doubtful = FREE_FACE_DOUBT * (wear.set.mean + wear.set.deviation)
    best, best_weight = None, 0.0
    for place, match in enumerate(ranking.matches):
        weight = 0.0
        for size in (match.size, *match.also):
            weight += PRIOR.weight(size) * _closeness(size, values, spreads, doubtful, rivals)
        if weight > best_weight:
            best, best_weight = place, weight
    return best


def _closeness(
    size: RingSize,
    values: Sequence[float],
    spreads: Sequence[float],
    doubtful: float,
    draws: Sequence[tuple[float, ...]],
) -> float:
    """Mean density of the readings over the draws, up to a factor common to all sizes."""
    id_sd, flat_sd = spreads[0], spreads[1]
    free_sd = sqrt(spreads[2] ** 2 + (doubtful * size.cross_section_mm) ** 2) if len(values) == 3 else 1.0
    total = 0.0
    for at_id, at_width, scale, flat, spread in draws:
        width = size.cross_section_mm + at_width * size.cross_section_tol_mm
        id_mm = (size.id_mm + at_id * size.id_tol_mm) * (1.0 + scale) - spread * width
        distance = ((values[0] - id_mm) / id_sd) ** 2 + ((values[1] - width * (1.0 + scale - flat)) / flat_sd) ** 2
        if len(values) == 3:
            distance += ((values[2] - width * (1.0 + scale + FREE_FACE_GAIN * flat)) / free_sd) ** 2
        if distance < 60.0:
            total += exp(-0.5 * distance)
    return total / (len(draws) * free_sd)


def names(ranking: Ranking, at: int) -> set[str]:
    """All the names that the match at this place goes by."""
    if at >= len(ranking.matches):
        return set()
    match = ranking.matches[at]
    return {match.size.key, *(size.key for size in match.also)}


def group_of(ranking: Ranking, size: RingSize) -> int | None:
    """The place in the ranking of the match that this size belongs to."""
    return next((at for at in range(len(ranking.matches)) if size.key in names(ranking, at)), None)


def nearest(evidence: Evidence) -> RingSize:
    """The size at the least distance in mm in the (ID, width) plane."""
    id_mm = evidence.readings[0].value_mm
    widths = [reading.value_mm for reading in evidence.readings[1:]]
    width = sum(widths) / len(widths)
    ids, sizes_width = _plane()
    return all_sizes()[int(((ids - id_mm) ** 2 + (sizes_width - width) ** 2).argmin())]


@cache
def _plane() -> tuple[Floats, Floats]:
    """ID and width in mm of all sizes."""
    sizes = all_sizes()
    return np.array([size.id_mm for size in sizes]), np.array([size.cross_section_mm for size in sizes])


def no_standard_ring(wear: Wear, dice: random.Random) -> tuple[float, float]:
    """ID and width in mm of a ring that lies outside every tolerance box by more than reading and wear explain."""
    while True:
        id_mm = 3.0 * exp(dice.random() * log(200.0 / 3.0))
        width = exp(dice.random() * log(8.0))
        id_sd, width_sd = deviations((id_mm, width))
        id_sd = sqrt(id_sd**2 + (wear.scale.deviation * id_mm) ** 2 + (wear.spread.deviation * width) ** 2)
        width_sd = sqrt(width_sd**2 + (wear.scale.deviation**2 + wear.set.deviation**2) * width**2)
        if all(
            abs(size.id_mm - id_mm) > size.id_tol_mm + STRANGE * id_sd
            or abs(size.cross_section_mm - width) > size.cross_section_tol_mm + STRANGE * width_sd
            for size in all_sizes()
        ):
            return id_mm, width


def calibration(told: Sequence[tuple[float, bool]], bins: int = 10) -> float:
    """Expected calibration error: how far the stated probability of the top match lies from how often it is right."""
    boxes: list[list[tuple[float, bool]]] = [[] for _ in range(bins)]
    for probability, right in told:
        boxes[min(int(probability * bins), bins - 1)].append((probability, right))
    return sum(abs(sum(probability for probability, _ in box) - sum(right for _, right in box)) for box in boxes) / len(
        told
    )


def score(condition: Condition, rings: int, sampled: int, seed: int, shape: Callable[[float], float]) -> Score:
    """Simulate `rings` rings in one condition (the first `sampled` sampled too), and a quarter as many strangers."""
    dice = random.Random(seed)
    wear = WEAR[condition]
    flattened = condition is Condition.FLATTENED
    sizes = all_sizes()
    weights = [PRIOR.weight(size) for size in sizes]
    draws = spread_draws(wear, shape)
    top_1 = top_3 = near = limit = same = false_alarms = found = 0
    told: list[tuple[float, bool]] = []
    for ring, size in enumerate(dice.choices(sizes, weights, k=rings)):
        id_mm = size.id_mm + shape(dice.uniform(1e-9, 1.0 - 1e-9)) * size.id_tol_mm
        width = size.cross_section_mm + shape(dice.uniform(1e-9, 1.0 - 1e-9)) * size.cross_section_tol_mm
        evidence = read(shown(id_mm, width, draw_wear(wear, dice), flattened), condition, wear, dice)
        ranking = rank(evidence, prior=PRIOR, limit=50)
        place = group_of(ranking, size)
        top_1 += place == 0
        top_3 += place is not None and place < 3
        false_alarms += not ranking.found
        told.append((ranking.matches[0].probability if ranking.matches else 0.0, place == 0))
        near += place is not None and group_of(ranking, nearest(evidence)) == place
        if ring < sampled:
            same += place == 0
            limit += place is not None and sampled_decision(evidence, ranking, draws) == place
    strangers = max(rings // 4, 1)
    for _ in range(strangers):
        perfect = shown(*no_standard_ring(wear, dice), draw_wear(wear, dice), flattened)
        found += not rank(read(perfect, condition, wear, dice), prior=PRIOR).found
    return Score(
        top_1 / rings,
        top_3 / rings,
        near / rings,
        limit / sampled,
        (limit - same) / sampled,
        calibration(told),
        found / strangers,
        false_alarms / rings,
    )


def main(write: Callable[[str], None] = print) -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rings", type=int, default=4000)
    parser.add_argument("--sampled", type=int, default=800)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--shape", choices=SHAPES, default="cut-normal")
    asked = parser.parse_args()
    write(f"{asked.rings} rings a condition, seed {asked.seed}, made {asked.shape}; shares in percent.")
    write(f"Limit and gap (limit less top 1 of the same rings): the first {asked.sampled} rings.")
    write("| condition | top 1 | top 3 | nearest size | limit | gap | calibration error | none found | false alarm |")
    write("| --- | --- | --- | --- | --- | --- | --- | --- | --- |")
    for condition in WORN:
        row = score(condition, asked.rings, min(asked.sampled, asked.rings), asked.seed, SHAPES[asked.shape])
        write(f"| {condition} | " + " | ".join(f"{100.0 * share:.1f}" for share in row) + " |")


if __name__ == "__main__":
    main()
