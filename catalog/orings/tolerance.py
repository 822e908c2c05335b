"""How far a ring may be from its nominal size: the tolerance classes of ISO 3601-1.

Figures: `catalog/data/orings/iso3601_tolerances.csv`. Class A holds for the inch-based sizes, class B for any size.
"""

from __future__ import annotations

import csv
from functools import cache
from typing import NamedTuple

from catalog.orings.sizes import TABLES
from catalog.publications import named
from catalog.standing import Standing


class ToleranceRow(NamedTuple):
    """One line of the tolerance table. Lengths and tolerance (±) in mm; a single size has from = to."""

    standard: str
    grade: str
    quantity: str
    from_mm: float
    to_mm: float
    tolerance_mm: float
    source: str
    standing: Standing
    note: str


@cache
def table() -> tuple[ToleranceRow, ...]:
    """The whole tolerance table, in file order."""
    lines = (TABLES / "iso3601_tolerances.csv").read_text(encoding="utf-8").splitlines()
    return tuple(
        ToleranceRow(
            row[0],
            row[1],
            row[2],
            float(row[3]),
            float(row[4]),
            float(row[5]),
            named(row[6]),
            Standing(row[7]),
            named(row[8]),
        )
        for row in list(csv.reader(lines))[1:]
    )


def class_b_id_tolerance_mm(id_mm: float) -> float:
    """The ± of an inside diameter in mm: 0.009·d^0.95 + 0.11 (ISO 3601-1, class B). Print it to two decimals."""
    if not id_mm > 0:
        raise ValueError(f"an inside diameter of {id_mm} mm is not above zero; give the ring's ID in mm")
    return float(0.009 * id_mm**0.95 + 0.11)


def class_a_width_tolerance_mm(cross_section_mm: float) -> float:
    """The ± of a width in mm by class A, which knows the eight inch-based widths only (1.02 to 6.99 mm).

    Raises ValueError for any other width.
    """
    widths = {row.from_mm: row.tolerance_mm for row in _rows("A", "width")}
    if (tolerance := widths.get(round(cross_section_mm, 2))) is None:
        known = ", ".join(f"{width:.2f}" for width in sorted(widths))
        raise ValueError(f"class A has no width of {cross_section_mm} mm; it has {known} mm")
    return tolerance


def class_b_width_tolerance_mm(cross_section_mm: float) -> float:
    """The ± of a width in mm by class B, by ranges up to 8.40 mm. Raises ValueError outside them."""
    if cross_section_mm > 0:
        for row in _rows("B", "width range"):
            if round(cross_section_mm, 2) <= row.to_mm:
                return row.tolerance_mm
    raise ValueError(f"class B has no width of {cross_section_mm} mm; it covers widths above 0 and up to 8.40 mm")


def _rows(grade: str, quantity: str) -> list[ToleranceRow]:
    return [row for row in table() if (row.standard, row.grade, row.quantity) == ("ISO 3601-1", grade, quantity)]
