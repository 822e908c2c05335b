"""Quantities with a unit: length, torque, pressure, volume, temperature. A bare number is in the setting's unit."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, ClassVar

import catalog
from tui.fields.field import Asked, Field, FieldError
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.quantity import Typed

EXAMPLES = {"mm": "24.9", "in": "0.984", "N·m": "100", "lbf·ft": "75", "bar": "10", "psi": "150", "L": "10.4",
            "US qt": "11", "°C": "80", "°F": "176", "N": "200", "mm²/s": "46", "m/s": "0.5"}  # fmt: skip


SMALLEST_MM = Fraction(1, 1000)


def typed(text: str, kind: str, asked: Asked) -> Typed:
    """What was typed as a quantity of a kind, exact; a bare number is in the setting's unit. Raises `FieldError`.

    `kind`: a word of `catalog.quantity.Kind`, which is loaded here: a command's help shows fields and reads none.
    """
    try:
        return catalog.quantity.parse(text, kind=catalog.quantity.Kind(kind), bare_unit=asked.units.bare(kind))
    except catalog.quantity.QuantityError as problem:
        raise FieldError(str(problem)) from problem


@dataclass(frozen=True)
class Quantity(Field["Typed"]):
    """A quantity of one kind, kept exact and in the unit it was typed in; `echo` says it in both families of units.

    `what`: what it is of, for the field's hint.
    """

    KIND: ClassVar[str]

    what: str = ""

    def hint(self, asked: Asked) -> str:
        """What it is of, and an example in the unit that a bare number has."""
        unit = asked.units.bare(self.KIND)
        return ", ".join(part for part in (self.what, f"as {EXAMPLES[unit]} {unit}") if part)

    def read(self, text: str, asked: Asked) -> Typed:
        """The quantity. Raises `FieldError`."""
        return typed(text, self.KIND, asked)

    def echo(self, value: Typed, asked: Asked) -> str:
        """Both families of units."""
        return value.echo()


class Length(Quantity):
    """A length; a bare number is in the session's unit."""

    METAVAR: ClassVar[str] = "LENGTH"
    LENGTHS: ClassVar[bool] = True
    KIND: ClassVar[str] = "length"


@dataclass(frozen=True)
class Dimension(Length):
    """A length measured on a part, with its ± where one was typed.

    Nothing on a bench is thinner than a thousandth of a millimetre.
    """

    must: bool = False

    def hint(self, asked: Asked) -> str:
        """What to measure, or an example."""
        return self.what or super().hint(asked)

    def read(self, text: str, asked: Asked) -> Typed:
        """The length. Raises `FieldError`."""
        found = super().read(text, asked)
        if found.to("mm") < SMALLEST_MM:
            raise FieldError(f"{shown(text)} must be at least 0.001 mm")
        return found


def in_mm(typed: Typed) -> tuple[float, float | None]:
    """A length's value and, where one was typed, its ±, mm."""
    plus_minus = typed.plus_minus_in("mm")
    return float(typed.to("mm")), None if plus_minus is None else float(plus_minus)


class Torque(Quantity):
    """A torque; a bare number is in the bench's kept unit, whatever lengths are read in."""

    METAVAR: ClassVar[str] = "TORQUE"
    KIND: ClassVar[str] = "torque"


class Pressure(Quantity):
    """A pressure; a bare number is in the bench's kept unit."""

    METAVAR: ClassVar[str] = "PRESSURE"
    KIND: ClassVar[str] = "pressure"


class Volume(Quantity):
    """A volume; a bare number is in the bench's kept unit."""

    METAVAR: ClassVar[str] = "VOLUME"
    KIND: ClassVar[str] = "volume"


class Temperature(Quantity):
    """A temperature; a bare number is in the bench's kept unit."""

    METAVAR: ClassVar[str] = "TEMP"
    KIND: ClassVar[str] = "temperature"


class Force(Quantity):
    """A force; a bare number is in newtons."""

    METAVAR: ClassVar[str] = "FORCE"
    KIND: ClassVar[str] = "force"
