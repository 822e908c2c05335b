"""What may be typed, and what it means."""

from __future__ import annotations

from fractions import Fraction

import pytest

from catalog.quantity import Kind, Typed, length_mm, parse

SESSION_UNIT = {
    Kind.LENGTH: "mm",
    Kind.VOLUME: "L",
    Kind.TORQUE: "N·m",
    Kind.PRESSURE: "bar",
    Kind.TEMPERATURE: "°C",
    Kind.VISCOSITY: "cSt",
    Kind.FORCE: "N",
    Kind.SPEED: "m/s",
}


@pytest.mark.parametrize(
    ("text", "value", "unit", "plus_minus"),
    [
        ("24.9", Fraction("24.9"), "mm", None),
        ("24.", Fraction(24), "mm", None),
        ("24,9 mm", Fraction("24.9"), "mm", None),
        ("24,9", Fraction("24.9"), "mm", None),
        ("0,125", Fraction(1, 8), "mm", None),
        (",984 in", Fraction("0.984"), "in", None),
        ("1234,125", Fraction("1234.125"), "mm", None),
        ("  24.9  MM ", Fraction("24.9"), "mm", None),
        ("+24.9", Fraction("24.9"), "mm", None),
        ("1 1/8 in", Fraction(9, 8), "in", None),
        ('1-1/8"', Fraction(9, 8), "in", None),
        ("1–1/8 in", Fraction(9, 8), "in", None),
        ("1⅛ in", Fraction(9, 8), "in", None),
        ("1 ⅛ in.", Fraction(9, 8), "in", None),
        ("⅛ in", Fraction(1, 8), "in", None),
        ("1⅛″", Fraction(9, 8), "in", None),
        ("1⅛''", Fraction(9, 8), "in", None),
        ("1 1⁄8 inch", Fraction(9, 8), "in", None),
        ("63/64 in", Fraction(63, 64), "in", None),
        ("63 / 64 in", Fraction(63, 64), "in", None),
        ("63/64 mm", Fraction(63, 64), "mm", None),
        ("9/8 in", Fraction(9, 8), "in", None),
        (".984in", Fraction("0.984"), "in", None),
        ("3.5 thou", Fraction("3.5"), "thou", None),
        ("70 µm", Fraction(70), "µm", None),
        ("70 μm", Fraction(70), "µm", None),
        ("2.5 cm", Fraction("2.5"), "cm", None),
        ("24.9±0.1mm", Fraction("24.9"), "mm", Fraction("0.1")),
        ("24.9 +/- 0.1 mm", Fraction("24.9"), "mm", Fraction("0.1")),
        ("24.9 +- 0.1", Fraction("24.9"), "mm", Fraction("0.1")),
        ("24,9 ± 0,1 mm", Fraction("24.9"), "mm", Fraction("0.1")),
        ("24.9 mm ± 0.1", Fraction("24.9"), "mm", Fraction("0.1")),
        ('.984" ± .002"', Fraction("0.984"), "in", Fraction("0.002")),
        ("1 in ± 0.254 mm", Fraction(1), "in", Fraction("0.01")),
        ("２４.９ ｍｍ", Fraction("24.9"), "mm", None),
        ("24.9\u202fmm", Fraction("24.9"), "mm", None),
        ("24.9\u00a0mm", Fraction("24.9"), "mm", None),
        ("24.9㎜", Fraction("24.9"), "mm", None),
        ("1 in + 1/8 in", Fraction(9, 8), "in", None),
        ("5 ft 2 in", Fraction(31, 6), "ft", None),
    ],
)
def test_a_length_is_read(text: str, value: Fraction, unit: str, plus_minus: Fraction | None) -> None:
    assert parse(text, kind=Kind.LENGTH, bare_unit="mm") == Typed(value, unit, plus_minus, Kind.LENGTH)


