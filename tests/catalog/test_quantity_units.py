"""Conversions against sources outside the project.

NIST SP 811 = Thompson and Taylor, Guide for the Use of the International System of Units (SI), NIST Special
Publication 811, 2008 edition, Appendix B.8 (factors listed alphabetically; bold ones there are exact).
"""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest

from catalog.quantity import Kind, parse, registry, units
from catalog.quantity.display import LITRES_PER_US_GALLON
from catalog.quantity.units import UNITS, Unit

# Each: kind, unit, in, factor as NIST SP 811 Appendix B.8 prints it. Exact there, so exact here.
NIST_EXACT = [
    (Kind.LENGTH, "in", "mm", "25.4"),
    (Kind.LENGTH, "ft", "m", "0.3048"),
    (Kind.LENGTH, "thou", "mm", "0.0254"),  # listed as mil
    (Kind.FORCE, "kgf", "N", "9.80665"),
    (Kind.PRESSURE, "bar", "kPa", "100"),
    (Kind.PRESSURE, "kgf/cm²", "kPa", "98.0665"),
    (Kind.VISCOSITY, "cSt", "mm²/s", "1"),
    (Kind.SPEED, "ft/s", "m/s", "0.3048"),
    (Kind.SPEED, "ft/min", "m/s", "0.00508"),
    (Kind.VOLUME, "imp gal", "L", "4.54609"),
    (Kind.TORQUE, "kgf·m", "N·m", "9.80665"),
    (Kind.TORQUE, "kgf·cm", "N·m", "0.0980665"),
    (Kind.TORQUE, "daN·m", "N·m", "10"),
    (Kind.PRESSURE, "MPa", "bar", "10"),
]
# The same table, factors printed there with seven digits: ours agree to half of the last one.
NIST_ROUNDED = [
    (Kind.VOLUME, "US gal", "L", "3.785412"),
    (Kind.VOLUME, "US qt", "L", "0.9463529"),
    (Kind.VOLUME, "US pt", "L", "0.4731765"),
    (Kind.VOLUME, "US fl oz", "mL", "29.57353"),
    (Kind.VOLUME, "imp fl oz", "mL", "28.41306"),
    (Kind.VOLUME, "in³", "mL", "16.38706"),
    (Kind.TORQUE, "lbf·ft", "N·m", "1.355818"),
    (Kind.TORQUE, "lbf·in", "N·m", "0.1129848"),
    (Kind.FORCE, "lbf", "N", "4.448222"),
    (Kind.PRESSURE, "psi", "kPa", "6.894757"),
    (Kind.PRESSURE, "ksi", "MPa", "6.894757"),
    (Kind.FORCE, "kip", "kN", "4.448222"),
]
# NIST Handbook 44, Appendix C: 1 gallon = 231 in³ exactly; litres to nine decimals or more.
NIST_US_VOLUME = [("US gal", "3.785411784"), ("US qt", "0.946352946"), ("US pt", "0.473176473")]

# Names in pint's default registry, a general-purpose reference that our own small registry does not read.
PINT_NAMES = {
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "µm": "micrometer",
    "in": "inch",
    "thou": "thou",
    "ft": "foot",
    "L": "liter",
    "mL": "milliliter",
    "µL": "microliter",
    "m³": "meter ** 3",
    "US gal": "gallon",
    "US qt": "quart",
    "US pt": "pint",
    "US fl oz": "fluid_ounce",
    "in³": "inch ** 3",
    "imp gal": "imperial_gallon",
    "imp qt": "imperial_quart",
    "imp pt": "imperial_pint",
    "imp fl oz": "imperial_fluid_ounce",
    "N·m": "newton * meter",
    "kgf·m": "kilogram_force * meter",
    "kgf·cm": "kilogram_force * centimeter",
    "daN·m": "decanewton * meter",
    "lbf·ft": "force_pound * foot",
    "lbf·in": "force_pound * inch",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "Pa": "pascal",
    "bar": "bar",
    "mbar": "millibar",
    "kgf/cm²": "kilogram_force / centimeter ** 2",
    "psi": "psi",
    "ksi": "kip / inch ** 2",
    "°C": "degree_Celsius",
    "K": "kelvin",
    "°F": "degree_Fahrenheit",
    "mm²/s": "millimeter ** 2 / second",
    "cSt": "centistokes",
    "N": "newton",
    "kN": "kilonewton",
    "kgf": "kilogram_force",
    "lbf": "force_pound",
    "kip": "kip",
    "m/s": "meter / second",
    "mm/s": "millimeter / second",
    "m/min": "meter / minute",
    "ft/s": "foot / second",
    "ft/min": "foot / minute",
}


