"""What was measured of a washer or a shaft seal's place, from its fields."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from catalog import fasteners, seals
from tui.fields.quantities import in_mm

if TYPE_CHECKING:
    from catalog.seals.evidence import Readings
    from tui.operations.operation import Values


def readings_of(values: Values, names: Mapping[str, str]) -> Readings:
    """The readings as the catalog calls them; `names`: what it calls each, by its field."""
    found = {}
    for field, name in names.items():
        if values[field] is not None:
            value, plus_minus = in_mm(values[field])
            found[name] = fasteners.thread.Reading(value, plus_minus or seals.evidence.USUAL_PLUS_MINUS_MM)
    return found
