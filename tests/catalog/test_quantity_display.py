"""Numbers as screens show them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from catalog.quantity import QuantityError, both_units, format_length, format_volume


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (24.9, "mm", "24.90 mm"),
        (28.575, "mm", "28.58 mm"),  # a float just under 28.575: rounded as the decimal it prints as
        (28.575, "in", "1.1250 in"),
        (24.9, '"', "0.9803 in"),
        (24.9, "cm", "2.490 cm"),
        (1234.5, "m", "1.2345 m"),
        (0.0254, "thou", "1.0 thou"),
        (1e-9, "mm", "0.00 mm"),
        (-1e-9, "mm", "0.00 mm"),
        (-0.125, "mm", "-0.13 mm"),
        (1e22, "mm", "10000000000000000000000.00 mm"),
        (1e-7, "µm", "0 µm"),
    ],
)
def test_a_length_never_shows_an_exponent(mm: float, unit: str, text: str) -> None:
    assert format_length(mm, unit) == text


def test_decimals_may_be_given() -> None:
    assert format_length(24.9, "in", decimals=3) == "0.980 in"
    assert format_length(24.9, "mm", decimals=0) == "25 mm"


def test_both_units_put_the_session_unit_first() -> None:
    # AS568-214 as published in SAE AS568: ID 0.984 in, which its metric column gives as 24.99 mm.
    assert both_units(24.9936) == "24.99 mm (0.9840 in)"
    assert both_units(24.9936, first="in") == "0.9840 in (24.99 mm)"
    assert both_units(24.9936, first="thou") == "984.0 thou (0.9840 in)"


@pytest.mark.parametrize("mm", [float("nan"), float("inf"), float("-inf")])
def test_no_number_is_not_shown(mm: float) -> None:
    with pytest.raises(ValueError, match="cannot be shown"):
        format_length(mm, "mm")


def test_a_unit_that_is_no_length_is_refused() -> None:
    with pytest.raises(QuantityError, match="'psi' is a unit of pressure"):
        format_length(1.0, "psi")


@pytest.mark.parametrize(
    ("litres", "first", "text"),
    [
        # NIST Handbook 44, Appendix C: 1 US liquid quart = 0.946 352 946 L.
        (Fraction("0.946352946") * 11, "L", "10.41 L (11.00 US qt, 2.75 US gal)"),
        (Fraction("0.946352946") * 11, "qt", "11.00 US qt, 2.75 US gal (10.41 L)"),
        (0.5, "L", "0.50 L (0.53 US qt)"),
        (0, "L", "0.00 L (0.00 US qt)"),
        (3.785411784, "gal", "4.00 US qt, 1.00 US gal (3.79 L)"),
    ],
)
def test_a_volume_shows_litres_and_us_measures(litres: float | Fraction, first: str, text: str) -> None:
    assert format_volume(litres, first=first) == text