@pytest.mark.parametrize(
    ("kind", "text", "value", "unit"),
    [
        (Kind.VOLUME, "11 qt", Fraction(11), "US qt"),
        (Kind.VOLUME, "11 US qt", Fraction(11), "US qt"),
        (Kind.VOLUME, "11", Fraction(11), "L"),
        (Kind.VOLUME, "1/2", Fraction(1, 2), "L"),
        (Kind.VOLUME, "5 qt + 1 pt", Fraction("5.5"), "US qt"),
        (Kind.VOLUME, "1 gal 1 qt", Fraction("1.25"), "US gal"),
        (Kind.VOLUME, "2 gal. 3 qts. 1 1/2 pt", Fraction(47, 16), "US gal"),
        (Kind.VOLUME, "1 L + 250 mL", Fraction("1.25"), "L"),
        (Kind.VOLUME, "3 fl oz", Fraction(3), "US fl oz"),
        (Kind.VOLUME, "3 fl. oz.", Fraction(3), "US fl oz"),
        (Kind.VOLUME, "1 gal", Fraction(1), "US gal"),
        (Kind.VOLUME, "1 imp gal", Fraction(1), "imp gal"),
        (Kind.VOLUME, "1 imp. gal.", Fraction(1), "imp gal"),
        (Kind.VOLUME, "350 cm³", Fraction(350), "mL"),
        (Kind.VOLUME, "0 qt", Fraction(0), "US qt"),
        (Kind.TORQUE, "75 lbf·ft", Fraction(75), "lbf·ft"),
        (Kind.TORQUE, "75 ft-lb", Fraction(75), "lbf·ft"),
        (Kind.TORQUE, "75 ft lbs", Fraction(75), "lbf·ft"),
        (Kind.TORQUE, "75 ft·lb", Fraction(75), "lbf·ft"),
        (Kind.TORQUE, "120 in-lb", Fraction(120), "lbf·in"),
        (Kind.TORQUE, "100 N·m", Fraction(100), "N·m"),
        (Kind.TORQUE, "100 N⋅m", Fraction(100), "N·m"),
        (Kind.TORQUE, "10 Nm", Fraction(10), "N·m"),
        (Kind.TORQUE, "10 N.m", Fraction(10), "N·m"),
        *((Kind.TORQUE, text, Fraction(40), "lbf·in") for text in ("40 in·lb", "40 lbf·in", "40 inlb", "40 in. lb.")),
        *((Kind.TORQUE, text, Fraction(7, 2), "kgf·m") for text in ("3.5 kgf·m", "3.5 m-kg", "3,5 mkg", "3.5 kgm")),
        *((Kind.TORQUE, text, Fraction(35), "kgf·cm") for text in ("35 kgf·cm", "35 cm-kg", "35 kg-cm", "35cmkg")),
        (Kind.TORQUE, "6 daN·m", Fraction(6), "daN·m"),
        (Kind.TORQUE, "12 pound-feet", Fraction(12), "lbf·ft"),
        (Kind.TEMPERATURE, "20 °C", Fraction(20), "°C"),
        (Kind.TEMPERATURE, "20 º C", Fraction(20), "°C"),
        (Kind.TEMPERATURE, "20℃", Fraction(20), "°C"),
        (Kind.TEMPERATURE, "68 F", Fraction(68), "°F"),
        (Kind.TEMPERATURE, "−40", Fraction(-40), "°C"),
        (Kind.TEMPERATURE, "- 40 F", Fraction(-40), "°F"),
        (Kind.PRESSURE, "150 psi", Fraction(150), "psi"),
        (Kind.PRESSURE, "10 bar", Fraction(10), "bar"),
        (Kind.PRESSURE, "1 MPa", Fraction(1), "MPa"),
        (Kind.PRESSURE, "2.5 kg/cm²", Fraction(5, 2), "kgf/cm²"),
        (Kind.PRESSURE, "580 N/mm²", Fraction(580), "MPa"),
        (Kind.PRESSURE, "85 ksi", Fraction(85), "ksi"),
        (Kind.VISCOSITY, "46 cSt", Fraction(46), "cSt"),
        (Kind.VISCOSITY, "215 SSU", Fraction(215), "SUS"),
        (Kind.VISCOSITY, "215sus", Fraction(215), "SUS"),
        (Kind.VISCOSITY, "46 mm²/s", Fraction(46), "mm²/s"),
        (Kind.VISCOSITY, "46 mm^2/s", Fraction(46), "mm²/s"),
        (Kind.FORCE, "45 lb", Fraction(45), "lbf"),
        (Kind.FORCE, "15 kips", Fraction(15), "kip"),
        (Kind.SPEED, "0.5 m/s", Fraction("0.5"), "m/s"),
    ],
)
def test_other_kinds_are_read(kind: Kind, text: str, value: Fraction, unit: str) -> None:
    assert parse(text, kind=kind, bare_unit=SESSION_UNIT[kind]) == Typed(value, unit, None, kind)


def test_a_bare_number_takes_the_session_unit() -> None:
    assert parse("0.984", kind=Kind.LENGTH, bare_unit="in").unit == "in"
    assert parse("0.984", kind=Kind.LENGTH, bare_unit="mm").unit == "mm"
    assert parse("24.9 mm", kind=Kind.LENGTH, bare_unit="in").unit == "mm"


