"""A quantity as a person typed it: exact, with its unit, and able to say back what was understood."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final, NamedTuple

from catalog.quantity import saybolt
from catalog.quantity.conversion import convert, convert_difference, registry
from catalog.quantity.units import BY_NAME, Kind, Unit, find

if TYPE_CHECKING:
    import pint


THREE_FIGURES: Final = frozenset({Kind.TORQUE, Kind.PRESSURE, Kind.VISCOSITY, Kind.FORCE, Kind.SPEED})
"""Kinds whose other unit is said with three significant figures: no gauge or wrench on a bench shows more."""
SMALL_TORQUE_NM: Final = 20
"""Below this a torque is said in lbf·in, as the wrenches that reach so low are marked."""


# A named tuple, not a dataclass: importing `dataclasses` costs 10 ms, a fifth of a short command.
class Typed(NamedTuple):
    """A value in the unit it was typed in, exact. `plus_minus`, where given, is in the same unit.

    `as_fraction`: typed as a common fraction, so said back as one. `inches_assumed`: a fraction with no unit in a
    metric session, read as inches, and said so. Neither counts when two values are compared.
    """

    value: Fraction
    unit: str
    plus_minus: Fraction | None
    kind: Kind
    as_fraction: bool = False
    inches_assumed: bool = False

    def __eq__(self, other: object) -> bool:
        """Equal where value, unit, ± and kind are."""
        return isinstance(other, Typed) and self[:4] == other[:4]

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(self[:4])

    def to(self, unit: str) -> Fraction:
        """Return the value in `unit` (any spelling), exactly. Raises `QuantityError` for a unit of another kind."""
        return convert(self.value, self._unit, find(unit, self.kind))

    def plus_minus_in(self, unit: str) -> Fraction | None:
        """Return the ± in `unit`, exactly, or None where none was typed."""
        if self.plus_minus is None:
            return None
        return convert_difference(self.plus_minus, self._unit, find(unit, self.kind), about=self.value)

    def viscosity_at(self, celsius: float) -> float:
        """Return a viscosity in mm²/s, Saybolt seconds as those of a cup at this temperature (ASTM D2161)."""
        if self.unit != "SUS":
            return float(self.to("mm²/s"))
        return saybolt.cst(float(self.value), celsius * 1.8 + 32)

    def quantity(self) -> pint.Quantity[Fraction]:
        """Return the value as a quantity of our own registry, for arithmetic. Imports pint."""
        return registry().Quantity(self.value, self._unit.pint_name)

    def echo(self) -> str:
        """Say what was understood, in both families of units: `1 1/8 in = 28.575 mm`, `40 lbf·in = 4.52 N·m`."""
        other = self._other
        here = mixed_fraction(self.value) if self.as_fraction else plain(self.value, _places(self.unit, exact=True))
        converted = self.to(other)
        there = significant(converted) if self.kind in THREE_FIGURES else plain(converted, _places(other))
        if self.plus_minus is not None:
            pm, there_pm = self.plus_minus, self.plus_minus_in(other) or Fraction(0)
            here += f" ±{mixed_fraction(pm) if self.as_fraction else plain(pm, _places(self.unit, exact=True))}"
            there += f" ±{significant(there_pm, 2) if self.kind in THREE_FIGURES else plain(there_pm, _places(other))}"
        said = f"{here} {self.unit} = {there} {other}"
        return said + " (a fraction without a unit is read as inches)" if self.inches_assumed else said

    @property
    def _unit(self) -> Unit:
        return BY_NAME[self.unit]

    @property
    def _other(self) -> str:
        """The unit of the other family: pound-inches for a small torque, no Saybolt seconds where none exist."""
        if self.unit in ("N·m", "daN·m") and 0 < self.to("N·m") < SMALL_TORQUE_NM:
            return "lbf·in"
        if self.kind is Kind.VISCOSITY and self.unit != "SUS" and self.value < Fraction(saybolt.LEAST_CST):
            return "cSt" if self.unit == "mm²/s" else "mm²/s"
        return self._unit.other


def _places(unit: str, *, exact: bool = False) -> int:
    """Decimals that a unit is shown with; a value as typed keeps up to nine."""
    if exact:
        return 9
    return {"in": 4, "mm": 3, "cm": 4, "m": 3, "ft": 3, "°C": 1, "°F": 1}.get(unit, 3)


def plain(value: Fraction, places: int) -> str:
    """Write `value` rounded half up to `places` decimals, without trailing zeros and never with an exponent.

    A value too small for that many decimals keeps two significant digits instead of turning into nothing.
    """
    if value and abs(value) < Fraction(1, 10**places):
        while abs(value) * 10**places < 10:
            places += 1
    text = fixed(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def fixed(value: Fraction, places: int) -> str:
    """Write `value` with exactly `places` decimals, rounded half away from zero; no exponent, no minus zero."""
    scaled = (abs(value) * 10**places * 2 + 1) // 2
    whole, rest = divmod(scaled, 10**places)
    sign = "-" if value < 0 and scaled else ""
    return f"{sign}{whole}.{rest:0{places}d}" if places else f"{sign}{whole}"


def mixed_fraction(value: Fraction) -> str:
    """Write a value as a rule is read: `1 1/8`, `63/64`, `2`."""
    whole, rest = divmod(abs(value), 1)
    sign = "-" if value < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def significant(value: float | Fraction, figures: int = 3) -> str:
    """Write `value` with so many significant figures, zeros kept: `4.52`, `40.0`, `136`, `1230`; never an exponent."""
    # Twelve digits first: a half that a float holds a hair below is rounded up all the same.
    exact = Fraction(f"{float(value):.12g}")
    if not exact:
        return "0"
    # The first place that counts, found on the number itself: a logarithm is out by one near a power of ten.
    places = figures - 1
    size = abs(exact)
    while size >= 10:
        size, places = size / 10, places - 1
    while size < 1:
        size, places = size * 10, places + 1
    if size >= 10 - Fraction(1, 2 * 10 ** (figures - 1)):  # rounds up to one more digit: 99.96 is 100
        places -= 1
    if places >= 0:
        return fixed(exact, places)
    return fixed(exact / 10**-places, 0) + "0" * -places
