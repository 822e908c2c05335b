"""Threads, their hexes and what was measured of one, as every answer tells them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final, Literal

import catalog
from catalog import fasteners
from tui.answers.reasons import Reason, Standing
from tui.answers.washers import Washer, washers_line, washers_under

if TYPE_CHECKING:
    from catalog.fasteners import sizes
    from catalog.fasteners import wrench as catalogued
    from catalog.fasteners.thread import Measured

Wear = Literal["sound", "worn", "damaged"]
KINDS: Final[Mapping[str, str]] = MappingProxyType(
    {"bspp": "parallel pipe thread", "bspt": "taper pipe thread", "npt": "taper pipe thread", "ba": "small screw"}
)
"""A family of threads by a plainer name than its own; the others are called as they are."""


@dataclass(frozen=True)
class Hex:
    """A hex head or nut: whose size it is, across flats in mm, and the size as stamped on the wrench."""

    standard: str
    across_flats_mm: float
    wrench: str
    source: str
    standing: Standing
    note: str

    @property
    def rule(self) -> Reason:
        """The row itself, with its source."""
        about = f" {self.note}" if self.note else ""
        return Reason(f"{self.wrench} across flats ({self.standard}).{about}", self.source, self.standing)


def hex_of(size: catalogued.Hex) -> Hex:
    """A hex of the catalog as answers tell it."""
    return Hex(size.standard, round(size.across_flats_mm, 4), size.wrench, size.source, size.standing.value, size.note)


def wrench_lines(hexes: Sequence[Hex]) -> list[str]:
    """The wrenches in one line, then what there is to say of them; nothing where no table says."""
    if not hexes:
        return []
    named = "; ".join(f"{one.wrench} ({one.standard})" for one in hexes)
    return [f"Wrench: {named}", *dict.fromkeys(one.note for one in hexes if one.note)]


@dataclass(frozen=True)
class Thread:
    """A thread of the tables; lengths in mm. `bolt_crests_mm`: over the crests of a sound bolt or plug, least and most.

    `nut_crests_mm`: across the crests of a sound nut or hole. `washers`: under a plug of this thread, the usual one
    first.
    """

    designation: str
    system: Literal["metric", "unified", "bspp", "bspt", "npt", "whitworth", "ba"]
    series: str
    diameter_mm: float
    pitch_mm: float
    threads_per_inch: float | None
    flank_deg: float
    tapered: bool
    bolt_crests_mm: tuple[float, float]
    nut_crests_mm: tuple[float, float]
    hexes: tuple[Hex, ...]
    drain_plug_hexes: tuple[Hex, ...]
    washers: tuple[Washer, ...]
    source: str
    standing: Standing

    @property
    def leaf(self) -> str:
        """The leaf of a thread gauge that fits: `1.25 mm` or `18 tpi`."""
        return f"{self.pitch_mm:g} mm" if self.threads_per_inch is None else f"{self.threads_per_inch:g} tpi"

    def said(self, unit: str) -> str:
        """Its diameter and pitch in both units."""
        diameter, pitch = (catalog.quantity.both_units(one, first=unit) for one in (self.diameter_mm, self.pitch_mm))
        return f"diameter {diameter}, pitch {pitch}"

    def crests(self, unit: str) -> list[str]:
        """What a caliper meets on a sound one, in both units."""
        return [
            f"{name}: {' to '.join(catalog.quantity.both_units(one, first=unit) for one in limits)}"
            for name, limits in (
                ("Over the crests of a sound bolt or plug", self.bolt_crests_mm),
                ("Across the crests of a sound nut or hole", self.nut_crests_mm),
            )
        ]

    @property
    def rule(self) -> Reason:
        """The row itself, with its source."""
        (low, high), (inner, outer) = self.bolt_crests_mm, self.nut_crests_mm
        told = (
            f"{KINDS.get(self.system, self.system)} {self.series}, pitch {self.leaf}, "
            f"bolt {low:.2f} to {high:.2f} mm, nut {inner:.2f} to {outer:.2f} mm"
        )
        source = Reason("", self.source, self.standing).sourced.removeprefix("memory; ")
        return Reason(told, source, self.standing)

    @property
    def wrenches(self) -> list[str]:
        """The wrench and, on a drain plug, the usual ones and the washer under it."""
        lines = wrench_lines(self.hexes)
        if self.drain_plug_hexes:
            unchecked = "; unchecked row" if any(one.standing == "memory" for one in self.drain_plug_hexes) else ""
            sizes = ", ".join(one.wrench for one in self.drain_plug_hexes)
            lines.append(f"As a drain plug: {sizes} (usual{unchecked}; measure the plug)")
            lines += [washers_line(self.designation, self.washers)] if self.washers else []
        return lines or ["Wrench: not in the tables; measure across the flats."]


def thread_figures(thread: sizes.Thread) -> dict[str, Any]:
    """A thread of the catalog by the names that answers have for it."""
    return {
        "designation": thread.designation,
        "system": thread.system.value,
        "series": thread.series,
        "diameter_mm": round(thread.diameter_mm, 4),
        "pitch_mm": round(thread.pitch_mm, 4),
        "threads_per_inch": thread.threads_per_inch,
        "flank_deg": thread.flank_angle_deg,
        "tapered": thread.tapered,
        "bolt_crests_mm": (round(thread.major_low_mm, 4), round(thread.major_high_mm, 4)),
        "nut_crests_mm": (round(thread.minor_low_mm, 4), round(thread.minor_high_mm, 4)),
        "hexes": tuple(map(hex_of, fasteners.wrench.hexes(thread))),
        "drain_plug_hexes": tuple(map(hex_of, fasteners.wrench.drain_plug_hexes(thread))),
        "washers": washers_under(thread),
        "source": thread.source,
        "standing": thread.standing.value,
    }


@dataclass(frozen=True)
class ThreadReadings:
    """What was measured of a thread, each with its limit of error; None where it was not.

    `flank_deg` without its ±: a gauge's leaf, held to the light.
    """

    diameter_mm: float
    diameter_plus_minus_mm: float
    pitch_mm: float | None
    pitch_plus_minus_mm: float | None
    female: bool
    wear: Wear
    tapered: bool | None
    flank_deg: float | None
    flank_plus_minus_deg: float | None

    def said(self, unit: str, where: tuple[str, str]) -> str:
        """It in both units. `where`: what it is called inside, and outside."""
        read = f"diameter {catalog.quantity.both_units(self.diameter_mm, first=unit)}"
        read += f" ± {self.diameter_plus_minus_mm:.2g} mm"
        read += " across the crests" if self.female else " over the crests"
        if self.pitch_mm is None:
            read += ", pitch not measured"
        else:
            read += (
                f", pitch {catalog.quantity.both_units(self.pitch_mm, first=unit)} ± {self.pitch_plus_minus_mm:.2g} mm"
            )
        if self.flank_deg is not None:
            by_leaf = self.flank_plus_minus_deg is None
            read += (
                f", {self.flank_deg:g}° leaf"
                if by_leaf
                else (f", flanks {self.flank_deg:g}° ± {self.flank_plus_minus_deg:g}°")
            )
        return f"Understood ({where[0] if self.female else where[1]}, crests {self.wear}): {read}."


def reading_figures(measured: Measured) -> dict[str, Any]:
    """What was measured, by the names that answers have for it."""
    pitch, flank = measured.pitch, measured.flank
    return {
        "diameter_mm": round(measured.diameter.value_mm, 4),
        "diameter_plus_minus_mm": round(measured.diameter.plus_minus_mm, 4),
        "pitch_mm": None if pitch is None else round(pitch.value_mm, 4),
        "pitch_plus_minus_mm": None if pitch is None else round(pitch.plus_minus_mm, 4),
        "female": measured.internal,
        "wear": measured.wear.value,
        "tapered": measured.tapered,
        "flank_deg": None if flank is None else flank.angle_deg,
        "flank_plus_minus_deg": None if flank is None else flank.plus_minus_deg,
    }
