"""The place an element goes: what can be measured of a housing or filter head. Unknown is None."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from catalog.filters.element import Kind, Spring, ThreadSize
from catalog.filters.media import Medium


class Where(StrEnum):
    """The two ends of a housing: the head stays on the machine, the cover or bowl comes off."""

    HEAD = "head"
    COVER = "cover"

    @property
    def other(self) -> Where:
        """The other end."""
        return Where.COVER if self is Where.HEAD else Where.HEAD


class SeatForm(StrEnum):
    """What the housing offers an element's end: a stub that enters its bore, a flat face, or nothing to seal on."""

    SPIGOT = "spigot"
    FLAT = "flat"
    NONE = "none"


class Seat(NamedTuple):
    """A seat, mm. Spigot: its outside diameter. Flat: the diameter of the opening in it, and of the land outside."""

    form: SeatForm | None = None
    diameter_mm: float | None = None
    land_od_mm: float | None = None


class GasketLand(NamedTuple):
    """The ring on the head that a spin-on's gasket presses on, mm; depth of the groove it sits in, 0 if flat."""

    id_mm: float | None = None
    od_mm: float | None = None
    groove_depth_mm: float | None = None


class BypassPlace(StrEnum):
    """Where the bypass of this filter belongs."""

    HOUSING = "housing"
    ELEMENT = "element"
    NONE = "none"


class Position(StrEnum):
    """How the element sits: hanging below its head, lying, or standing on top of it."""

    HANGING = "hanging"
    HORIZONTAL = "horizontal"
    INVERTED = "inverted"


class Duty(StrEnum):
    """Which line the filter stands in."""

    SUCTION = "suction"
    RETURN = "return"
    PRESSURE = "pressure"
    LUBE = "lube"


class Housing(NamedTuple):
    """A housing or head. Lengths in mm, pressures in bar, flow in L/min.

    `depth_mm`: between the two seats, cover closed; for a spin-on, the room below the head. `outlet`: the end by which
    the oil leaves the inside of the element. `spring`: the housing's own (`NO_SPRING` if there is none).
    """

    takes: Kind | None = None
    name: str = ""
    depth_mm: float | None = None
    bore_mm: float | None = None
    head: Seat = Seat()
    cover: Seat = Seat()
    outlet: Where | None = None
    spring: Spring | None = None
    thread: ThreadSize | None = None
    gasket_land: GasketLand = GasketLand()
    medium: Medium | None = None
    bypass: BypassPlace | None = None
    bypass_opens_bar: float | None = None
    position: Position | None = None
    duty: Duty | None = None
    max_differential_bar: float | None = None
    flow_l_min: float | None = None

    def seat(self, where: Where) -> Seat:
        """The seat at one end."""
        return self.head if where is Where.HEAD else self.cover