@pytest.mark.parametrize("text", ["63/64", "1 1/8", "1-1/8", "⅞", "63/64 ± 1/64", "63/64 ± .002"])
@pytest.mark.parametrize("session", ["mm", "cm", "m"])
def test_a_bare_fraction_in_a_metric_session_is_inches_and_says_so(text: str, session: str) -> None:
    # Common practice, no source: inch rules and drills are marked in halves down to 64ths; metric ones in decimals.
    typed = parse(text, kind=Kind.LENGTH, bare_unit=session)
    assert typed.unit == "in"
    assert typed.echo().endswith("(a fraction without a unit is read as inches)")


def test_a_fraction_in_an_inch_session_is_plain_inches() -> None:
    typed = parse("63/64", kind=Kind.LENGTH, bare_unit="in")
    assert (typed.value, typed.unit) == (Fraction(63, 64), "in")
    assert typed.echo() == "63/64 in = 25.003 mm"
    assert parse("3/10", kind=Kind.LENGTH, bare_unit="in").value == Fraction(3, 10)


def test_length_mm_gives_floats_of_millimetres() -> None:
    assert length_mm("24.9") == (24.9, None)
    assert length_mm("1 1/8 in ± .001 in") == (28.575, 0.0254)
    assert length_mm(".5", "in") == (12.7, None)
    assert length_mm("63/64") == (25.003125, None)


@pytest.mark.parametrize(
    ("kind", "text", "echo"),
    [
        (Kind.LENGTH, "1 1/8 in", "1 1/8 in = 28.575 mm"),
        (Kind.LENGTH, "1.125 in", "1.125 in = 28.575 mm"),
        (Kind.LENGTH, "24.9±0.1mm", "24.9 ±0.1 mm = 0.9803 ±0.0039 in"),
        (Kind.LENGTH, "63/64", "63/64 in = 25.003 mm (a fraction without a unit is read as inches)"),
        (Kind.LENGTH, "63/64 in ± 1/64 in", "63/64 ±1/64 in = 25.003 ±0.397 mm"),
        (Kind.LENGTH, "63/64 in ± .002", "0.984375 ±0.002 in = 25.003 ±0.051 mm"),
        (Kind.LENGTH, "0.001 mm", "0.001 mm = 0.000039 in"),
        (Kind.VOLUME, "11 qt", "11 US qt = 10.41 L"),
        (Kind.VOLUME, "1 imp gal", "1 imp gal = 4.546 L"),
        # Three significant figures: 1 lbf·ft = 1.355 818 N·m, 1 lbf·in = 0.112 984 8 N·m, 1 lbf = 4.448 222 N, 1 psi =
        # 6.894 757 kPa, 1 kgf·m = 9.806 65 N·m (NIST SP 811, Appendix B.8), each by hand.
        (Kind.TORQUE, "75 ft-lb", "75 lbf·ft = 102 N·m"),
        (Kind.TORQUE, "40 in-lb", "40 lbf·in = 4.52 N·m"),
        (Kind.TORQUE, "4.5 N·m", "4.5 N·m = 39.8 lbf·in"),
        (Kind.TORQUE, "20 N·m", "20 N·m = 14.8 lbf·ft"),
        (Kind.TORQUE, "3.5 m-kg", "3.5 kgf·m = 34.3 N·m"),
        (Kind.FORCE, "60 kN", "60 kN = 13500 lbf"),
        (Kind.FORCE, "900 kgf", "900 kgf = 8830 N"),
        (Kind.FORCE, "2 kip", "2 kip = 8.90 kN"),
        (Kind.PRESSURE, "3000 psi", "3000 psi = 207 bar"),
        (Kind.PRESSURE, "10 ± 0.5 bar", "10 ±0.5 bar = 145 ±7.3 psi"),
        # ASTM D2161: 4.632 SUS a mm²/s at 100 °F where the oil is thick.
        (Kind.VISCOSITY, "500 cSt", "500 cSt = 2320 SUS"),
        (Kind.VISCOSITY, "1.5 cSt", "1.5 cSt = 1.50 mm²/s"),
        (Kind.TEMPERATURE, "20 ± 2 °C", "20 ±2 °C = 68 ±3.6 °F"),
        (Kind.TEMPERATURE, "-40", "-40 °C = -40 °F"),
    ],
)
def test_the_echo_says_both_units(kind: Kind, text: str, echo: str) -> None:
    assert parse(text, kind=kind, bare_unit=SESSION_UNIT[kind]).echo() == echo
