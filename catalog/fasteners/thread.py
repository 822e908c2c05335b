"""From a measured diameter and pitch to the thread it is, how sure that is, and what would settle a doubt.

The same idea as for rings. A thread as made lies evenly within the standard's limits; a reading with limit of error ±a
adds a normal error of variance a²/3 (JCGM 100, Type B). The likelihood of a thread is the one convolved with the other.
“None of these” takes part as a thread of any diameter and pitch, and wins where no
standard thread explains the readings. How a row is known (its standing) never counts: a part on the bench does not care
who printed its table.

This is the only identification of a thread there is; `catalog/orings/port.py` builds on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from math import log, sqrt
from typing import NamedTuple

from catalog.because import Because
from catalog.fasteners.flank import WORDS as FLANK_WORDS
from catalog.fasteners.flank import Flank, none_seen, seen
from catalog.fasteners.lookalikes import tell_apart
from catalog.fasteners.sizes import MM_PER_INCH, System, Thread, all_threads
from catalog.standing import Standing
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

    `pitch`, `tapered` and `flank` (a gauge's leaf or a measured angle) may be unknown: None.
    """

    diameter: Reading
    pitch: Reading | None = None
    internal: bool = False
    wear: Wear = Wear.SOUND
    tapered: bool | None = None
    flank: Flank | None = None


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
    because: tuple[Because, ...] = ()


# Our assumptions, no source. How much of the pitch the crests may have lost:
_CREST_LOSS = {Wear.SOUND: 0.0, Wear.WORN: 0.08, Wear.DAMAGED: 0.2}
# and how much wider than stated the pitch may read off:
_PITCH_FACTOR = {Wear.SOUND: 1.0, Wear.WORN: 1.5, Wear.DAMAGED: 2.5}
# How often a thread of this series turns up on a bench, before anything is measured:
# Whitworth and BA stand on old tractors and their implements: seldom beside metric and unified, never left out.
_SERIES_WEIGHT = {
    "coarse": 1.0, "fine": 0.5, "rare fine": 0.1, "UNC": 0.6, "UNF": 0.5, "UN": 0.2, "UNS": 0.1, "UNEF": 0.08,
    "BSW": 0.15, "BSF": 0.12, "BA": 0.05,
}  # fmt: skip
_PIPE_WEIGHT = 0.4
_NONE_PRIOR = 0.05
_SELDOM = frozenset(("rare fine", "UNEF", "UNS", "BA"))
# How often a straight edge on the crests, or the eye, takes a taper for a straight thread or the other way round:
_TAPER_MISREAD = 0.02
_DIAMETER_RANGE = (2.0, 70.0)
_PITCH_RANGE = (0.3, 6.5)
_ALIVE = 0.05
_READ = Because(
    "A reading with ± a counts as a normal error of variance a²/3; a sound thread lies evenly within its limits.",
    "JCGM 100:2008, 4.3.7",
    Standing.PUBLISHED,
)
_PRIOR = Because(
    "Before anything is measured: metric coarse 1, UNC 0.6, metric fine and UNF 0.5, pipe 0.4, UN 0.2, BSW 0.15, "
    "BSF 0.12, UNS and rare metric fine 0.1, UNEF 0.08, BA 0.05; none of these 5 in 100.",
    "common practice, no source",
    Standing.PRACTICE,
)


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
    if measured.flank is not None:
        measured.flank.check()


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
    if measured.tapered is not None:
        density *= 1 - _TAPER_MISREAD if measured.tapered == thread.tapered else _TAPER_MISREAD
    if measured.flank is not None:
        density *= seen(measured.flank, thread.flank_angle_deg, thread.pitch_mm)
    return density


def _none_likelihood(measured: Measured) -> float:
    """The same density for a thread of no table: diameter and pitch anywhere, evenly on a logarithmic scale."""
    density = 1 / (measured.diameter.value_mm * log(_DIAMETER_RANGE[1] / _DIAMETER_RANGE[0]))
    if measured.pitch:
        density /= measured.pitch.value_mm * log(_PITCH_RANGE[1] / _PITCH_RANGE[0])
    if measured.tapered is not None:
        density *= 0.5
    if measured.flank is not None:
        density *= none_seen(measured.flank)
    return density


def _residual(thread: Thread, measured: Measured) -> float:
    low, high = _limits(thread, measured)
    value = measured.diameter.value_mm
    return value - high if value > high else min(value - low, 0.0)


def prior_weight(thread: Thread) -> float:
    """How often such a thread turns up on a bench, beside metric coarse (1): our assumption, by its family."""
    return _SERIES_WEIGHT.get(thread.series, _PIPE_WEIGHT)


def identify(
    measured: Measured, weights: Mapping[System, float] | None = None, keep: int = 8, least: float = 0.001
) -> Identification:
    """Rank the threads of the tables by probability given the readings; at most `keep`, none under `least`.

    `weights` multiplies the prior of a system (`{System.UNIFIED: 4}` for a machine built in inches). Probabilities of
    all threads and of none sum to 1. Raises ValueError for readings that cannot be.
    """
    _check(measured)
    wanted = weights or {}
    priors = {thread: prior_weight(thread) * wanted.get(thread.system, 1.0) for thread in all_threads()}
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
        if joint[thread] / total >= least
    )
    return Identification(
        candidates,
        none / total,
        _settle(candidates, measured),
        _notes(candidates, none / total, measured),
        _because(candidates, measured),
    )