@pytest.fixture(scope="module")
def reference() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("kind", "unit", "target", "factor"), NIST_EXACT)
def test_exact_factors_of_nist_sp_811_are_exact(kind: Kind, unit: str, target: str, factor: str) -> None:
    assert parse("1", kind=kind, bare_unit=unit).to(target) == Fraction(factor)


@pytest.mark.parametrize(("kind", "unit", "target", "factor"), NIST_ROUNDED)
def test_rounded_factors_of_nist_sp_811_agree(kind: Kind, unit: str, target: str, factor: str) -> None:
    half_a_digit = Fraction(1, 2 * 10 ** len(factor.partition(".")[2]))
    assert abs(parse("1", kind=kind, bare_unit=unit).to(target) - Fraction(factor)) <= half_a_digit


@pytest.mark.parametrize(("unit", "litres"), NIST_US_VOLUME)
def test_us_volumes_are_exact(unit: str, litres: str) -> None:
    assert parse("1", kind=Kind.VOLUME, bare_unit=unit).to("L") == Fraction(litres)


def test_the_us_gallon_is_231_cubic_inches_and_no_imperial_one() -> None:
    # NIST SP 811, Appendix B.8: gallon (U.S.) and gallon [Canadian and U.K. (Imperial)] are separate entries.
    assert parse("1 gal", kind=Kind.VOLUME, bare_unit="L").to("in3") == 231
    ratio = Fraction("4.54609") / Fraction("3.785411784")
    assert parse("1 imp gal", kind=Kind.VOLUME, bare_unit="L").to("gal") == ratio


def test_the_gallon_for_screens_is_the_one_of_the_registry() -> None:
    assert parse("1 gal", kind=Kind.VOLUME, bare_unit="L").to("L") == LITRES_PER_US_GALLON


@pytest.mark.parametrize(
    ("typed", "target", "value"),
    [
        # NIST SP 811, Appendix B.8 and B.9: t/°C = (t/°F - 32) / 1.8 and T/K = t/°C + 273.15.
        ("68 F", "C", Fraction(20)),
        ("212 F", "C", Fraction(100)),
        ("-40 F", "C", Fraction(-40)),
        ("20 C", "K", Fraction("293.15")),
        ("-459.67 F", "K", Fraction(0)),
    ],
)
def test_temperatures_convert_exactly(typed: str, target: str, value: Fraction) -> None:
    assert parse(typed, kind=Kind.TEMPERATURE, bare_unit="C").to(target) == value


def test_a_temperature_tolerance_scales_without_the_zero_point() -> None:
    assert parse("20 ± 2 °C", kind=Kind.TEMPERATURE, bare_unit="C").plus_minus_in("F") == Fraction("3.6")
    assert parse("68 F ± 1 °C", kind=Kind.TEMPERATURE, bare_unit="C").plus_minus == Fraction("1.8")
    assert parse("300 ± 2 K", kind=Kind.TEMPERATURE, bare_unit="C").plus_minus_in("C") == 2


@pytest.mark.parametrize(
    ("unit", "spelling"),
    # Saybolt seconds are no ratio to anything: test_saybolt.py holds them.
    [pytest.param(u, s, id=f"{u.name}: {s}") for u in UNITS if u.name != "SUS" for s in (u.name, *u.spellings)],
)
def test_every_spelling_agrees_with_a_reference_library(
    unit: Unit, spelling: str, reference: pint.UnitRegistry[float]
) -> None:
    for other in (one for one in units(unit.kind) if one != "SUS"):
        ours = parse(f"7.25 {spelling}", kind=unit.kind, bare_unit=other).to(other)
        theirs = reference.Quantity(7.25, PINT_NAMES[unit.name]).to(PINT_NAMES[other]).magnitude
        assert float(ours) == pytest.approx(theirs, rel=1e-12)


def test_a_length_agrees_with_our_own_registry_too() -> None:
    # Lengths convert by a table so that they cost no pint; the registry must not say otherwise.
    typed = parse("7.25", kind=Kind.LENGTH, bare_unit="ft")
    for unit in (u for u in UNITS if u.kind is Kind.LENGTH):
        assert typed.quantity().to(unit.pint_name).magnitude == typed.to(unit.name)


def test_a_quantity_is_of_one_registry_and_exact() -> None:
    torque = parse("75 ft-lb", kind=Kind.TORQUE, bare_unit="N·m").quantity()
    force = parse("10 lbf", kind=Kind.FORCE, bare_unit="N").quantity()
    assert (torque / force).to("inch").magnitude == 90
    assert registry() is registry()


def test_no_spelling_means_two_units_of_a_kind() -> None:
    spelled = [(u.kind, s) for u in UNITS for s in u.spellings]
    assert len(spelled) == len(set(spelled))
