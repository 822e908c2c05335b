"""How much a ring's width shrinks when it is stretched over a diameter.

Two published polynomials for the percent loss of width at percent stretch (O-ring handbook ORD 5700, quoted in public
engineering code), each for its own range. They do not meet at 3 %: 2.476 % on the low side, 2.289 % on the high side.
Outside 0 … 25 % neither holds: below, the ring hangs loose and keeps its width; above, the loss is held at its 25 %
value until the constant-volume rule 1 − 1/√(1 + s) asks for more, so it never falls as the stretch grows.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import inf, sqrt
from typing import NamedTuple

from catalog.compare import same
from catalog.publications import named

SEAM = 3.0
HIGHEST = 25.0
SOURCE = f"loss of width under stretch: {named('S05 S06')}"


class Piece(NamedTuple):
    """One stretch of the loss curve, closed at both ends, on which the loss rises and bends one way only."""

    low: float
    high: float
    loss: Callable[[float], float]
    slope: Callable[[float], float]


def _quartic(x: float) -> float:
    return -0.005 + x * (1.19 + x * (-0.19 + x * (-0.001 + x * 0.008)))


def _quartic_slope(x: float) -> float:
    return 1.19 + x * (-0.38 + x * (-0.003 + x * 0.032))


def _quadratic(x: float) -> float:
    return 0.56 + x * (0.59 - 0.0046 * x)


def _quadratic_slope(x: float) -> float:
    return 0.59 - 0.0092 * x


def constant_volume_loss(stretch: float) -> float:
    """Percent loss of width at `stretch` percent when the rubber keeps its volume: 100·(1 − 1/√(1 + s/100))."""
    return 100 * (1 - 1 / sqrt(1 + stretch / 100))


def _constant_volume_slope(x: float) -> float:
    return 0.5 / ((1 + x / 100) * sqrt(1 + x / 100))


def _none(_: float) -> float:
    return 0.0


def _held(_: float) -> float:
    return _quadratic(HIGHEST)


# Where the low polynomial leaves zero: its root near 0, found once by Newton's rule.
_ROOT = 0.005 / 1.19
for _ in range(4):
    _ROOT -= _quartic(_ROOT) / _quartic_slope(_ROOT)
# Where the low polynomial changes its bend: −0.38 − 0.006x + 0.096x² = 0.
_BEND = (0.006 + sqrt(0.006**2 + 4 * 0.096 * 0.38)) / (2 * 0.096)
# Where the constant-volume rule overtakes the value held from 25 %.
_OVERTAKE = 100 * ((1 - _quadratic(HIGHEST) / 100) ** -2 - 1)

PIECES: tuple[Piece, ...] = (
    Piece(-inf, _ROOT, _none, _none),
    Piece(_ROOT, _BEND, _quartic, _quartic_slope),
    Piece(_BEND, SEAM, _quartic, _quartic_slope),
    Piece(SEAM, HIGHEST, _quadratic, _quadratic_slope),
    Piece(HIGHEST, _OVERTAKE, _held, _none),
    Piece(_OVERTAKE, inf, constant_volume_loss, _constant_volume_slope),
)
LOSS_BELOW_SEAM = _quartic(SEAM)
LOSS_ABOVE_SEAM = _quadratic(SEAM)


def section_loss(stretch: float) -> float:
    """Percent by which the width shrinks at `stretch` percent (of the ID). Never below 0, never falling but at 3 %."""
    for _, high, loss, _ in PIECES:
        # 51.5 mm over 50 is 3 %, whatever the last digit of the division says.
        if stretch <= high or same(stretch, high):
            return loss(stretch)
    raise ValueError("The stretch must be a number of percent, for example 2.")


def loss_limits(low: float, high: float) -> tuple[float, float]:
    """Least and greatest loss over a range of stretch, exact.

    The loss rises everywhere but for the step down at 3 %, so the limits are at the ends or at the two sides of the
    step (the lower side is approached, never reached).
    """
    losses = [section_loss(low), section_loss(high)]
    if low <= SEAM < high:
        losses += [LOSS_BELOW_SEAM, LOSS_ABOVE_SEAM]
    return min(losses), max(losses)


def pieces_within(low: float, high: float) -> Iterator[Piece]:
    """The pieces of the loss curve between two stretches, cut to them."""
    for piece in PIECES:
        if piece.high >= low and piece.low < high:
            yield Piece(max(piece.low, low), min(piece.high, high), piece.loss, piece.slope)


def doubt(low: float, high: float) -> str | None:
    """What to say when the stretch leaves the range that the polynomials were fitted to, else None."""
    if high > HIGHEST:
        return (
            f"Stretch up to {high:.1f} % is beyond the 25 % that the handbook formula covers; "
            "its 25 % value, or constant volume where that is more, stands in."
        )
    if low < 0:
        return f"Down to {low:.1f} % stretch the ring is loose on its seat; its width is taken as free."
    return None
