"""Threads that are taken for one another, and the gauge that settles it."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from catalog.fasteners.flank import WORDS as FLANK_WORDS
from catalog.fasteners.sizes import Thread, all_threads

# Our rule, no source: two threads are mixed up when their diameters differ by at most 6 % and their pitches by at most
# a third. M6 against 1/4-20 (5.8 %, 27 %) is the widest of the pairs that trade lists warn about.
DIAMETER_SHARE = 0.06
PITCH_SHARE = 1 / 3
TURNS = 10
_SELDOM = ("rare fine", "UNEF", "UNS")


class LookAlike(NamedTuple):
    """Another thread that starts on, or passes for, this one: the gaps in mm (other less this) and how to tell."""

    other: Thread
    diameter_gap_mm: float
    pitch_gap_mm: float
    tell: str


def tell_apart(first: Thread, second: Thread) -> str:
    """One sentence: which measurement or gauge settles whether a thread is `first` or `second`."""
    pitch_gap = abs(first.pitch_mm - second.pitch_mm)
    diameter_gap = abs(first.diameter_mm - second.diameter_mm)
    pair = f"{first.designation} or {second.designation}"
    # A gauge leaf shows a drift of about 0.3 mm over ten threads; a caliper shows 0.1 mm of diameter past the limits.
    if pitch_gap * TURNS >= 0.3:
        return (
            f"{pair}: lay a thread gauge on it, the {first.pitch_text} leaf and then the {second.pitch_text} leaf; "
            f"over {TURNS} threads the wrong one drifts {pitch_gap * TURNS:.1f} mm."
        )
    if first.tapered != second.tapered:
        tapered, straight = (first, second) if first.tapered else (second, first)
        return (
            f"{pair}: measure over the crests at the tip and ten threads up; {tapered.designation} grows by "
            f"{tapered.pitch_mm * TURNS / 16:.1f} mm, {straight.designation} stays the same."
        )
    if diameter_gap >= 0.1 and not first.tapered:
        return (
            f"{pair}: the pitch is nearly the same, so measure over the crests to 0.05 mm; a sound bolt is "
            f"{first.major_low_mm:.2f} to {first.major_high_mm:.2f} mm or {second.major_low_mm:.2f} to "
            f"{second.major_high_mm:.2f} mm."
        )
    if first.flank_angle_deg != second.flank_angle_deg:
        return (
            f"{pair}: {FLANK_WORDS}; hold a {first.flank_angle_deg:g}° leaf ({first.pitch_text}) and a "
            f"{second.flank_angle_deg:g}° leaf ({second.pitch_text}) to the light."
        )
    return f"{pair}: a caliper cannot tell them apart; try a known nut or a ring gauge by hand, never with a wrench."


@cache
def look_alikes(thread: Thread) -> tuple[LookAlike, ...]:
    """Threads of another system that are mistaken for this one, nearest first."""
    found = []
    for other in all_threads():
        # Rare threads below 1.5 mm of pitch are on no filter, port or plug that a shop meets.
        if other.system is thread.system or (other.series in _SELDOM and other.pitch_mm < 1.5):
            continue
        diameter_gap = other.diameter_mm - thread.diameter_mm
        pitch_gap = other.pitch_mm - thread.pitch_mm
        near = abs(diameter_gap) <= DIAMETER_SHARE * max(other.diameter_mm, thread.diameter_mm)
        if near and abs(pitch_gap) <= PITCH_SHARE * max(other.pitch_mm, thread.pitch_mm):
            found.append(LookAlike(other, diameter_gap, pitch_gap, tell_apart(thread, other)))
    found.sort(key=lambda one: abs(one.diameter_gap_mm) / thread.diameter_mm + abs(one.pitch_gap_mm) / thread.pitch_mm)
    return tuple(found)
