"""What may not be typed: one sentence each, that says what is wrong and what to type."""

from __future__ import annotations

import pytest

from catalog.quantity import Kind, QuantityError, parse
from catalog.quantity.characters import LONGEST
from catalog.quantity.errors import EXCERPT

LENGTHS = [
    ("", "Nothing was typed; type a length, for example 24.9 mm, 1 1/8 in or .984 in."),
    (" \u3000\t", "Nothing was typed"),
    ("9**9**9", "'9**9**9' has '**' in it and nothing is calculated here; type 24.9 mm, 1 1/8 in or .984 in."),
    ("1e999 mm", "'1e999 mm' has an exponent; write the number out, for example 1500 instead of 1.5e3."),
    ("1.5e3", "has an exponent"),
    ("1.5E+3 mm", "has an exponent"),
    ("nan", "'nan' does not start with a number; type for example 24.9 mm, 1 1/8 in or .984 in."),
    ("inf mm", "'inf mm' does not start with a number"),
    ("--", "'--' does not start with a number"),
    ("mm", "'mm' does not start with a number"),
    ("± 0.1", "'± 0.1' does not start with a number"),
    (".", "'.' has no number where one belongs"),
    ("-3 mm", "'-3 mm' is negative and a length cannot be; type it without the minus sign."),
    ("−3 mm", "'-3 mm' is negative"),
    ("0 mm", "'0 mm' is zero and a length cannot be; type what was measured."),
    ("0/8 in", "is zero"),
    ("12 bananas", "'bananas' is not a unit of length; type one of mm, cm, m, µm, in, thou, ft."),
    ("3 mm2", "'mm2' is not a unit of length"),
    ("24.9'", "''' is not a unit of length"),
    ("11 qt", "'qt' is a unit of volume, not of length; type for example 24.9 mm, 1 1/8 in or .984 in."),
    ("2 mil", "'mil' means a thousandth of an inch to some and a millimetre to others; type thou or mm."),
    ("1/0 in", "'1/0 in' divides by zero; type a fraction such as 63/64."),
    ("1 9/8 in", "The fraction after the whole number in '1 9/8 in' is not below one; type it as in 1 1/8."),
    ("1/2/3 in", "'/3 in' after the number in '1/2/3 in' is not a unit"),
    ("10²", "'²' after the number in '10²' is not a unit"),
    ("1,125", "'1,125' may mean 1.125 or 1125; type one of those two without a comma."),
    ("24.9 ± 1,125 mm", "may mean 1.125 or 1125"),
    ("1,234.5", "'1,234.5' has too many points or commas in a number"),
    ("1,234,567", "has too many points or commas in a number"),
    ("24.9, 3.5", "has too many points or commas in a number"),
    ("1 000 mm", "'1 000 mm' has two numbers with no unit between them; type thousands without a space"),
    ("1\u2009000 mm", "has two numbers with no unit between them"),
    ("24, 3", "has two numbers with no unit between them"),
    ("⅛5 in", "has two numbers with no unit between them"),
    ("2.5 1/8 in", "has two numbers with no unit between them"),
    ("24.8-25.0 mm", "'24.8-25.0 mm' looks like a range; type its middle and a ±, for example 24.9 ± 0.1 mm."),
    ("24.8mm-25.0mm", "looks like a range"),
    ("24.8 mm - 25.0 mm", "has a minus sign after a unit; type sums with a plus sign, a range with ±."),
    ("3 mm + 2 in", "'3 mm + 2 in' adds mm and in, two families of units; type all of it in one."),
    ("3 mm 2 in", "two families of units"),
    ("1'000 mm", "is not a unit of length"),
    ("5 + 1 mm", "Each number in '5 + 1 mm' needs its unit; type for example 5 ft 2 in."),
    ("5 mm + 1", "needs its unit"),
    ("1+1/8 in", "needs its unit"),
    ("5 mm +", "'5 mm +' ends with a plus sign"),
    ("5 mm + + 1 mm", "has no number where one belongs"),
    ("2 in 3 ft", "'2 in 3 ft' puts ft after in without a plus sign; type a plus sign if both are to be added."),
    ("3 mm 2 mm", "without a plus sign"),
    ("24.9 ±", "'24.9 ±' has no number after the ±; type for example 24.9 ± 0.1 mm."),
    ("24.9 ± -1", "What follows the ± in '24.9 ± -1' is not a plain number"),
    ("24.9 ± mm", "is not a plain number"),
    ("1 ± 2 ± 3", "'1 ± 2 ± 3' has more than one ±"),
    ("24.9 ± 0 mm", "The ± of '24.9 ± 0 mm' is zero or nearly so; type how far off the reading may be."),
    ("24.9 ± 30 mm", "The ± of '24.9 ± 30 mm' is not smaller than the value; type a smaller one."),
    ("24.9 ± 0.1 qt", "'qt' is a unit of volume"),
    ("24.9 ± 1/64", "The ± of '24.9 ± 1/64' is a fraction without a unit; type mm or in after both numbers."),
    ("1/3", "The fraction in '1/3' may be of an inch or of a mm; type its unit after it."),
    ("24 9/10", "may be of an inch or of a mm"),
    ("63/64 ± 0.1 mm", "may be of an inch or of a mm"),
    ("99999999 mm", "'99999999 mm' is larger than any length here; type at most 10000000 mm."),
    ("0.0000001 mm", "'0.0000001 mm' is smaller than any length here; type at least 0.000001 mm."),
    ("24\x00.9 mm", "The character at place 3 of '24?.9 mm' (U+0000) has no place in a length"),
    ("24.9\n mm", "(U+000A) has no place in a length"),
    ("24.9\x1b[31m", "(U+001B) has no place in a length"),
    ("24\u202e.9 mm", "(U+202E) has no place in a length"),
    ("2\u03014 mm", "(U+0301) has no place in a length"),
    ("\u05d0 24.9", "(U+05D0) has no place in a length"),
    ("\u0663 mm", "(U+0663) has no place in a length"),
    ("1⅟8 in", "(U+215F) has no place in a length"),
    ("1\ud800", "(U+D800) has no place in a length"),
    ("(" * 50, "The character at place 1 of '((((((((((((((((((((((((…' (U+0028) has no place in a length"),
    ("[red]24.9", "(U+005B) has no place in a length"),
    ("__import__('os')", "(U+005F) has no place in a length"),
    (
        "1" * (LONGEST + 1),
        f"starting '{'1' * EXCERPT}…' is too long for a length (at most {LONGEST} characters)",
    ),
    ("(" * 1_000_000, "is too long for a length"),
    ("1" * 1_000_000, "is too long for a length"),
]

