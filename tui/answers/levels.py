"""Where a fluid's level stands, in words: the same for a job's tally, a fill that is only worked out, and the Judge."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Literal

import catalog

if TYPE_CHECKING:
    from catalog.fluids.fill import Level

PER_LITRE = 1_000_000
LAST_WORD = "The manual has the last word."
State = Literal["below the low mark", "at the low mark", "between the marks", "at the full mark", "over the full mark"]
"""Where a level stands, as `catalog.fluids.fill.State` has it."""
TROUBLE = ("below the low mark", "over the full mark")
"""Where no machine runs."""


def volume(microlitres: Fraction | int, first: str = "L", *, short: bool = False) -> str:
    """A volume in both families of units, that of `first` first; `short` leaves the other out."""
    words = catalog.quantity.format_volume(Fraction(microlitres) / PER_LITRE, first=first)
    return words.partition("(")[0].partition(",")[0].strip() if short else words


def over_filled(over: Fraction, first: str = "L") -> str:
    """The alarm for too much in the system, and what to do about it."""
    return f"OVER-FILLED by {volume(over, first)}. Drain it back to the full mark before the machine runs."


def still_to_pour(level: Level, first: str = "L", *, single: bool) -> str:
    """How much more goes in, or how far it is over; `single`: there is one mark, not two."""
    if level.over:
        return over_filled(level.over, first)
    if level.to_low and single:
        return f"Pour {volume(level.to_low, first)} more to the mark."
    if level.to_low:
        full = volume(level.to_full, first, short=True)
        return f"Pour {volume(level.to_low, first)} more to the low mark, {full} to the full one."
    if level.to_full:
        return f"Up to {volume(level.to_full, first)} more may go in."
    return "Nothing more goes in."


def state_words(state: str, *, single: bool = False) -> str:
    """Where the level stands, to begin a sentence with; `single`: there is one mark, which is neither low nor full."""
    words = state.replace("the low mark", "the mark").replace("the full mark", "the mark") if single else state
    return words[:1].upper() + words[1:]


def level_words(level: Level, first: str = "L", *, single: bool) -> str:
    """Where the level stands and what is missing, in one line; `single`: there is one mark, not two."""
    words = still_to_pour(level, first, single=single)
    return words if level.over else f"{state_words(level.state.value, single=single)}. {words}"


def stayed_words(level: Level, first: str = "L", *, known: bool) -> str:
    """What stayed in, or that it is taken for empty. `known`: somebody said what it held before."""
    if known:
        return f"{volume(level.left_in, first, short=True)} stayed in."
    return "Taken as drained empty: check at the mark."


def rests_on(level: Level, first: str = "L", *, known: bool) -> str:
    """What stayed in, and what goes to disposal."""
    lost = f" {volume(level.lost, first, short=True)} that came out goes to disposal." if level.lost else ""
    return f"{stayed_words(level, first, known=known)}{lost}"
