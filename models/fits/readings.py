"""Readings between the catalog's millimetres and the database's tenths of a micrometre."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from models.errors import InvalidInputError
from models.tables.readings import ReadingColumns

TENTH_UM_PER_MM = 10_000
LARGEST_MM = 20_000


class ReadingRow(NamedTuple):
    """One kept reading: what was measured, value and limit of error in mm, instrument, condition of the ring."""

    what: Dimension
    value_mm: float
    plus_minus_mm: float
    tool: Tool
    condition: Condition


class StoredReading(NamedTuple):
    """The same as it is stored."""

    position: int
    what: Dimension
    value_tenth_um: int
    plus_minus_tenth_um: int
    tool: Tool
    condition: Condition


def to_store(evidence: Evidence | None) -> list[StoredReading]:
    """The readings of `evidence` in base units, none for None. Raises `InvalidInputError` off any real ring."""
    if evidence is None:
        return []
    stored: list[StoredReading] = []
    for position, reading in enumerate(evidence.readings):
        if not (0 < reading.value_mm <= LARGEST_MM and 0 < reading.plus_minus_mm <= LARGEST_MM):
            raise InvalidInputError(
                f"A reading of {reading.value_mm} ± {reading.plus_minus_mm} mm can't be kept.",
                f"Type sizes above 0 and up to {LARGEST_MM} mm.",
            )
        stored.append(
            StoredReading(
                position,
                reading.dimension,
                max(1, round(reading.value_mm * TENTH_UM_PER_MM)),
                max(1, round(reading.plus_minus_mm * TENTH_UM_PER_MM)),
                reading.tool,
                evidence.condition,
            )
        )
    return stored


def from_store(rows: Iterable[ReadingColumns]) -> tuple[ReadingRow, ...]:
    """Stored readings as they are given out."""
    return tuple(
        ReadingRow(
            row.what,
            row.value_tenth_um / TENTH_UM_PER_MM,
            row.plus_minus_tenth_um / TENTH_UM_PER_MM,
            row.tool,
            row.condition,
        )
        for row in rows
    )
