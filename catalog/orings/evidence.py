"""What was measured on an old ring: readings with their instrument, and the condition the ring is in."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


class Dimension(StrEnum):
    """What a reading is of. Around: the inner circumference. Cut length: the ring cut once and laid flat."""

    ID = "id"
    OD = "od"
    WIDTH = "width"
    AROUND = "around"
    CUT_LENGTH = "cut_length"

    @property
    def words(self) -> str:
        """The dimension as a person says it."""
        return _WORDS[self]


_WORDS = {
    Dimension.ID: "ID",
    Dimension.OD: "OD",
    Dimension.WIDTH: "width",
    Dimension.AROUND: "inner circumference",
    Dimension.CUT_LENGTH: "cut length",
}


class Condition(StrEnum):
    """How the ring looks. It decides which systematic changes a reading may carry.

    `NOT_SAID`: nobody looked, or nobody said; every ring on a bench is an old one until somebody does.
    """

    NEW = "new"
    USED = "used"
    FLATTENED = "flattened"
    SWOLLEN = "swollen"
    SHRUNK = "shrunk"
    NOT_SAID = "not-said"

    @property
    def words(self) -> str:
        """As a person says it."""
        return self.value.replace("-", " ")


class Tool(StrEnum):
    """What the reading was taken with. `STATED`: the person gave the ± themselves."""

    CALIPER = "caliper"
    MICROMETER = "micrometer"
    RULE = "rule"
    TAPE = "tape"
    CONE = "cone"
    STATED = "stated"


class Reading(NamedTuple):
    """One measured dimension in mm with its limit of error ± in mm (a limit, not a standard deviation)."""

    dimension: Dimension
    value_mm: float
    plus_minus_mm: float
    tool: Tool


class Evidence(NamedTuple):
    """All that was measured on one ring. Two width readings of a flattened ring: across and along its flat faces."""

    readings: tuple[Reading, ...]
    condition: Condition = Condition.NOT_SAID

    @property
    def look_said(self) -> bool:
        """Whether somebody said how the ring looks."""
        return self.condition is not Condition.NOT_SAID
