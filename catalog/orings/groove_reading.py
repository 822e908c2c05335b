"""How far a reading of a groove may be off, by what it was taken with.

A groove is metal, so the limits are tighter than on a soft ring, but it is hard to reach: jaws for inside stand off the
wall of a bore and tilt in a narrow groove, a depth gauge rocks on its bridge. Common practice, no source; a person who
knows better types `25±0.02`. What a table prints keeps its printed limits.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings.span import Range, span


class GrooveTool(StrEnum):
    """What a groove was read with. `STATED`: the person gave the ± themselves."""

    CALIPER = "caliper"
    MICROMETER = "micrometer"
    DEPTH_GAUGE = "depth gauge"
    RULE = "rule"
    STATED = "stated"


class Reach(StrEnum):
    """How a dimension is reached: across a root or rod, between the walls of a bore or groove, or down to a bottom."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    DEPTH = "depth"


# Limits of error ± in mm: fixed, and a share of the reading. A depth gauge reads depths; across a diameter it is no
# tool at all, so the caliper's limit stands there.
_LIMITS: Final[Mapping[GrooveTool, Mapping[Reach, tuple[float, float]]]] = MappingProxyType(
    {
        GrooveTool.CALIPER: {
            Reach.OUTSIDE: (0.03, 0.0002),
            Reach.INSIDE: (0.04, 0.0002),
            Reach.DEPTH: (0.05, 0.0002),
        },
        GrooveTool.MICROMETER: {
            Reach.OUTSIDE: (0.01, 0.0001),
            Reach.INSIDE: (0.015, 0.0001),
            Reach.DEPTH: (0.015, 0.0001),
        },
        GrooveTool.DEPTH_GAUGE: {
            Reach.OUTSIDE: (0.03, 0.0002),
            Reach.INSIDE: (0.04, 0.0002),
            Reach.DEPTH: (0.03, 0.0002),
        },
        GrooveTool.RULE: {Reach.OUTSIDE: (0.3, 0.001), Reach.INSIDE: (0.3, 0.001), Reach.DEPTH: (0.5, 0.001)},
    }
)
REACHES: Final[Mapping[str, Reach]] = MappingProxyType(
    {
        **dict.fromkeys(("root", "rod", "neck", "inner"), Reach.OUTSIDE),
        **dict.fromkeys(("bore", "bottom", "groove_diameter", "outer", "width", "mouth"), Reach.INSIDE),
        "depth": Reach.DEPTH,
    }
)
"""How each dimension is reached, by its name in the command and on the screen."""


class GrooveReading(NamedTuple):
    """One reading of a groove, mm, with its limit of error ± and what it was taken with."""

    name: str
    value_mm: float
    plus_minus_mm: float
    tool: GrooveTool

    @property
    def range(self) -> Range:
        """The dimension with its limits."""
        return span(self.value_mm, self.plus_minus_mm)


def usual_tool(name: str) -> GrooveTool:
    """What a dimension is taken to be read with unless somebody says otherwise."""
    return GrooveTool.DEPTH_GAUGE if REACHES[name] is Reach.DEPTH else GrooveTool.CALIPER


def groove_reading(
    name: str, value_mm: float, plus_minus_mm: float | None = None, tool: GrooveTool | None = None
) -> GrooveReading:
    """A reading in mm; a stated ± wins over the tool's own limit, and without a tool the usual one is taken.

    Raises ValueError where the value is no positive number or the ± leaves nothing of it.
    """
    if not 0.0 < value_mm < 1e5:
        raise ValueError(f"{value_mm:g} mm is not a groove's size; it lies above 0 and under 100 m.")
    if plus_minus_mm is not None:
        return GrooveReading(name, value_mm, plus_minus_mm, GrooveTool.STATED)
    which = usual_tool(name) if tool is None or tool is GrooveTool.STATED else tool
    fixed, share = _LIMITS[which][REACHES[name]]
    off = fixed + share * value_mm
    if off >= value_mm:
        raise ValueError(
            f"{value_mm:g} mm can't be read with a {which}: it may be off by {off:.2g} mm. "
            f"Use a finer tool, or type the ± you trust, such as {value_mm:g}±{value_mm / 20:.2g}."
        )
    return GrooveReading(name, value_mm, off, which)
