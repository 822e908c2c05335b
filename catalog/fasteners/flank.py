"""The flank angle as evidence: how far a gauge's leaf, or a measured angle, can be trusted.

A leaf is held to the light. A leaf that is 5° wrong lets through a slit of about 0.03 of the pitch at the crests
(0.61 p × (tan 30° - tan 27.5°)): plain to see at 2 mm of pitch, hardly at 0.5 mm. So a leaf is misread more often on a
finer thread.
"""

from __future__ import annotations

from math import isfinite
from typing import Final, NamedTuple

from catalog.uncertainty import normal_density, standard_uncertainty

LEAVES: Final = (47.5, 55.0, 60.0)
WORDS: Final = "only the flank angle tells"
# Our assumptions, no source. A leaf is taken for its neighbour in 6 of 100 threads of 1 mm pitch, seldomer the coarser:
_MISREAD_AT_1_MM: Final = 0.06
_LEAST_MISREAD, _MOST_MISREAD = 0.02, 0.4
# What a thread of no table shows:
_NONE: Final = {47.5: 0.1, 55.0: 0.3, 60.0: 0.6}
_RANGE_DEG: Final = (40.0, 70.0)


class Flank(NamedTuple):
    """What was seen of the flanks. Without `plus_minus_deg`: the leaf of a gauge that fits (47.5, 55 or 60)."""

    angle_deg: float
    plus_minus_deg: float | None = None

    def check(self) -> None:
        """Raises ValueError in one sentence for an angle that cannot be."""
        if self.plus_minus_deg is None:
            if self.angle_deg not in LEAVES:
                raise ValueError(
                    f"No gauge has a leaf of {self.angle_deg:g}°: type 55 or 60 (47.5 for BA), or a measured "
                    "angle with its ±, such as 56±2."
                )
        elif not (isfinite(self.plus_minus_deg) and 0 < self.plus_minus_deg <= 15):
            raise ValueError(f"A ± of {self.plus_minus_deg:g}° cannot be: type an angle such as 56±2.")
        elif not _RANGE_DEG[0] <= self.angle_deg <= _RANGE_DEG[1]:
            raise ValueError(f"A flank angle of {self.angle_deg:g}° is outside 40 to 70°: type an angle such as 56±2.")

    @property
    def rule(self) -> str:
        """How it counts, in words."""
        if self.plus_minus_deg is not None:
            return f"A measured flank angle of {self.angle_deg:g}° ± {self.plus_minus_deg:g}° counts as a normal error."
        return (
            f"A {self.angle_deg:g}° leaf held to the light is taken for its neighbour in 6 of 100 "
            "threads of 1 mm pitch, more seldom on a coarser one (never under 2 %)."
        )


def misread(pitch_mm: float) -> float:
    """How often a leaf is taken for its neighbour on a thread of this pitch."""
    return min(_MOST_MISREAD, max(_LEAST_MISREAD, _MISREAD_AT_1_MM / pitch_mm))


def seen(flank: Flank, true_deg: float, pitch_mm: float) -> float:
    """Likelihood of what was seen if the thread's flanks are at `true_deg`."""
    if flank.plus_minus_deg is not None:
        sigma = standard_uncertainty(flank.plus_minus_deg)
        return normal_density((flank.angle_deg - true_deg) / sigma) / sigma
    rate = misread(pitch_mm)
    at = LEAVES.index(true_deg)
    weights = {leaf: rate ** abs(LEAVES.index(leaf) - at) for leaf in LEAVES}
    return weights[flank.angle_deg] / sum(weights.values())


def none_seen(flank: Flank) -> float:
    """The same for a thread of no table."""
    if flank.plus_minus_deg is not None:
        return 1 / (_RANGE_DEG[1] - _RANGE_DEG[0])
    return _NONE[flank.angle_deg]
