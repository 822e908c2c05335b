"""Published groove tables as data, and a groove built from a row around a ring.

`data/grooves/grooves.csv`: the depth is from the groove's bottom to the mating surface with the part in the middle, so
it includes half the diametral clearance; pushed over, the gap is deeper on one side by that half and shallower on the
other (`figures`). Rows printed in inches stay in inches and are converted exactly. In JIS B 2401-2 the radial depth
(half of D − d) and the depth of a face groove differ for the same ring; they are separate rows and one never stands for
the other.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
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


_MM = {"mm": 1.0, "in": 25.4}


def _pair(low: str, high: str) -> tuple[float, float] | None:
    return (float(low), float(high)) if low and high else None


@cache
def groove_rows() -> tuple[GrooveRow, ...]:
    """Every row of every table, in the order of the file."""
    with TABLE.open(encoding="utf-8", newline="") as handle:
        return tuple(map(_row, csv.DictReader(handle)))


def _row(row: dict[str, str]) -> GrooveRow:
    unit = _MM[row["unit"]]

    def mm(name: str) -> float:
        return float(row[name]) * unit

    def optional(name: str) -> float | None:
        return mm(name) if row[name] else None

    squeeze = (optional("squeeze_min"), optional("squeeze_max"))
    return GrooveRow(
        row["table"],
        row["use"],
        tuple(Motion(motion) for motion in row["motion"].split(" or ")),
        row["medium"],
        row["series"],
        mm("section"),
        optional("section_tol"),
        between(mm("depth_min"), mm("depth_max")),
        between(mm("width_min"), mm("width_max")),
        optional("width_one_backup"),
        optional("width_two_backups"),
        optional("clearance_max"),
        None if squeeze[0] is None or squeeze[1] is None else (squeeze[0], squeeze[1]),
        _pair(row["squeeze_min_pct"], row["squeeze_max_pct"]),
        named(row["source"]),
        Standing(row["standing"]),
        row["note"],
    )


def standard_grooves(
    section_mm: float,
    kind: GrooveKind | None = None,
    motion: Motion | None = None,
    among: Sequence[GrooveRow] | None = None,
) -> tuple[GrooveRow, ...]:
    """The rows for a ring of this width, published ones first; by kind and motion where given.

    `among`: these rows, those of our tables where None. A port has no row here: its groove is the port (see `port`).
    """
    use = None if kind is None else FACE if kind.is_face else RADIAL if kind is not GrooveKind.PORT else ""
    found = [
        row
        for row in (groove_rows() if among is None else among)
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
    # A shop's own row that does not say which sizes it is for serves them all.
    return row.table != JIS_TABLE or (ring.series is Series.JIS and row.series[:1] in ("", ring.designation[0]))


def rows_for(
    ring: RingSize, kind: GrooveKind, motion: Motion = Motion.STATIC, among: Sequence[GrooveRow] | None = None
) -> tuple[GrooveRow, ...]:
    """The rows that serve a ring: its own standard's first, then the shop's own and the published ones.

    `among`: these rows, those of our tables where None.
    """
    rows = [found for found in standard_grooves(ring.cross_section_mm, kind, motion, among) if _serves(found, ring)]
    return tuple(sorted(rows, key=lambda row: row.table != JIS_TABLE))


def groove_for(
    ring: RingSize,
    kind: GrooveKind,
    motion: Motion = Motion.STATIC,
    *,
    row: GrooveRow | None = None,
    stretch: float = 2,
    among: Sequence[GrooveRow] | None = None,
) -> Groove | None:
    """The standard groove for a ring, or None where no table has its width.

    A JIS P or G size on a piston or rod gets its own diameters. Any other ring gets a groove that stretches it by
    `stretch` percent, in a bore holds its OD in by 1 to 2 %, inside a face by 0.5 %. Without `row`, the ring's own
    standard goes first, then the first published row; `among`: these rows, those of our tables where None.
    """
    if row is None:
        rows = rows_for(ring, kind, motion, among)
        if not rows:
            return None
        row = rows[0]
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
