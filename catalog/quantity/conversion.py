"""Exact conversion. Lengths need nothing but a table; every other unit goes through a small pint registry of our own.

pint costs 0.12 s to import, so it is imported here only when a unit that is no length is converted. A registry with
just these definitions builds in a few milliseconds where pint's own takes 0.12 s, and knows no surprising unit. It
works in fractions, so a ratio that is exact by definition stays exact.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from catalog.quantity import saybolt
from catalog.quantity.errors import QuantityError
from catalog.quantity.units import Kind, Unit

if TYPE_CHECKING:
    import pint

# 1 in = 25.4 mm exactly: NIST SP 811 (2008), Appendix B.8.
_MILLIMETRES: Final[Mapping[str, Fraction]] = MappingProxyType(
    {
        "mm": Fraction(1),
        "cm": Fraction(10),
        "m": Fraction(1000),
        "µm": Fraction(1, 1000),
        "in": Fraction("25.4"),
        "thou": Fraction("0.0254"),
        "ft": Fraction("304.8"),
    }
)

# NIST SP 811 (2008), Appendix B: the US gallon is 231 in³, the imperial gallon 4.546 09 L, the avoirdupois pound
# 0.453 592 37 kg and standard gravity 9.806 65 m/s², each exactly; the pound-force follows from the last two.
_DEFINITIONS: Final = (
    "millimetre = [length]",
    "centimetre = 10 * millimetre",
    "metre = 1000 * millimetre",
    "micrometre = millimetre / 1000",
    "inch = 25.4 * millimetre",
    "thou = inch / 1000",
    "foot = 12 * inch",
    "litre = 1000000 * millimetre ** 3",
    "millilitre = litre / 1000",
    "microlitre = millimetre ** 3",
    "cubic_metre = metre ** 3",
    "cubic_inch = inch ** 3",
    "us_gallon = 231 * cubic_inch",
    "us_quart = us_gallon / 4",
    "us_pint = us_gallon / 8",
    "us_fluid_ounce = us_gallon / 128",
    "imp_gallon = 4.54609 * litre",
    "imp_quart = imp_gallon / 4",
    "imp_pint = imp_gallon / 8",
    "imp_fluid_ounce = imp_gallon / 160",
    "newton = [force]",
    "kilonewton = 1000 * newton",
    "kgf = 9.80665 * newton",
    "lbf = 4.4482216152605 * newton",
    "kip = 1000 * lbf",
    "newton_metre = newton * metre",
    "decanewton_metre = 10 * newton_metre",
    "kgf_metre = kgf * metre",
    "kgf_centimetre = kgf * centimetre",
    "lbf_foot = lbf * foot",
    "lbf_inch = lbf * inch",
    "pascal = newton / metre ** 2",
    "kilopascal = 1000 * pascal",
    "megapascal = 1000000 * pascal",
    "bar = 100000 * pascal",
    "millibar = 100 * pascal",
    "kgf_per_cm2 = kgf / centimetre ** 2",
    "psi = lbf / inch ** 2",
    "ksi = 1000 * psi",
    "kelvin = [temperature]; offset: 0",
    "degC = kelvin; offset: 273.15",
    "degF = 5 / 9 * kelvin; offset: 233.15 + 200 / 9",
    "second = [time]",
    "mm2_per_s = millimetre ** 2 / second",
    "centistokes = mm2_per_s",
    "metre_per_second = metre / second",
    "millimetre_per_second = millimetre / second",
    "metre_per_minute = metre / second / 60",
    "foot_per_second = foot / second",
    "foot_per_minute = foot / second / 60",
)

SAYBOLT: Final = "SUS"

_building: Final = threading.Lock()


def registry() -> pint.UnitRegistry[Fraction]:
    """Return the one registry, built on first use. Quantities of two registries never mix, hence the lock."""
    with _building:
        return _build()


@lru_cache(maxsize=1)
def _build() -> pint.UnitRegistry[Fraction]:
    import pint

    ureg: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    for line in _DEFINITIONS:
        ureg.define(line)
    return ureg


def convert(value: Fraction, source: Unit, target: Unit) -> Fraction:
    """Convert `value` from `source` to `target`, exactly. Both must be of one kind.

    Saybolt seconds alone go by the equation of ASTM D2161 at 100 °F, which is no ratio; `QuantityError` where it ends.
    """
    if source.name == target.name:
        return value
    if SAYBOLT in (source.name, target.name):
        try:
            return Fraction((saybolt.cst if source.name == SAYBOLT else saybolt.sus)(float(value)))
        except ValueError as problem:
            raise QuantityError(str(problem)) from problem
    if source.kind is Kind.TEMPERATURE:
        return Fraction(registry().Quantity(value, source.pint_name).to(target.pint_name).magnitude)
    return value * ratio(source, target)


def convert_difference(value: Fraction, source: Unit, target: Unit, *, about: Fraction) -> Fraction:
    """Convert a difference, such as a tolerance: for a temperature the scale counts and the zero point does not.

    `about`: the value in `source` that it is a difference of. Saybolt seconds convert otherwise at every value.
    """
    if SAYBOLT in (source.name, target.name) and source.name != target.name:
        return abs(convert(about + value, source, target) - convert(about, source, target))
    return value if source.name == target.name else value * ratio(source, target)


@lru_cache(maxsize=256)
def ratio(source: Unit, target: Unit) -> Fraction:
    """How many `target` make one `source` (for temperatures, of a difference)."""
    if source.kind is Kind.LENGTH:
        return _MILLIMETRES[source.name] / _MILLIMETRES[target.name]
    ureg = registry()
    delta = "delta_" if source.kind is Kind.TEMPERATURE else ""
    names = [delta + u.pint_name if u.name != "K" else u.pint_name for u in (source, target)]
    return Fraction(ureg.Quantity(Fraction(1), names[0]).to(names[1]).magnitude)
