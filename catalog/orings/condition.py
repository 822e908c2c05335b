"""What service does to a ring: the systematic changes that all readings of one ring share.

Three latent changes, each normal with the mean and standard deviation of its condition:

* scale s: the rubber swells or shrinks, ID and width together (ISO 1817 gives volume swell; linear = (1+V)^(1/3) - 1);
* set c: the section is flattened (ISO 815). Read across the flat faces it loses the share c, read across the free ones
  it gains about 0.8 c. Constant area gives 0.57 c for a slot shape and 1.0 c for an ellipse; real sections lie between;
* spread e: flattening in a radial groove takes from ID and OD what flattening in a face groove adds. Which one it was
  is not known, so only its size counts.

The figures are this project's own estimates from common practice, no source; the bench shows what they are worth.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings.evidence import Condition, Dimension, Evidence, Reading

FREE_FACE_GAIN = 0.8
FREE_FACE_DOUBT = 0.2


class Change(NamedTuple):
    """A latent relative change: mean and standard deviation, dimensionless."""

    mean: float
    deviation: float


class Wear(NamedTuple):
    """The latent changes of one condition."""

    scale: Change
    set: Change
    spread: Change


WEAR: dict[Condition, Wear] = {
    Condition.NEW: Wear(Change(0.0, 0.0), Change(0.0, 0.0), Change(0.0, 0.0)),
    Condition.USED: Wear(Change(0.003, 0.008), Change(0.03, 0.02), Change(0.0, 0.02)),
    Condition.FLATTENED: Wear(Change(0.0, 0.010), Change(0.10, 0.05), Change(0.0, 0.05)),
    Condition.SWOLLEN: Wear(Change(0.030, 0.015), Change(0.02, 0.02), Change(0.0, 0.02)),
    Condition.SHRUNK: Wear(Change(-0.020, 0.010), Change(0.02, 0.02), Change(0.0, 0.02)),
}

LOOKS: Final[Mapping[Condition, float]] = MappingProxyType(
    {
        Condition.USED: 0.50,
        Condition.FLATTENED: 0.20,
        Condition.NEW: 0.12,
        Condition.SWOLLEN: 0.10,
        Condition.SHRUNK: 0.08,
    }
)
"""How rings taken out of a machine look, as shares of 1, where nobody said so. Common practice, no source."""


def _together() -> Wear:
    """All looks at once, as one normal of the mixture's mean and variance: for a picture, not for a probability."""

    def mixed(changes: list[tuple[float, Change]]) -> Change:
        mean = sum(share * one.mean for share, one in changes)
        square = sum(share * (one.deviation**2 + one.mean**2) for share, one in changes)
        return Change(mean, (square - mean**2) ** 0.5)

    return Wear(*(mixed([(share, WEAR[look][at]) for look, share in LOOKS.items()]) for at in range(3)))


WEAR[Condition.NOT_SAID] = _together()


def looks(condition: Condition) -> tuple[tuple[Condition, float], ...]:
    """The looks that count for what was said, each with its share."""
    return tuple(LOOKS.items()) if condition is Condition.NOT_SAID else ((condition, 1.0),)


def set_signs(evidence: Evidence) -> tuple[float, ...]:
    """How the set acts on each reading, in widths: -1 across the flat faces, +0.8 across the free ones, else 0.

    Of several width readings the largest was taken across the free faces. A single one counts as taken across the flat
    faces, where a caliper closes by itself.
    """
    widths = [reading.value_mm for reading in evidence.readings if reading.dimension is Dimension.WIDTH]
    free = max(widths) if len(widths) > 1 else None
    signs = []
    for reading in evidence.readings:
        if reading.dimension is not Dimension.WIDTH:
            signs.append(0.0)
        elif reading.value_mm == free:
            signs.append(FREE_FACE_GAIN)
            free = None
        else:
            signs.append(-1.0)
    return tuple(signs)


def spread_sign(reading: Reading) -> float:
    """How the spread acts on a reading, in widths: the ID shrinks by what the OD grows."""
    return {Dimension.ID: -1.0, Dimension.OD: 1.0, Dimension.AROUND: -3.141592653589793}.get(reading.dimension, 0.0)
