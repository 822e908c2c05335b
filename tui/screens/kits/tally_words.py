"""A fluid's tally as its screen shows it: where the level stands, in words and as a sight glass."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from catalog import fluids
from models import kitting
from tui.answers.levels import LAST_WORD, level_words, rests_on, volume
from tui.widgets.judge.sight_glass import Glass, glass_of

if TYPE_CHECKING:
    from models.tables import Filled


class Stand(NamedTuple):
    """Where the level stands: the sentence, what it rests on, whether it is trouble, and the glass."""

    says: str
    rests_on: str
    over: bool
    glass: Glass


def stand(low_ul: int, full_ul: int, entries: Sequence[tuple[Filled, Fraction]], first: str) -> Stand:
    """Add the entries up against the marks; `first`: the bench's unit of volume."""
    level = kitting.fluid_tally.level(low_ul, full_ul, entries)
    glass = glass_of(
        level.held, low_ul, full_ul, level.left_in, first, over=level.state is fluids.fill.State.OVER,
        drained=level.lost + level.reused,
    )  # fmt: skip
    known = any(str(what) == "held" for what, _ in entries)
    return Stand(
        level_words(level, first, single=low_ul == full_ul),
        f"{rests_on(level, first, known=known)} {LAST_WORD}",
        level.state is fluids.fill.State.OVER,
        glass,
    )


def both(microlitres: int, first: str) -> str:
    """A mark in litres and US quarts, the bench's first; no gallons, for one line holds two of these."""
    other = "L" if first == "US qt" else "US qt"
    return f"{volume(microlitres, first, short=True)} ({volume(microlitres, other, short=True)})"
