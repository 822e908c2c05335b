"""From a measured diameter and pitch to the thread it is, how sure that is, and what would settle a doubt.

The same idea as for rings. A thread as made lies evenly within the standard's limits; a reading with limit of error ±a
adds a normal error of variance a²/3 (JCGM 100, Type B). The likelihood of a thread is the one convolved with the other.
“None of these” takes part as a thread of any diameter and pitch, and wins where no
standard thread explains the readings.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from math import log, sqrt
from typing import NamedTuple

from catalog.fasteners.lookalikes import tell_apart
from catalog.fasteners.sizes import MM_PER_INCH, System, Thread, all_threads
from catalog.uncertainty import normal_between, normal_density, standard_uncertainty


class Wear(StrEnum):
    """How the crests look. Worn crests are rounded; damaged ones are crushed, stripped or pulled out of pitch."""

    SOUND = "sound"
    WORN = "worn"
    DAMAGED = "damaged"


class Reading(NamedTuple):
    """A measured length in mm and its limit of error ± in mm (a limit, not a standard deviation)."""

    value_mm: float
    plus_minus_mm: float


class Measured(NamedTuple):
    """What was measured. `diameter` is over the crests; inside a nut or hole (`internal`) across the crests.

    `pitch`, `tapered` and `flank_angle_deg` (55 or 60) may be unknown: None.
    """

    diameter: Reading
    pitch: Reading | None = None
    internal: bool = False
    wear: Wear = Wear.SOUND
    tapered: bool | None = None
    flank_angle_deg: int | None = None


class Candidate(NamedTuple):
    """A thread with its probability. Residuals in mm: reading less the nearest limit (0 within), reading less pitch."""

    thread: Thread
    probability: float
    diameter_residual_mm: float
    pitch_residual_mm: float | None


class Identification(NamedTuple):
    """The answer: candidates best first, the probability that it is none of them, and sentences for a person."""

    candidates: tuple[Candidate, ...]
    none_probability: float
    settle: str
    notes: tuple[str, ...]


# Our assumptions, no source. How much of the pitch the crests may have lost:
_CREST_LOSS = {Wear.SOUND: 0.0, Wear.WORN: 0.08, Wear.DAMAGED: 0.2}
# and how much wider than stated the pitch may read off:
_PITCH_FACTOR = {Wear.SOUND: 1.0, Wear.WORN: 1.5, Wear.DAMAGED: 2.5}
# How often a thread of this series turns up on a bench, before anything is measured:
_SERIES_WEIGHT = {"coarse": 1.0, "fine": 0.5, "rare fine": 0.1, "UNC": 0.6, "UNF": 0.5, "UN": 0.2, "UNS": 0.2}
_PIPE_WEIGHT = 0.4
_NONE_PRIOR = 0.05
_CONTRADICTED = 0.02
_DIAMETER_RANGE = (2.0, 70.0)
_PITCH_RANGE = (0.3, 6.5)
_ALIVE = 0.05


def pitch_over(length_mm: float, threads: int, plus_minus_mm: float) -> Reading:
    """Pitch from the length over several threads: crest 1 to crest `threads` + 1, measured to ± in mm."""
    if threads < 1:
        raise ValueError("Count at least one thread: the length from one crest to the next is 1.")
    return Reading(length_mm / threads, plus_minus_mm / threads)


def pitch_from_tpi(per_inch: float, plus_minus: float) -> Reading:
    """Pitch from threads counted per inch, each with ±, as mm. The ± is carried over to first order."""
    if per_inch <= 0:
        raise ValueError("Threads per inch must be more than 0: count the crests along one inch.")
    return Reading(MM_PER_INCH / per_inch, MM_PER_INCH * plus_minus / per_inch**2)


def _check(measured: Measured) -> None:
    named = [("diameter", measured.diameter)] + ([("pitch", measured.pitch)] if measured.pitch else [])
    for name, reading in named:
        if not (0 < reading.value_mm < 1000 and 0 < reading.plus_minus_mm < 1000):
            raise ValueError(
                f"The {name} of {reading.value_mm:g} ± {reading.plus_minus_mm:g} mm cannot be: "
                "type a length above 0 and a ± above 0, in mm or inches."
            )
    if measured.flank_angle_deg not in (None, 55, 60):
        raise ValueError(f"A flank angle of {measured.flank_angle_deg}° is not in the tables: type 55 or 60.")


def _limits(thread: Thread, measured: Measured) -> tuple[float, float]:
    """Where the true crest diameter may lie, mm: the standard's limits, opened on the side that wear takes from."""
    loss = _CREST_LOSS[measured.wear] * thread.pitch_mm
    if measured.internal:
        return thread.minor_low_mm, thread.minor_high_mm + loss
    return thread.major_low_mm - loss, thread.major_high_mm


def _pitch_sigma(measured: Measured, pitch: Reading) -> float:
    return standard_uncertainty(pitch.plus_minus_mm) * _PITCH_FACTOR[measured.wear]


