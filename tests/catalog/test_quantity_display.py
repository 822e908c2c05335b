"""Numbers as screens show them."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.quantity import (
    QuantityError,
    both_units,
    format_force,
    format_length,
    format_pressure,
    format_stress,
    format_torque,
    format_volume,
)
from catalog.quantity.typed import significant


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


# NIST SP 811, Appendix B.8: 1 lbf·ft = 1.355 818 N·m, 1 lbf·in = 0.112 984 8 N·m; divided by hand, three figures.
@pytest.mark.parametrize(
    ("newton_metres", "metric_first", "inch_first"),
    [
        (1.632, "1.63 N·m (14.4 lbf·in)", "14.4 lbf·in (1.63 N·m)"),
        (4.519393, "4.52 N·m (40.0 lbf·in)", "40.0 lbf·in (4.52 N·m)"),
        (0.0318, "0.0318 N·m (0.281 lbf·in)", "0.281 lbf·in (0.0318 N·m)"),
        (19.94, "19.9 N·m (176 lbf·in)", "176 lbf·in (19.9 N·m)"),
        (20, "20.0 N·m (14.8 lbf·ft)", "14.8 lbf·ft (20.0 N·m)"),
        (99.96, "100 N·m (73.7 lbf·ft)", "73.7 lbf·ft (100 N·m)"),
        (135.5818, "136 N·m (100 lbf·ft)", "100 lbf·ft (136 N·m)"),
        (1234.5, "1230 N·m (911 lbf·ft)", "911 lbf·ft (1230 N·m)"),
    ],
)
def test_a_torque_has_three_figures_in_both_units(newton_metres: float, metric_first: str, inch_first: str) -> None:
    assert format_torque(newton_metres) == metric_first
    assert format_torque(newton_metres, first="lbf·in") == inch_first


# 1 lbf = 4.448 222 N, 1 psi = 6.894 757 kPa (NIST SP 811, Appendix B.8).
def test_forces_pressures_and_stresses_have_three_figures_too() -> None:
    assert format_force(885) == "885 N (199 lbf)"
    assert format_force(42_369) == "42.4 kN (9520 lbf)"
    assert format_force(66_700, first="lbf") == "15.0 kip (66.7 kN)"
    assert format_pressure(206.8427) == "207 bar (3000 psi)"
    assert format_pressure(0.2, first="psi") == "2.90 psi (0.200 bar)"
    assert format_stress(580) == "580 MPa (84.1 ksi)"


@given(st.floats(1e-6, 1e7))
def test_three_figures_are_within_half_of_the_third(value: float) -> None:
    said = significant(value)
    assert "e" not in said
    assert float(said) == pytest.approx(value, rel=0.0051)
    assert len(said.replace(".", "").strip("0")) <= 3


@pytest.mark.parametrize("show", [format_torque, format_force, format_pressure, format_stress])
def test_what_is_no_number_is_not_shown(show: Callable[[float], str]) -> None:
    with pytest.raises(ValueError, match="cannot be shown"):
        show(float("nan"))
