"""Filling a machine to its marks: what drained, what was poured, how much more, and how far over.

Every volume is an exact number of microlitres (int or Fraction), so quarts and litres add up without rounding:
one US quart is Fraction(946352946, 1000) µL. Units for people are read and written elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from fractions import Fraction
from typing import Final, NamedTuple

Volume = int | Fraction
"""A volume in microlitres, exact."""

US_QUART: Final = Fraction(946_352_946, 1000)
"""One US liquid quart in µL: a quarter of 231 in³ of 25.4 mm (NIST SP 811)."""
US_GALLON: Final = 4 * US_QUART
LITRE: Final = Fraction(1_000_000)
IMPERIAL_QUART: Final = Fraction(1_136_522_500, 1000)
MOST_POURS: Final = 200
"""More pours than this belong to no one fill of a machine."""


class Marks(NamedTuple):
    """What the system holds when the level stands at the low and at the full mark, in µL. Make it with `marks`."""

    low: Fraction
    full: Fraction


class Pour(NamedTuple):
    """One pour, in µL. `reused` is clean fluid that was drained from the same system; it counts as poured."""

    volume: Volume
    reused: bool = False


class State(StrEnum):
    """Where the level stands."""

    BELOW_LOW = "below the low mark"
    AT_LOW = "at the low mark"
    BETWEEN = "between the marks"
    AT_FULL = "at the full mark"
    OVER = "over the full mark"


class Level(NamedTuple):
    """The tally, all in µL. `to_low`, `to_full` and `over` are never negative.

    `held` is what the system holds now. `left_in` is what stayed in after draining. `fresh` is what was poured from
    packs, `reused` what was poured back. `let_out` was poured and came out again. `lost` is drained fluid that was not
    poured back, and what was let out: what goes to disposal.
    """

    state: State
    held: Fraction
    left_in: Fraction
    poured: Fraction
    fresh: Fraction
    reused: Fraction
    lost: Fraction
    to_low: Fraction
    to_full: Fraction
    over: Fraction
    let_out: Fraction = Fraction(0)

    def share(self, marks: Marks) -> float:
        """How full the system is: 0 empty, 1 at the full mark, above 1 over-filled."""
        return float(self.held / marks.full)


def marks(low: Volume, full: Volume) -> Marks:
    """The two marks in µL; the same number twice if there is only one. Raises ValueError unless 0 < low <= full."""
    low, full = Fraction(low), Fraction(full)
    if low <= 0:
        raise ValueError("The low mark must be above zero; type the volume the system holds at its low mark.")
    if low > full:
        raise ValueError("The low mark is above the full mark; type the smaller volume as the low mark.")
    return Marks(low, full)


def tally(
    at: Marks,
    pours: Iterable[Pour | Volume] = (),
    *,
    drained: Volume = 0,
    held_before: Volume | None = None,
    let_out: Volume = 0,
) -> Level:
    """Add up the pours and say where the level stands.

    `drained` is what came out. `held_before` is what the system held before draining, if known; if it is not, the
    system is taken as empty after draining, so check the level at the mark. `let_out` is what came out after pouring,
    as where it was over-filled. All in µL. Raises ValueError for a negative volume, for more drained than was held, for
    more poured back than was drained, and for more let out than is in.
    """
    listed = [pour if isinstance(pour, Pour) else Pour(pour) for pour in pours]
    for number, pour in enumerate(listed, start=1):
        if pour.volume < 0:
            raise ValueError(f"Pour {number} is below zero; type what was poured as a positive volume.")
    if drained < 0 or let_out < 0 or (held_before is not None and held_before < 0):
        raise ValueError("A volume drained or held is below zero; type it as a positive volume.")
    if held_before is not None and drained > held_before:
        raise ValueError("More was drained than the system held; check the volume drained.")
    reused = sum((Fraction(pour.volume) for pour in listed if pour.reused), Fraction(0))
    if reused > drained:
        raise ValueError("More was poured back than was drained; note what drained, or enter the rest as fresh fluid.")
    fresh = sum((Fraction(pour.volume) for pour in listed if not pour.reused), Fraction(0))
    left_in = Fraction(0) if held_before is None else Fraction(held_before) - Fraction(drained)
    held = left_in + fresh + reused - let_out
    if held < 0:
        raise ValueError("More was let out than was in; what came out before pouring is noted as drained.")
    return Level(
        _state(at, held),
        held,
        left_in,
        fresh + reused,
        fresh,
        reused,
        Fraction(drained) - reused + let_out,
        max(at.low - held, Fraction(0)),
        max(at.full - held, Fraction(0)),
        max(held - at.full, Fraction(0)),
        Fraction(let_out),
    )


def _state(at: Marks, held: Fraction) -> State:
    if held < at.low:
        return State.BELOW_LOW
    if held > at.full:
        return State.OVER
    # With a single mark, full is the better news.
    if held == at.full:
        return State.AT_FULL
    return State.AT_LOW if held == at.low else State.BETWEEN