def _settle(candidates: tuple[Candidate, ...], measured: Measured) -> str:
    """The one further measurement that would help most, or "" where there is no doubt to settle."""
    alive = [candidate.thread for candidate in candidates if candidate.probability >= _ALIVE]
    if len(alive) < 2:
        return ""
    if measured.pitch is None and len({round(thread.pitch_mm, 3) for thread in alive}) > 1:
        leaves = " or ".join(dict.fromkeys(thread.pitch_text for thread in alive))
        return f"Measure the pitch: a thread gauge ({leaves}) settles it."
    told = tell_apart(alive[0], alive[1])
    if measured.flank is not None and FLANK_WORDS in told:
        pair = f"{alive[0].designation} or {alive[1].designation}"
        return (
            f"{pair}: try a known bolt or nut of each by hand, never with a wrench; a gauge's leaf is misread at times."
        )
    return told


def _because(candidates: tuple[Candidate, ...], measured: Measured) -> tuple[Because, ...]:
    """The rules that decided: the limits of the likeliest threads, the readings' model, what was taken as usual."""
    rules = [_limits_rule(candidate.thread, measured.internal) for candidate in candidates[:3]]
    rules += [_READ, _PRIOR]
    if measured.wear is not Wear.SOUND:
        share = _CREST_LOSS[measured.wear]
        rules.append(_ours(f"Crests {measured.wear}: up to {share:g} of a pitch lost, the pitch read less sharply."))
    if measured.tapered is not None:
        rules.append(
            _ours(f"A taper is taken for a straight thread, or the other way round, {_TAPER_MISREAD:.0%} of the time.")
        )
    if measured.flank is not None:
        rules.append(_ours(measured.flank.rule))
    return tuple(rules)


def _ours(rule: str) -> Because:
    return Because(rule, "common practice, no source", Standing.PRACTICE)


def _limits_rule(thread: Thread, internal: bool) -> Because:
    low, high = (thread.minor_low_mm, thread.minor_high_mm) if internal else (thread.major_low_mm, thread.major_high_mm)
    made = "nut or hole, across the crests" if internal else "bolt or plug, over the crests"
    flanks = f"{thread.flank_angle_deg:g}°{', tapered 1 in 16' if thread.tapered else ''}"
    rule = f"{thread.designation}, {made}: {low:.2f} to {high:.2f} mm; pitch {thread.pitch_text}; {flanks}."
    source = thread.standing.words if thread.source == "memory" else thread.source
    return Because(rule, source, thread.standing)


def _notes(candidates: tuple[Candidate, ...], none: float, measured: Measured) -> tuple[str, ...]:
    notes = []
    if not candidates or none > 0.5:
        common = (thread for thread in all_threads() if thread.series not in _SELDOM)
        near = sorted(common, key=lambda thread: _distance(thread, measured))[:2]
        names = " and ".join(thread.designation for thread in near)
        notes.append(
            f"No standard thread fits these readings; {names} are nearest. Clean the thread, measure where the "
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
    notes += _wrong_leaf(candidates, measured)
    notes += _british(candidates, measured)
    return tuple(notes)


def _wrong_leaf(candidates: tuple[Candidate, ...], measured: Measured) -> list[str]:
    """Where the flanks that were seen are not those of the likeliest thread: it wins for want of another."""
    if measured.flank is None or not candidates:
        return []
    first = candidates[0].thread
    reach = measured.flank.plus_minus_deg or 0.0
    if abs(first.flank_angle_deg - measured.flank.angle_deg) <= reach:
        return []
    return [
        f"The flanks do not agree: {measured.flank.angle_deg:g}° was seen, {first.designation} has "
        f"{first.flank_angle_deg:g}°. Hold the leaf to the light again. If it is {measured.flank.angle_deg:g}° after "
        "all, this is a thread that is not in the tables: put no nut of another angle on it."
    ]


def _british(candidates: tuple[Candidate, ...], measured: Measured) -> list[str]:
    """Where a Whitworth or BA thread is possible: what a nut of the other family would do to it."""
    alive = [one.thread for one in candidates if one.probability >= _ALIVE]
    whitworth = [one for one in alive if one.system is System.WHITWORTH]
    mixed = any(one.system is not System.WHITWORTH for one in alive)
    if whitworth and mixed and measured.pitch is not None and measured.flank is None:
        names = " or ".join(one.designation for one in whitworth)
        return [
            f"{names} is Whitworth, 55° with round crests: usual on British tractors built before the 1960s. Diameter "
            "and pitch alone do not tell it from its neighbour here; hold a 55° leaf to the light."
        ]
    if alive and alive[0].system is System.WHITWORTH:
        return [
            "A 60° nut starts on a Whitworth bolt of the same pitch and binds or strips. Keep Whitworth with Whitworth."
        ]
    return []


def _distance(thread: Thread, measured: Measured) -> float:
    """How far the readings are from a thread, in shares of its diameter and pitch: for naming the nearest only."""
    # A diameter three times as far off as a pitch, in shares, looks as wrong to the eye: our choice, for naming only.
    gap = 3 * _residual(thread, measured) / thread.diameter_mm
    if measured.pitch is None:
        return abs(gap)
    return sqrt(gap**2 + (measured.pitch.value_mm / thread.pitch_mm - 1) ** 2)
