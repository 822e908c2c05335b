"""Published groove tables as data, and a groove built from a row around a ring.

`data/grooves/grooves.csv`: depth includes clearance. In JIS B 2401-2 the radial depth (half of D − d) and the depth
of a face groove differ for the same ring; they are separate rows and one never stands for the other.
"""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path
from typing import NamedTuple

from catalog.orings import groove as build
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.sizes import RingSize, Series
from catalog.orings.span import Range, between, span
from catalog.publications import named
from catalog.standing import Standing

TABLE = Path(__file__).parent.parent / "data" / "grooves" / "grooves.csv"
# Inch sections were printed in mm with two decimals in one table and three in another.
SAME_SECTION_MM = 0.006
FACE = "face"
RADIAL = "radial"
JIS_TABLE = "JIS B 2401-2"


class GrooveRow(NamedTuple):
    """One row of a published groove table, mm. Printed squeezes are kept to check the arithmetic against.

    `use`: `face` or `radial`. `motions`: what the table means it for. `series`: the sizes it serves, as printed.
    """

    table: str
    use: str
    motions: tuple[Motion, ...]
    medium: str
    series: str
    section_mm: float
    section_tol_mm: float | None
    depth: Range
    width: Range
    width_one_backup_mm: float | None
    width_two_backups_mm: float | None
    clearance_max_mm: float | None
    printed_squeeze_mm: tuple[float, float] | None
    printed_squeeze: tuple[float, float] | None
    source: str
    standing: Standing
    note: str


def _optional(text: str) -> float | None:
    return float(text) if text else None


def _pair(low: str, high: str) -> tuple[float, float] | None:
    return (float(low), float(high)) if low and high else None


@cache
def groove_rows() -> tuple[GrooveRow, ...]:
    """Every row of every table, in the order of the file."""
    with TABLE.open(encoding="utf-8", newline="") as handle:
        return tuple(
            GrooveRow(
                row["table"],
                row["use"],
                tuple(Motion(motion) for motion in row["motion"].split(" or ")),
                row["medium"],
                row["series"],
                float(row["section_mm"]),
                _optional(row["section_tol_mm"]),
                between(float(row["depth_min_mm"]), float(row["depth_max_mm"])),
                between(float(row["width_min_mm"]), float(row["width_max_mm"])),
                _optional(row["width_one_backup_mm"]),
                _optional(row["width_two_backups_mm"]),
                _optional(row["clearance_max_mm"]),
                _pair(row["squeeze_min_mm"], row["squeeze_max_mm"]),
                _pair(row["squeeze_min_pct"], row["squeeze_max_pct"]),
                named(row["source"]),
                Standing(row["standing"]),
                row["note"],
            )
            for row in csv.DictReader(handle)
        )


def standard_grooves(
    section_mm: float, kind: GrooveKind | None = None, motion: Motion | None = None
) -> tuple[GrooveRow, ...]:
    """The rows for a ring of this width, published ones first; by kind and motion where given.

    A port has no row here: its groove is the port (see `port`).
    """
    use = None if kind is None else FACE if kind.is_face else RADIAL if kind is not GrooveKind.PORT else ""
    found = [
        row
        for row in groove_rows()
        if abs(row.section_mm - section_mm) <= SAME_SECTION_MM
        and (use is None or row.use == use)
        and (motion is None or motion in row.motions)
    ]
    return tuple(sorted(found, key=lambda row: row.standing is Standing.MEMORY))


_JIS_NUMBER = re.compile(r"[PG](\d+(?:\.\d+)?)A?")


def jis_diameter(ring: RingSize) -> float | None:
    """The rod or groove-root diameter, mm, that a JIS P or G size is named after (P22A: 22); None for other sizes."""
    if ring.series is not Series.JIS or (match := _JIS_NUMBER.fullmatch(ring.designation)) is None:
        return None
    return float(match[1])


def _serves(row: GrooveRow, ring: RingSize) -> bool:
    # P and G share the width 5.7; elsewhere the width alone tells.
    return row.table != JIS_TABLE or (ring.series is Series.JIS and ring.designation[0] == row.series[0])


def groove_for(
    ring: RingSize,
    kind: GrooveKind,
    motion: Motion = Motion.STATIC,
    *,
    row: GrooveRow | None = None,
    stretch: float = 2,
) -> Groove | None:
    """The standard groove for a ring, or None where no table has its width.

    A JIS P or G size on a piston or rod gets its own diameters. Any other ring gets a groove that stretches it by
    `stretch` percent, in a bore holds its OD in by 1 to 2 %, inside a face by 0.5 %. Without `row`, the ring's own
    standard goes first, then the first published row.
    """
    if row is None:
        rows = [found for found in standard_grooves(ring.cross_section_mm, kind, motion) if _serves(found, ring)]
        own = [found for found in rows if found.table == JIS_TABLE]
        if not rows:
            return None
        row = (own or rows)[0]
    label = f"{row.table}, {ring.cross_section_mm:.2f} mm, {row.use}"
    if kind.is_face:
        if kind is GrooveKind.FACE_INSIDE:
            return build.face_inside(span(ring.od_mm * 0.995), row.depth, row.width, label=label, source=row.source)
        inner = span(ring.id_mm * (1 + stretch / 100))
        return build.face_outside(inner, row.depth, row.width, label=label, source=row.source)
    if kind is GrooveKind.PORT:
        return None
    inner_range, outer = _diameters(ring, kind, row, stretch)
    if kind is GrooveKind.PISTON:
        return build.piston(
            inner_range,
            row.width,
            bore=outer,
            motion=motion,
            clearance=row.clearance_max_mm,
            label=label,
            source=row.source,
        )
    return build.rod(
        inner_range,
        row.width,
        groove_diameter=outer,
        motion=motion,
        clearance=row.clearance_max_mm,
        label=label,
        source=row.source,
    )


def _diameters(ring: RingSize, kind: GrooveKind, row: GrooveRow, stretch: float) -> tuple[Range, Range]:
    """Inner and outer diameter whose worst cases give exactly the row's depth."""
    loose = row.depth.width
    if row.table == JIS_TABLE and (named := jis_diameter(ring)) is not None:
        return span(named, 0, loose), span(named + 2 * row.depth.minimum, loose, 0)
    half = loose / 2
    if kind is GrooveKind.PISTON:
        inner = ring.id_mm * (1 + stretch / 100)
        return span(inner, half), span(inner + 2 * row.depth.nominal, half)
    outer = min(ring.od_mm * 0.99, max(ring.od_mm * 0.98, ring.id_mm * 1.02 + 2 * row.depth.nominal))
    return span(outer - 2 * row.depth.nominal, half), span(outer, half)
