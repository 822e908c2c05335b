"""The closed list of units that may be typed, kind by kind, with every spelling that is taken for each.

Torque and energy share a dimension, as do pressure and stress, so a dimension check cannot replace these lists.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.quantity.errors import QuantityError, excerpt


class Kind(StrEnum):
    """What sort of quantity a field takes."""

    LENGTH = "length"
    VOLUME = "volume"
    TORQUE = "torque"
    PRESSURE = "pressure"
    TEMPERATURE = "temperature"
    VISCOSITY = "viscosity"
    FORCE = "force"
    SPEED = "speed"


class System(StrEnum):
    """Families of units. A sum stays within one; US and imperial gallons are never mixed by accident."""

    METRIC = "metric"
    INCH = "inch"
    US = "US"
    IMPERIAL = "imperial"


class Unit(NamedTuple):
    """One unit: its own name, family, the unit shown beside it, its name in our pint registry.

    The unit beside is one of the other family, or newtons where kilograms of force were typed.
    """

    name: str
    kind: Kind
    system: System
    other: str
    pint_name: str
    spellings: tuple[str, ...]


def _unit(kind: Kind, system: System, name: str, other: str, pint_name: str, spellings: str) -> Unit:
    return Unit(name, kind, system, other, pint_name, tuple(s.strip() for s in spellings.split(",") if s.strip()))


_METRIC, _INCH, _US, _IMP = System.METRIC, System.INCH, System.US, System.IMPERIAL
_L, _V, _T, _P = Kind.LENGTH, Kind.VOLUME, Kind.TORQUE, Kind.PRESSURE
_C, _N, _F, _S = Kind.TEMPERATURE, Kind.VISCOSITY, Kind.FORCE, Kind.SPEED

# The spellings are lower case, with one '·' for each run of spaces, dots and hyphens, no full stop, 'u' for micro and
# plain digits for exponents: `fold` brings what was typed into that shape.
UNITS: Final[tuple[Unit, ...]] = (
    _unit(_L, _METRIC, "mm", "in", "millimetre", "mm, millimetre, millimetres, millimeter, millimeters"),
    _unit(_L, _METRIC, "cm", "in", "centimetre", "cm, centimetre, centimetres, centimeter, centimeters"),
    _unit(_L, _METRIC, "m", "ft", "metre", "m, metre, metres, meter, meters"),
    _unit(_L, _METRIC, "µm", "thou", "micrometre", "um, micrometre, micrometres, micron, microns"),
    _unit(_L, _INCH, "in", "mm", "inch", 'in, ", inch, inches, ins'),
    _unit(_L, _INCH, "thou", "mm", "thou", "thou"),
    _unit(_L, _INCH, "ft", "m", "foot", "ft, foot, feet"),
    _unit(_V, _METRIC, "L", "US qt", "litre", "l, litre, litres, liter, liters, ltr, dm3"),
    _unit(_V, _METRIC, "mL", "US fl oz", "millilitre", "ml, millilitre, millilitres, milliliter, milliliters, cc, cm3"),
    _unit(_V, _METRIC, "µL", "US fl oz", "microlitre", "ul, mm3"),
    _unit(_V, _METRIC, "m³", "US gal", "cubic_metre", "m3"),
    _unit(_V, _US, "US gal", "L", "us_gallon", "gal, gals, gallon, gallons, us·gal, us·gallon, us·gallons, gal·us"),
    _unit(_V, _US, "US qt", "L", "us_quart", "qt, qts, quart, quarts, us·qt, us·qts, us·quart, us·quarts, qt·us"),
    _unit(_V, _US, "US pt", "L", "us_pint", "pt, pts, pint, pints, us·pt, us·pts, us·pint, us·pints, pt·us"),
    _unit(_V, _US, "US fl oz", "mL", "us_fluid_ounce", "fl·oz, floz, fluid·ounce, fluid·ounces, us·fl·oz, fl·oz·us"),
    _unit(_V, _US, "in³", "mL", "cubic_inch", "in3, cu·in, cubic·inch, cubic·inches"),
    _unit(_V, _IMP, "imp gal", "L", "imp_gallon", "imp·gal, imp·gallon, imp·gallons, imperial·gallon, uk·gal, gal·imp"),
    _unit(_V, _IMP, "imp qt", "L", "imp_quart", "imp·qt, imp·quart, imp·quarts, imperial·quart, uk·qt, qt·imp"),
    _unit(_V, _IMP, "imp pt", "L", "imp_pint", "imp·pt, imp·pint, imp·pints, imperial·pint, uk·pt, pt·imp"),
    _unit(_V, _IMP, "imp fl oz", "mL", "imp_fluid_ounce", "imp·fl·oz, uk·fl·oz, fl·oz·imp"),
    _unit(_T, _METRIC, "N·m", "lbf·ft", "newton_metre", "n·m, nm, newton·metre, newton·metres, newton·meter"),
    _unit(_T, _METRIC, "daN·m", "lbf·ft", "decanewton_metre", "dan·m, danm"),
    # In a torque field a kilogram is its weight: old manuals print m-kg, cm-kg, mkg and mkp.
    _unit(
        *(_T, _METRIC, "kgf·m", "N·m", "kgf_metre"),
        "kgf·m, kgfm, kgf·metre, m·kgf, mkgf, kg·m, kgm, m·kg, mkg, kp·m, kpm, m·kp, mkp",
    ),
    _unit(
        *(_T, _METRIC, "kgf·cm", "N·m", "kgf_centimetre"),
        "kgf·cm, kgfcm, cm·kgf, cmkgf, kg·cm, kgcm, cm·kg, cmkg, kp·cm, kpcm, cm·kp, cmkp",
    ),
    _unit(
        *(_T, _INCH, "lbf·ft", "N·m", "lbf_foot"),
        "lbf·ft, lbfft, lb·ft, lbs·ft, lbft, ft·lbf, ftlbf, ft·lb, ft·lbs, ftlb, ftlbs, foot·pound, "
        "foot·pounds, pound·foot, pound·feet",
    ),
    _unit(
        *(_T, _INCH, "lbf·in", "N·m", "lbf_inch"),
        "lbf·in, lbfin, lb·in, lbs·in, lbin, in·lbf, inlbf, in·lb, in·lbs, inlb, inlbs, inch·pound, "
        "inch·pounds, pound·inch, pound·inches",
    ),
    _unit(_P, _METRIC, "kPa", "psi", "kilopascal", "kpa, kilopascal, kilopascals"),
    _unit(_P, _METRIC, "MPa", "psi", "megapascal", "mpa, megapascal, megapascals, n/mm2"),
    _unit(_P, _METRIC, "Pa", "psi", "pascal", "pa, pascal, pascals"),
    _unit(_P, _METRIC, "bar", "psi", "bar", "bar, bars"),
    _unit(_P, _METRIC, "mbar", "psi", "millibar", "mbar, millibar, hpa"),
    _unit(_P, _METRIC, "kgf/cm²", "psi", "kgf_per_cm2", "kgf/cm2, kg/cm2, kp/cm2"),
    _unit(_P, _INCH, "psi", "bar", "psi", "psi, lbf/in2"),
    _unit(_P, _INCH, "ksi", "MPa", "ksi", "ksi, kip/in2"),
    _unit(_C, _METRIC, "°C", "°F", "degC", "°c, c, deg·c, degc, celsius"),
    _unit(_C, _METRIC, "K", "°F", "kelvin", "k, kelvin"),
    _unit(_C, _US, "°F", "°C", "degF", "°f, f, deg·f, degf, fahrenheit"),
    _unit(_N, _METRIC, "mm²/s", "SUS", "mm2_per_s", "mm2/s"),
    _unit(_N, _METRIC, "cSt", "SUS", "centistokes", "cst, centistokes, centistoke"),
    # No factor converts these seconds: `saybolt.py` does.
    _unit(_N, _US, "SUS", "mm²/s", "", "sus, ssu, saybolt·universal·seconds, saybolt·seconds·universal"),
    _unit(_F, _METRIC, "N", "lbf", "newton", "n, newton, newtons"),
    _unit(_F, _METRIC, "kN", "lbf", "kilonewton", "kn, kilonewton, kilonewtons"),
    _unit(_F, _METRIC, "kgf", "N", "kgf", "kgf, kp"),
    _unit(_F, _INCH, "lbf", "N", "lbf", "lbf, lb, lbs, pound, pounds"),
    _unit(_F, _INCH, "kip", "kN", "kip", "kip, kips, klbf"),
    _unit(_S, _METRIC, "m/s", "ft/min", "metre_per_second", "m/s"),
    _unit(_S, _METRIC, "mm/s", "ft/min", "millimetre_per_second", "mm/s"),
    _unit(_S, _METRIC, "m/min", "ft/min", "metre_per_minute", "m/min"),
    _unit(_S, _INCH, "ft/s", "m/s", "foot_per_second", "ft/s, fps"),
    _unit(_S, _INCH, "ft/min", "m/s", "foot_per_minute", "ft/min, fpm, sfpm"),
)

BY_NAME: Final[Mapping[str, Unit]] = MappingProxyType({u.name: u for u in UNITS})
_BY_SPELLING: Final[Mapping[tuple[Kind, str], Unit]] = MappingProxyType(
    {(u.kind, spelling): u for u in UNITS for spelling in u.spellings}
)

# Spellings that mean different things to different people: asked about, never guessed.
_ASK: Final[Mapping[tuple[Kind, str], str]] = MappingProxyType(
    {
        (_L, "mil"): "means a thousandth of an inch to some and a millimetre to others; type thou or mm",
        (_L, "mils"): "means thousandths of an inch to some and millimetres to others; type thou or mm",
        (_V, "oz"): "may be a weight; type fl oz for a volume",
        (_T, "lb"): "is half a torque; type lbf·ft or lbf·in",
        (_T, "lbs"): "is half a torque; type lbf·ft or lbf·in",
        (_T, "kg"): "is half a torque; type kgf·m or kgf·cm",
        (_F, "kg"): "is a mass; type kgf or N",
        (_P, "kg"): "is half a pressure; type kgf/cm² or bar",
        (_N, "sus·at"): "takes its temperature in a field of its own; type for example 150 SUS here and 100 °F there",
        (_N, "ssu·at"): "takes its temperature in a field of its own; type for example 150 SUS here and 100 °F there",
    }
)

_EXAMPLES: Final[Mapping[Kind, str]] = MappingProxyType(
    {
        Kind.LENGTH: "24.9 mm, 1 1/8 in or .984 in",
        Kind.VOLUME: "11 qt, 5 qt + 1 pt or 10.4 L",
        Kind.TORQUE: "75 lbf·ft or 100 N·m",
        Kind.PRESSURE: "150 psi or 10 bar",
        Kind.TEMPERATURE: "20 °C or 68 °F",
        Kind.VISCOSITY: "46 mm²/s (cSt) or 215 SUS",
        Kind.FORCE: "200 N or 45 lbf",
        Kind.SPEED: "0.5 m/s or 100 ft/min",
    }
)


def example(kind: Kind) -> str:
    """Say what a person may type for `kind`, for the end of a sentence."""
    return _EXAMPLES[kind]


def units(kind: Kind) -> tuple[str, ...]:
    """List the names of the units of `kind`, in the order they should be offered."""
    return tuple(u.name for u in UNITS if u.kind is kind)


def fold(text: str) -> str:
    """Bring a typed unit into the shape of the spellings above."""
    folded = text.strip().lower().replace(".", " ").replace("^2", "2").replace("^3", "3")
    for sign, plain in (("²", "2"), ("³", "3"), ("µ", "u"), ("-", " "), ("*", " "), ("·", " "), ("° ", "°")):
        folded = folded.replace(sign, plain)
    return "·".join(folded.split())


@lru_cache(maxsize=1024)
def find(text: str, kind: Kind) -> Unit:
    """Find the unit of `kind` that `text` names. Raises `QuantityError` when there is none, or it could be two."""
    # A sign hanging loose at the end is no part of a unit: `qt -` must not pass for `qt`.
    folded = "" if text.strip().endswith(("-", "*", "·")) else fold(text)
    # Lower case is harmless for every unit here but one: a millipascal is a thousand-millionth of a megapascal.
    if text.strip() == "mPa":
        raise QuantityError("'mPa' is a millipascal, too small for a pressure here; type MPa, kPa or bar.")
    unit = BY_NAME.get(text)
    if unit is None or unit.kind is not kind:
        unit = _BY_SPELLING.get((kind, folded))
    if unit is not None:
        return unit
    if question := _ASK.get((kind, folded)):
        raise QuantityError(f"{excerpt(text)} {question}.")
    for other in Kind:
        if (other, folded) in _BY_SPELLING:
            raise QuantityError(
                f"{excerpt(text)} is a unit of {other}, not of {kind}; type for example {example(kind)}."
            )
    raise QuantityError(f"{excerpt(text)} is not a unit of {kind}; type one of {', '.join(units(kind))}.")
