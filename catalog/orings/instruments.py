"""How far a reading may be off, by what it was taken with.

Limits of error on soft rubber, which are wider than the instrument's own: the jaws press the section flat and the
ring out of round. What hands do to the ID and the OD of a free ring is measured on rings of 15.8 × 2.4 (HANDREAD in
SOURCES.md: three persons, total standard deviations 0.070 and 0.079 mm, so limits of 0.12 and 0.14 mm), and no finer
jaw helps it; how it grows with size and all other limits are common practice, no source. A person who knows better
types `24.9±0.1`.
"""

from __future__ import annotations

from typing import NamedTuple

from catalog.orings.evidence import Dimension, Reading, Tool


class Limit(NamedTuple):
    """A limit of error: `fixed_mm` plus `share` of the reading."""

    fixed_mm: float
    share: float


_ACROSS_RING = (Dimension.ID, Dimension.OD)
# 0.12 mm at an ID of 15.8, 0.14 at an OD of 20.6.
_BY_HAND = {Dimension.ID: Limit(0.10, 0.00127), Dimension.OD: Limit(0.11, 0.00146)}
_ALONG_RING = (Dimension.AROUND, Dimension.CUT_LENGTH)

_LIMITS: dict[Tool, dict[Dimension, Limit]] = {
    Tool.CALIPER: {
        **_BY_HAND,
        Dimension.WIDTH: Limit(0.04, 0.0),
        **dict.fromkeys(_ALONG_RING, Limit(0.5, 0.002)),
    },
    Tool.MICROMETER: {
        **_BY_HAND,
        Dimension.WIDTH: Limit(0.02, 0.0),
        **dict.fromkeys(_ALONG_RING, Limit(0.5, 0.002)),
    },
    Tool.RULE: {
        **dict.fromkeys(_ACROSS_RING, Limit(0.5, 0.002)),
        Dimension.WIDTH: Limit(0.3, 0.0),
        **dict.fromkeys(_ALONG_RING, Limit(0.7, 0.003)),
    },
    Tool.TAPE: {
        **dict.fromkeys(_ACROSS_RING, Limit(1.0, 0.003)),
        Dimension.WIDTH: Limit(0.5, 0.0),
        **dict.fromkeys(_ALONG_RING, Limit(1.0, 0.003)),
    },
    Tool.CONE: {
        **dict.fromkeys(_ACROSS_RING, Limit(0.15, 0.004)),
        Dimension.WIDTH: Limit(0.3, 0.0),
        **dict.fromkeys(_ALONG_RING, Limit(0.5, 0.004)),
    },
}
_LIMITS[Tool.STATED] = _LIMITS[Tool.CALIPER]


def plus_minus_mm(dimension: Dimension, tool: Tool, value_mm: float) -> float:
    """The limit of error ± in mm of a reading of `value_mm` taken with `tool` on soft rubber."""
    limit = _LIMITS[tool][dimension]
    return limit.fixed_mm + limit.share * value_mm


def reading(
    dimension: Dimension, value_mm: float, tool: Tool = Tool.CALIPER, plus_minus: float | None = None
) -> Reading:
    """A reading in mm; with a stated ± in mm the tool's own limit gives way to it.

    Raises ValueError where the value or the ± is not a positive, finite number.
    """
    if not 0.0 < value_mm < 1e5:
        raise ValueError(f"The {dimension} reads {value_mm} mm; a ring's reading lies above 0 and under 100 m.")
    if plus_minus is None:
        return Reading(dimension, value_mm, plus_minus_mm(dimension, tool, value_mm), tool)
    if not 0.0 < plus_minus < 1e5:
        raise ValueError(f"The ± of the {dimension} is {plus_minus} mm; give a ± above 0.")
    return Reading(dimension, value_mm, plus_minus, Tool.STATED)
