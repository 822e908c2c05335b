"""Extrusion: how wide a gap a ring's hardness can bridge at a pressure before it is pushed out and nibbled.

Gaps are mm. A *diametral* table prints the whole clearance on diameter: that is also the radial gap at the open side of
a part pushed over. A *radial* table prints the gap at the ring, which is half of clearance and play together. Every
figure stays in the unit it was printed in and is converted exactly; limits are inclusive.
"""

from __future__ import annotations

import csv
from functools import cache
from math import inf
from pathlib import Path
from typing import Final, NamedTuple

from catalog.compare import at_most, under
from catalog.publications import named
from catalog.standing import Standing

TABLE = Path(__file__).parent.parent / "data" / "elastomers" / "extrusion.csv"
PUBLISHED_TABLE = "hardness-pressure-clearance"
SECTION_TABLE = "radial gap by section"
HARDNESSES: Final = (70, 90)
_MM: Final = {"mm": 1.0, "in": 25.4}
# 1 psi = 1 lbf/in², exact by the definitions of the pound, the inch and standard gravity (NIST SP 811).
_BAR: Final = {"bar": 1.0, "psi": 0.45359237 * 9.80665 / 0.0254**2 / 1e5}


class GapRow(NamedTuple):
    """One row: up to `bar_to`, a ring of this hardness and width band bridges `gap_mm`, on diameter or `radial`.

    `printed` and `unit` are the gap as its table prints it.
    """

    table: str
    shore_a: int
    section_from: float
    section_to: float
    bar_from: float
    bar_to: float
    gap_mm: float
    radial: bool
    printed: str
    unit: str
    source: str
    standing: Standing


class GapLimit(NamedTuple):
    """The widest clearance on diameter, mm, with the table it is from. `printed`: the row's gap in its own unit."""

    diametral_mm: float
    source: str
    standing: Standing
    printed: str = ""


@cache
def gap_rows() -> tuple[GapRow, ...]:
    """Every row of every table."""
    with TABLE.open(encoding="utf-8", newline="") as handle:
        return tuple(
            GapRow(
                row["table"],
                int(row["shore_a"]),
                float(row["section_from"] or 0),
                float(row["section_to"] or inf),
                float(row["pressure_from"]) * _BAR[row["pressure_unit"]],
                float(row["pressure_to"]) * _BAR[row["pressure_unit"]],
                float(row["max_gap"]) * _MM[row["gap_unit"]],
                row["gap_kind"] == "radial",
                row["max_gap"],
                row["gap_unit"],
                named(row["source"]),
                Standing(row["standing"]),
            )
            for row in csv.DictReader(handle)
        )


def allowed_gap(
    pressure_bar: float, shore_a: int, section_mm: float = 3.5, *, silicone: bool = False, play_share: float = 1.0
) -> GapLimit | None:
    """The widest clearance on diameter at this pressure, or None where no table reaches.

    The published table (70 and 90 Shore A, to 3000 psi) goes first; above it the table by section (90 Shore A to
    350 bar, from memory), whose gap is radial: a part pushed over by its whole clearance (`play_share` 1) opens all of
    it on one side, a part guided centred (0) half. A hardness between two is judged as the softer. Silicone gets half
    (S15). At a pressure where two bands meet the wider gap holds: limits are inclusive. Raises ValueError for a
    pressure below zero or a hardness outside 50 … 95 Shore A.
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
                and at_most(row.bar_from, pressure_bar)
                and at_most(pressure_bar, row.bar_to)
                and under(row.section_from, section_mm)
                and at_most(section_mm, row.section_to)
            ):
                gap = row.gap_mm * 2 / (1 + play_share) if row.radial else row.gap_mm
                where = " on the radius" if row.radial else " on diameter"
                printed = f"{row.printed} {row.unit}{where}{', halved for silicone' if silicone else ''}"
                return GapLimit(gap / 2 if silicone else gap, row.source, row.standing, printed)
    return None


def harder_that_bridges(
    gap_mm: float, pressure_bar: float, shore_a: int, section_mm: float, *, play_share: float = 1.0
) -> tuple[int, GapLimit] | None:
    """The softest hardness of the tables, harder than this one, that bridges the gap, with its limit; None: none."""
    for hardness in HARDNESSES:
        if hardness > shore_a:
            limit = allowed_gap(pressure_bar, hardness, section_mm, play_share=play_share)
            if limit is not None and at_most(gap_mm, limit.diametral_mm):
                return hardness, limit
    return None
