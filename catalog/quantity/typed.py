"""A quantity as a person typed it: exact, with its unit, and able to say back what was understood."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from catalog.quantity.conversion import convert, convert_difference, registry
from catalog.quantity.units import BY_NAME, Kind, Unit, find

if TYPE_CHECKING:
    import pint


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
        return convert_difference(self.plus_minus, self._unit, find(unit, self.kind))

    def quantity(self) -> pint.Quantity[Fraction]:
        """Return the value as a quantity of our own registry, for arithmetic. Imports pint."""
        return registry().Quantity(self.value, self._unit.pint_name)

    def echo(self) -> str:
        """Say what was understood, in both families of units: `1 1/8 in = 28.575 mm`."""
        other = self._unit.other
        here = mixed_fraction(self.value) if self.as_fraction else plain(self.value, _places(self.unit, exact=True))
        there = plain(self.to(other), _places(other))
        if self.plus_minus is not None:
            pm = self.plus_minus
            here += f" ±{mixed_fraction(pm) if self.as_fraction else plain(pm, _places(self.unit, exact=True))}"
            there += f" ±{plain(convert_difference(pm, self._unit, BY_NAME[other]), _places(other))}"
        said = f"{here} {self.unit} = {there} {other}"
        return said + " (a fraction without a unit is read as inches)" if self.inches_assumed else said

    @property
    def _unit(self) -> Unit:
        return BY_NAME[self.unit]


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
