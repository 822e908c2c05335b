"""What readings say of a part made within limits: the same idea as for rings and threads.

A dimension as made lies evenly within its limits; a reading with ±a adds a normal error of variance a²/3 (JCGM 100,
Type B). “None of these” takes part as a part of any size, even on a logarithmic scale, and wins where no row explains
the readings. How a row is known never counts.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import log
from typing import Final, NamedTuple, TypeVar

from catalog.because import Because
from catalog.fasteners.thread import Reading
from catalog.standing import Standing
from catalog.uncertainty import normal_between, standard_uncertainty

Part = TypeVar("Part")
Limits = Mapping[str, tuple[float, float]]
Readings = Mapping[str, Reading]

MODEL: Final = Because(
    "A reading with ± a counts as a normal error of variance a²/3; a part lies evenly within its limits.",
    "JCGM 100:2008, 4.3.7",
    Standing.PUBLISHED,
)
USUAL_PLUS_MINUS_MM: Final = 0.1
"""The ± of a reading where none was typed: a caliper's, as hands hold it on a worn part. Our choice."""
ALIVE: Final = 0.05
LISTED: Final = 0.001


class Ranked(NamedTuple):
    """Where a part stands: its place in the list that was asked, its probability, how far each reading lies outside."""

    at: int
    probability: float
    off_mm: Mapping[str, float]


def check(readings: Readings) -> None:
    """Raises ValueError in one sentence for a reading that cannot be."""
    for name, reading in readings.items():
        if not (0 < reading.value_mm < 2000 and 0 < reading.plus_minus_mm < 100):
            raise ValueError(
                f"The {name} of {reading.value_mm:g} ± {reading.plus_minus_mm:g} mm cannot be: "
                "type a length above 0 and a ± above 0, in mm or inches."
            )


def off(limits: Limits, readings: Readings) -> dict[str, float]:
    """How far each reading lies outside the limits, mm; 0 within, less than 0 below."""
    found = {}
    for name, reading in readings.items():
        low, high = limits[name]
        value = reading.value_mm
        found[name] = value - high if value > high else min(value - low, 0.0)
    return found


def likelihood(limits: Limits, readings: Readings) -> float:
    """Density of the readings for a part made within these limits, per mm for each reading."""
    density = 1.0
    for name, reading in readings.items():
        low, high = limits[name]
        sigma = standard_uncertainty(reading.plus_minus_mm)
        z_low, z_high = (low - reading.value_mm) / sigma, (high - reading.value_mm) / sigma
        density *= normal_between(z_low, z_high) / (high - low)
    return density


def any_size(readings: Readings, ranges: Mapping[str, tuple[float, float]]) -> float:
    """Density of the readings for a part of any size: even on a logarithmic scale over each dimension's range."""
    check(readings)
    density = 1.0
    for name, reading in readings.items():
        density /= reading.value_mm * log(ranges[name][1] / ranges[name][0])
    return density


def rank(
    parts: Sequence[Part],
    limits: Callable[[Part], Limits],
    weight: Callable[[Part], float],
    readings: Readings,
    none_likelihood: float,
    none_prior: float,
) -> tuple[tuple[Ranked, ...], float]:
    """The parts by probability, best first, down to one in a thousand; and the probability of none of them."""
    weights = [weight(part) for part in parts]
    scale = (1 - none_prior) / sum(weights)
    joint = [scale * one * likelihood(limits(part), readings) for part, one in zip(parts, weights, strict=True)]
    none = none_prior * none_likelihood
    total = sum(joint) + none
    best = sorted(range(len(parts)), key=lambda at: -joint[at])
    ranked = tuple(
        Ranked(at, joint[at] / total, off(limits(parts[at]), readings)) for at in best if joint[at] / total >= LISTED
    )
    return ranked, none / total


def nearest(parts: Sequence[Part], limits: Callable[[Part], Limits], readings: Readings, count: int) -> list[Part]:
    """The parts whose limits lie nearest to the readings, in shares of the readings: for naming them only."""

    def distance(part: Part) -> float:
        gaps = off(limits(part), readings)
        return sum((gap / readings[name].value_mm) ** 2 for name, gap in gaps.items())

    return sorted(parts, key=distance)[:count]
