"""Quantities with a unit: length, torque, pressure, volume, temperature. A bare number is in the setting's unit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from tui.fields.field import Asked, Field, FieldError

if TYPE_CHECKING:
    from catalog.quantity import Typed

EXAMPLES = {"mm": "24.9", "in": "0.984", "N·m": "100", "lbf·ft": "75", "bar": "10", "psi": "150", "L": "10.4",
            "US qt": "11", "°C": "80", "°F": "176", "N": "200", "mm²/s": "46", "m/s": "0.5"}  # fmt: skip


def typed(text: str, kind: str, asked: Asked) -> Typed:
    """What was typed as a quantity of a kind, exact; a bare number is in the setting's unit. Raises `FieldError`.

    `kind`: a word of `catalog.quantity.Kind`, which is loaded here: a command's help shows fields and reads none.
    """
    from catalog.quantity import Kind, QuantityError, parse

    try:
        return parse(text, kind=Kind(kind), bare_unit=asked.units.bare(kind))
    except QuantityError as problem:
        raise FieldError(str(problem)) from problem


@dataclass(frozen=True)
class Quantity(Field["Typed"]):
    """A quantity of one kind, kept exact and in the unit it was typed in; `echo` says it in both families of units."""

    KIND: ClassVar[str]

    def hint(self, asked: Asked) -> str:
        """An example in the unit that a bare number has."""
        unit = asked.units.bare(self.KIND)
        return f"as {EXAMPLES[unit]} {unit}"

    def read(self, text: str, asked: Asked) -> Typed:
        """The quantity. Raises `FieldError`."""
        return typed(text, self.KIND, asked)

    def echo(self, value: Typed, asked: Asked) -> str:
        """Both families of units."""
        return value.echo()


@dataclass(frozen=True)
class Length(Quantity):
    """A length; a bare number is in the session's unit."""

    METAVAR: ClassVar[str] = "LENGTH"
    LENGTHS: ClassVar[bool] = True
    KIND: ClassVar[str] = "length"


@dataclass(frozen=True)
class Torque(Quantity):
    """A torque; a bare number is in the bench's kept unit, whatever lengths are read in."""

    METAVAR: ClassVar[str] = "TORQUE"
    KIND: ClassVar[str] = "torque"


@dataclass(frozen=True)
class Pressure(Quantity):
    """A pressure; a bare number is in the bench's kept unit."""

    METAVAR: ClassVar[str] = "PRESSURE"
    KIND: ClassVar[str] = "pressure"


@dataclass(frozen=True)
class Volume(Quantity):
    """A volume; a bare number is in the bench's kept unit."""

    METAVAR: ClassVar[str] = "VOLUME"
    KIND: ClassVar[str] = "volume"


@dataclass(frozen=True)
class Temperature(Quantity):
    """A temperature; a bare number is in the bench's kept unit."""

    METAVAR: ClassVar[str] = "TEMP"
    KIND: ClassVar[str] = "temperature"
