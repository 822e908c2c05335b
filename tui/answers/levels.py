"""Where a fluid's level stands, in words: the same for a job's tally, a fill that is only worked out, and the Judge."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from catalog.fluids.fill import Level

PER_LITRE = 1_000_000


def volume(microlitres: Fraction | int, first: str = "L", *, short: bool = False) -> str:
    """A volume in both families of units, that of `first` first; `short` leaves the other out."""
    from catalog.quantity import format_volume

    words = format_volume(Fraction(microlitres) / PER_LITRE, first=first)
    return words.partition("(")[0].partition(",")[0].strip() if short else words


def over_filled(over: Fraction, first: str = "L") -> str:
    """The alarm for too much in the system, and what to do about it."""
    return f"OVER-FILLED by {volume(over, first)}. Drain it back to the full mark before the machine runs."


def level_words(level: Level, first: str = "L", *, single: bool) -> str:
    """Where the level stands and what is missing, in one line; `single`: there is one mark, not two."""
    state = level.state.value
    if level.over:
        return over_filled(level.over, first)
    if level.to_low:
        to_full = "" if single else f", {volume(level.to_full, first, short=True)} to the full one"
        return f"{state.capitalize()}. Pour {volume(level.to_low, first)} more to the low mark{to_full}."
    if level.to_full:
        return f"{state.capitalize()}. Up to {volume(level.to_full, first)} more may go in."
    return f"{state.capitalize()}. Nothing more goes in."


def rests_on(level: Level, first: str = "L", *, known: bool) -> str:
    """What stayed in or is taken for empty, and what goes to disposal. `known`: somebody said what it held before."""
    stayed = (
        f"{volume(level.left_in, first, short=True)} stayed in."
        if known
        else "Taken as drained empty: check at the mark."
    )
    lost = f" {volume(level.lost, first, short=True)} drained goes to disposal." if level.lost else ""
    return f"{stayed}{lost} The manual has the last word."
