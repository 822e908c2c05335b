"""What `washer` and `shaft-seal` share: readings from options, and how they are said."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from catalog.seals.evidence import Readings


def read(arguments: argparse.Namespace, options: Mapping[str, str], usual_mm: float) -> Readings:
    """The readings by the catalog's name of each dimension; `options` gives the name of each option's dimension."""
    from catalog.fasteners.thread import Reading
    from tui.commands.judging import length

    found = {}
    for option, name in options.items():
        text = getattr(arguments, option)
        if text is not None:
            value, plus_minus = length(f"--{option}", text, arguments.unit)
            found[name] = Reading(value, plus_minus or usual_mm)
    return found


def readings_object(readings: Readings, options: Mapping[str, str]) -> dict[str, Any]:
    """The readings as JSON: `inside_mm` and `inside_plus_minus_mm` for each option, null where none was given."""
    told: dict[str, Any] = {}
    for option, name in options.items():
        reading = readings.get(name)
        told[f"{option}_mm"] = None if reading is None else round(reading.value_mm, 4)
        told[f"{option}_plus_minus_mm"] = None if reading is None else round(reading.plus_minus_mm, 4)
    return told


def understood(readings: Readings, unit: str) -> str:
    """What was understood, in both units."""
    from catalog.quantity import both_units

    said = [
        f"{name} {both_units(one.value_mm, first=unit)} ± {one.plus_minus_mm:.2g} mm" for name, one in readings.items()
    ]
    return f"Understood: {', '.join(said)}."


def offs(off_mm: Mapping[str, float]) -> str:
    """How far each reading lies outside the limits, `within` where none does."""
    said = [f"{name} {off:+.2f}" for name, off in off_mm.items() if off]
    return ", ".join(said) or "within"
