"""Saybolt Universal seconds against figures that others printed."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.quantity import Kind, parse
from catalog.quantity.display import format_viscosity
from catalog.quantity.saybolt import cst, sus


# 4.632 SUS a mm²/s at 100 °F and 4.664 at 210 °F where the oil is thick (ASTM D2161, 5.2, as quoted by a maker of
# viscometers).
@pytest.mark.parametrize(("viscosity", "fahrenheit", "factor"), [(500, 100, 4.632), (139.8, 210, 4.664)])
def test_thick_oil_is_a_plain_multiple(viscosity: float, fahrenheit: float, factor: float) -> None:
    assert sus(viscosity, fahrenheit) == pytest.approx(factor * viscosity, rel=5e-4)


# Where the tables of ASTM D2161 begin, as quoted there: 1.81 mm²/s at 100 °F and 1.77 at 210 °F, both 32 SUS.
@pytest.mark.parametrize(("viscosity", "fahrenheit"), [(1.81, 100), (1.77, 210)])
def test_the_tables_begin_at_32_seconds(viscosity: float, fahrenheit: float) -> None:
    assert sus(viscosity, fahrenheit) == pytest.approx(32.0, abs=0.06)


# Table 1 of ASTM D2161, from memory.
@pytest.mark.parametrize(
    ("viscosity", "seconds"),
    [(2, 32.6), (5, 42.4), (10, 58.9), (20, 97.8), (32, 150), (46, 214), (68, 315), (100, 463)],
)
def test_the_printed_table(viscosity: float, seconds: float) -> None:
    assert sus(viscosity) == pytest.approx(seconds, rel=0.004)
    assert cst(seconds) == pytest.approx(viscosity, rel=0.004)


@given(st.floats(1.81, 1e5), st.floats(0, 350))
def test_there_and_back(viscosity: float, fahrenheit: float) -> None:
    assert cst(sus(viscosity, fahrenheit), fahrenheit) == pytest.approx(viscosity, rel=1e-9)


@given(st.floats(1.8, 1e5), st.floats(1.0001, 3))
def test_thicker_oil_runs_longer(viscosity: float, more: float) -> None:
    assert sus(viscosity * more) > sus(viscosity)


@pytest.mark.parametrize("call", [lambda: sus(1.0), lambda: sus(float("nan")), lambda: cst(30), lambda: cst(-1)])
def test_what_runs_in_no_cup_is_refused(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match="mm²/s"):
        call()


def test_a_typed_figure_converts_both_ways() -> None:
    typed = parse("150 SUS", kind=Kind.VISCOSITY, bare_unit="mm²/s")
    assert float(typed.to("cSt")) == pytest.approx(31.9, abs=0.1)
    assert typed.to("SUS") == Fraction(150)
    spread = parse("150 ± 5 SSU", kind=Kind.VISCOSITY, bare_unit="mm²/s").plus_minus_in("mm²/s")
    assert float(spread or 0) == pytest.approx(5 / 4.55, rel=0.02)  # the slope near 150 SUS, by hand from 145 and 155


# ASTM D2161: multiply by 1 + 0.000061 (t/°F - 100). At 210 °F that is 1.00671, so the same seconds mean thinner oil.
def test_the_temperature_of_the_cup_counts_a_little() -> None:
    typed = parse("500 SUS", kind=Kind.VISCOSITY, bare_unit="mm²/s")
    assert typed.viscosity_at(98.8889) == pytest.approx(float(typed.to("mm²/s")) / 1.00671, rel=1e-4)
    assert typed.viscosity_at(37.7778) == pytest.approx(float(typed.to("mm²/s")), rel=1e-6)
    assert parse("46 cSt", kind=Kind.VISCOSITY, bare_unit="mm²/s").viscosity_at(98.9) == 46


@pytest.mark.parametrize(
    ("viscosity", "celsius", "text"),
    [
        (500, 100 / 1.8 - 32 / 1.8, "500 mm²/s (2320 SUS)"),
        (1.2, 100, "1.20 mm²/s"),
        (139.8, 98.889, "140 mm²/s (652 SUS)"),
    ],
)
def test_shown_in_both(viscosity: float, celsius: float, text: str) -> None:
    assert format_viscosity(viscosity, celsius) == text