OTHERS = [
    (Kind.VOLUME, "5 qt - 1 pt", "has a minus sign after a unit"),
    (Kind.VOLUME, "5 qt* 1 pt", "'qt*' is not a unit of volume"),
    (Kind.VOLUME, "5 qt + 1 L", "adds US qt and L, two families of units"),
    (Kind.VOLUME, "1 gal + 1 imp pt", "adds US gal and imp pt, two families of units"),
    (Kind.VOLUME, "1 qt 1 gal", "puts US gal after US qt without a plus sign"),
    (Kind.VOLUME, "5 + 1 qt", "needs its unit; type for example 5 qt + 1 pt."),
    (Kind.VOLUME, "3 oz", "'oz' may be a weight; type fl oz for a volume."),
    (Kind.VOLUME, "24.9 mm", "'mm' is a unit of length, not of volume"),
    (Kind.VOLUME, "-1 qt", "is negative and a volume cannot be"),
    (Kind.TORQUE, "75 lb", "'lb' is half a torque; type lbf·ft or lbf·in."),
    (Kind.TORQUE, "5 kg", "'kg' is half a torque; type kgf·m or kgf·cm."),
    (Kind.TORQUE, "1 Nm + 2 Nm", "is a sum, and a torque is typed as one number; type 75 lbf·ft or 100 N·m."),
    (Kind.TORQUE, "5 J", "'J' is not a unit of torque"),
    (Kind.PRESSURE, "10 mPa", "'mPa' is a millipascal, too small for a pressure here; type MPa, kPa or bar."),
    (Kind.PRESSURE, "10 N/cm²", "is not a unit of pressure"),
    (Kind.PRESSURE, "2 kg", "'kg' is half a pressure; type kgf/cm² or bar."),
    (Kind.VISCOSITY, "20 SUS", "Saybolt seconds start at 32; type a thinner oil in mm²/s."),
    (Kind.VISCOSITY, "150 SUS ± 2 cSt", "is in another unit than Saybolt seconds; type both in one."),
    (Kind.VISCOSITY, "150 SUS at 100 F", "'SUS at' takes its temperature in a field of its own"),
    (Kind.FORCE, "5 kg", "'kg' is a mass; type kgf or N."),
    (Kind.TEMPERATURE, "-300 °C", "'-300 °C' is below absolute zero (-273.15 °C); type it again."),
    (Kind.TEMPERATURE, "-460 F", "is below absolute zero (-459.67 °F)"),
    (Kind.TEMPERATURE, "20 ± 0 °C", "is zero or nearly so"),
    (Kind.TEMPERATURE, "20 ± 1 mm", "'mm' is a unit of length, not of temperature"),
]


def refusal(text: str, kind: Kind, bare_unit: str) -> str:
    with pytest.raises(QuantityError) as caught:
        parse(text, kind=kind, bare_unit=bare_unit)
    return str(caught.value)


@pytest.mark.parametrize(("text", "sentence"), LENGTHS, ids=range(len(LENGTHS)))
def test_a_senseless_length_is_refused_in_one_sentence(text: str, sentence: str) -> None:
    message = refusal(text, Kind.LENGTH, "mm")
    assert sentence in message
    assert message.endswith(".")
    assert message.isprintable()
    assert len(message) < 200


@pytest.mark.parametrize(("kind", "text", "sentence"), OTHERS)
def test_other_kinds_are_refused_in_one_sentence(kind: Kind, text: str, sentence: str) -> None:
    first_unit = {
        Kind.VOLUME: "L",
        Kind.TORQUE: "N·m",
        Kind.PRESSURE: "bar",
        Kind.FORCE: "N",
        Kind.VISCOSITY: "cSt",
    }.get(kind, "°C")
    message = refusal(text, kind, first_unit)
    assert sentence in message
    assert message.endswith(".")


def test_a_wrong_session_unit_is_named() -> None:
    assert "'qt' is a unit of volume, not of length" in refusal("24.9", Kind.LENGTH, "qt")


def test_converting_to_a_unit_of_another_kind_is_refused() -> None:
    with pytest.raises(QuantityError, match="'psi' is a unit of pressure, not of length"):
        parse("24.9", kind=Kind.LENGTH, bare_unit="mm").to("psi")
