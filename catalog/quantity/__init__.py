"""What a person types becomes a quantity, and a quantity becomes text in both families of units.

`parse` reads it by a strict grammar of our own (see `grammar`), `Typed` holds it exactly and says back what was
understood, `format_length`, `both_units` and `format_volume` write numbers for screens. Importing this package, and
everything about lengths, leaves pint unimported.
"""

from catalog.quantity import instrument
from catalog.quantity.conversion import registry
from catalog.quantity.display import (
    both_units,
    format_force,
    format_length,
    format_pressure,
    format_stress,
    format_torque,
    format_volume,
)
from catalog.quantity.errors import QuantityError
from catalog.quantity.grammar import length_mm, parse
from catalog.quantity.typed import Typed
from catalog.quantity.units import Kind, units

__all__ = [
    "Kind",
    "QuantityError",
    "Typed",
    "both_units",
    "format_force",
    "format_length",
    "format_pressure",
    "format_stress",
    "format_torque",
    "format_volume",
    "instrument",
    "length_mm",
    "parse",
    "registry",
    "units",
]
