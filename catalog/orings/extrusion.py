"""Extrusion: how wide a gap a ring's hardness can bridge at a pressure before it is pushed out and nibbled.

Gaps are diametral, mm. A gap that is centred opens to half of it on the radius, an eccentric one to all of it.
"""

from __future__ import annotations

import csv
from functools import cache
from math import inf
from pathlib import Path
from typing import NamedTuple

from catalog.publications import named
from catalog.standing import Standing

TABLE = Path(__file__).parent.parent / "data" / "elastomers" / "extrusion.csv"
PUBLISHED_TABLE = "hardness-pressure-clearance"
SECTION_TABLE = "radial gap by section"


class GapRow(NamedTuple):
    """One row: up to `bar_to`, a ring of this hardness and width band bridges `diametral_mm` (None: printed radial)."""

    table: str
    shore_a: int
    section_from: float
    section_to: float
    bar_from: float
    bar_to: float
    diametral_mm: float
    source: str
    standing: Standing


class GapLimit(NamedTuple):
    """The widest gap on diameter, mm, with the table it is from."""

    diametral_mm: float
    source: str
    standing: Standing


@cache
def gap_rows() -> tuple[GapRow, ...]:
    """Every row of every table. Radial gaps are doubled: concentric parts, and half that when pushed to one side."""
    with TABLE.open(encoding="utf-8", newline="") as handle:
        return tuple(
            GapRow(
                row["table"],
                int(row["shore_a"]),
                float(row["section_from"] or 0),
                float(row["section_to"] or inf),
                float(row["bar_from"]),
                float(row["bar_to"]),
                float(row["max_gap_mm"]) * (2 if row["gap_kind"] == "radial" else 1),
                named(row["source"]),
                Standing(row["standing"]),
            )
            for row in csv.DictReader(handle)
        )


def allowed_gap(
    pressure_bar: float, shore_a: int, section_mm: float = 3.5, *, silicone: bool = False
) -> GapLimit | None:
    """The widest diametral gap at this pressure, or None where no table reaches.

    The published table (70 and 90 Shore A, to 207 bar) goes first; above it the table by section (90 Shore A to
    350 bar, from memory). A hardness between two is judged as the softer. Silicone gets half (S15). Raises ValueError
    for a pressure below zero or a hardness outside 50 … 95 Shore A.
    """
    if not pressure_bar >= 0:
        raise ValueError(f"{pressure_bar:g} bar is not a pressure above the surroundings; type for example 160.")
    if not 50 <= shore_a <= 95:
        raise ValueError(f"{shore_a} Shore A is not an O-ring's hardness; type 70 or 90.")
    hardness = 90 if shore_a >= 90 else 70
    if shore_a < 70:
        return None
    for table in (PUBLISHED_TABLE, SECTION_TABLE):
        for row in gap_rows():
            if (
                row.table == table
                and row.shore_a == hardness
                and row.bar_from <= pressure_bar <= row.bar_to
                and row.section_from < section_mm <= row.section_to
            ):
                gap = row.diametral_mm / 2 if silicone else row.diametral_mm
                return GapLimit(gap, row.source, row.standing)
    return None


def highest_pressure(gap_mm: float, shore_a: int) -> float:
    """The pressure in bar up to which the published table allows this diametral gap; 0 where it never does.

    NOTES of the trade: 0.25 mm is good to about 69 bar at 70 Shore A and 207 bar at 90 (S12).
    """
    hardness = 90 if shore_a >= 90 else 70
    return max(
        (
            row.bar_to
            for row in gap_rows()
            # The table was printed in thousandths of an inch; its millimetres are rounded.
            if row.table == PUBLISHED_TABLE and row.shore_a == hardness and gap_mm <= row.diametral_mm + 0.0005
        ),
        default=0.0,
    )
