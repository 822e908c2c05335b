"""What the answers on washers and on shaft seals share: readings, how far they are off, when a size is named."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import catalog

if TYPE_CHECKING:
    from catalog.seals.evidence import Readings

LIKELIER_THAN_NONE = 0.5
"""A size is named where it is likelier than this that it is one of the tables at all."""


def reading_figures(readings: Readings, names: Mapping[str, str]) -> dict[str, Any]:
    """Each reading and its ± by the names that answers have for it, None where none was taken.

    `names`: what the catalog calls a reading, by its field.
    """
    told: dict[str, Any] = {}
    for field, name in names.items():
        one = readings.get(name)
        told[f"{field}_mm"] = None if one is None else round(one.value_mm, 4)
        told[f"{field}_plus_minus_mm"] = None if one is None else round(one.plus_minus_mm, 4)
    return told


def understood(readings: object, names: Mapping[str, str], unit: str) -> str:
    """What was understood, in both units; `readings` have the names of `reading_figures`."""
    said = [
        f"{name} {catalog.quantity.both_units(value, first=unit)}"
        f" ± {getattr(readings, f'{field}_plus_minus_mm'):.2g} mm"
        for field, name in names.items()
        if (value := getattr(readings, f"{field}_mm")) is not None
    ]
    return f"Understood: {', '.join(said)}."


def off_by(off_mm: Mapping[str, float], names: Mapping[str, str]) -> dict[str, float]:
    """How far each reading lies outside its limits, mm, by its field; 0 within."""
    return {field: round(off_mm[name], 4) for field, name in names.items() if name in off_mm}


def off_words(off_mm: Mapping[str, float], names: Mapping[str, str]) -> str:
    """How far each reading lies outside the limits, `within` where none does."""
    return ", ".join(f"{names[field]} {off:+.2f}" for field, off in off_mm.items() if off) or "within"