def likelihood(thread: Thread, measured: Measured) -> float:
    """Density of the readings if the part has this thread, per mm (diameter alone) or per mm²."""
    low, high = _limits(thread, measured)
    reading = measured.diameter
    sigma = standard_uncertainty(reading.plus_minus_mm)
    density = normal_between((low - reading.value_mm) / sigma, (high - reading.value_mm) / sigma) / (high - low)
    if measured.pitch:
        spread = _pitch_sigma(measured, measured.pitch)
        density *= normal_density((measured.pitch.value_mm - thread.pitch_mm) / spread) / spread
    if measured.tapered is not None and measured.tapered != thread.tapered:
        density *= _CONTRADICTED
    if measured.flank_angle_deg is not None and measured.flank_angle_deg != thread.flank_angle_deg:
        density *= _CONTRADICTED
    return density


def _none_likelihood(measured: Measured) -> float:
    """The same density for a thread of no table: diameter and pitch anywhere, evenly on a logarithmic scale."""
    density = 1 / (measured.diameter.value_mm * log(_DIAMETER_RANGE[1] / _DIAMETER_RANGE[0]))
    if measured.pitch:
        density /= measured.pitch.value_mm * log(_PITCH_RANGE[1] / _PITCH_RANGE[0])
    return density


def _residual(thread: Thread, measured: Measured) -> float:
    low, high = _limits(thread, measured)
    value = measured.diameter.value_mm
    return value - high if value > high else min(value - low, 0.0)


def identify(measured: Measured, weights: Mapping[System, float] | None = None, keep: int = 8) -> Identification:
    """Rank the threads of the tables by probability given the readings; at most `keep` candidates.

    `weights` multiplies the prior of a system (`{System.UNIFIED: 4}` for a machine built in inches). Probabilities of
    all threads and of none sum to 1. Raises ValueError for readings that cannot be.
    """
    _check(measured)
    wanted = weights or {}
    priors = {
        thread: _SERIES_WEIGHT.get(thread.series, _PIPE_WEIGHT) * wanted.get(thread.system, 1.0)
        for thread in all_threads()
    }
    scale = (1 - _NONE_PRIOR) / sum(priors.values())
    joint = {thread: prior * scale * likelihood(thread, measured) for thread, prior in priors.items()}
    none = _NONE_PRIOR * _none_likelihood(measured)
    total = sum(joint.values()) + none
    best = sorted(joint, key=lambda thread: -joint[thread])[:keep]
    pitch = measured.pitch
    candidates = tuple(
        Candidate(
            thread,
            joint[thread] / total,
            _residual(thread, measured),
            pitch.value_mm - thread.pitch_mm if pitch else None,
        )
        for thread in best
        if joint[thread] / total >= 0.001
    )
    return Identification(
        candidates, none / total, _settle(candidates, measured), _notes(candidates, none / total, measured)
    )


def _settle(candidates: tuple[Candidate, ...], measured: Measured) -> str:
    """The one further measurement that would help most, or "" where there is no doubt to settle."""
    alive = [candidate.thread for candidate in candidates if candidate.probability >= _ALIVE]
    if len(alive) < 2:
        return ""
    if measured.pitch is None and len({round(thread.pitch_mm, 3) for thread in alive}) > 1:
        leaves = " or ".join(dict.fromkeys(thread.pitch_text for thread in alive))
        return f"Measure the pitch: a thread gauge ({leaves}) settles it."
    return tell_apart(alive[0], alive[1])


def _notes(candidates: tuple[Candidate, ...], none: float, measured: Measured) -> tuple[str, ...]:
    notes = []
    if not candidates or none > 0.5:
        common = (thread for thread in all_threads() if thread.series != "rare fine")
        near = sorted(common, key=lambda thread: _distance(thread, measured))[:2]
        names = " and ".join(thread.designation for thread in near)
        notes.append(
            f"No standard thread explains these readings; {names} are nearest. Clean the thread, measure where the "
            "crests are whole, and count the pitch over ten threads."
        )
    if measured.wear is not Wear.SOUND:
        way = "larger" if measured.internal else "smaller"
        notes.append(
            f"The crests are {measured.wear}: the diameter may read {way} than it was made, so trust the pitch more. "
            "Do not put a damaged thread back under load."
        )
    if any(candidate.thread.tapered for candidate in candidates if candidate.probability >= _ALIVE):
        notes.append(
            "A pipe thread is named by its bore, not by what you measured, and a tapered one grows by 1 in 16 of its "
            "length. Never force a tapered plug into a parallel port."
        )
    return tuple(notes)


def _distance(thread: Thread, measured: Measured) -> float:
    """How far the readings are from a thread, in shares of its diameter and pitch: for naming the nearest only."""
    # A diameter three times as far off as a pitch, in shares, looks as wrong to the eye: our choice, for naming only.
    gap = 3 * _residual(thread, measured) / thread.diameter_mm
    if measured.pitch is None:
        return abs(gap)
    return sqrt(gap**2 + (measured.pitch.value_mm / thread.pitch_mm - 1) ** 2)
