"""What an instrument sends is read as the number that its display shows."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.quantity import Kind, QuantityError, length_mm, parse
from catalog.quantity.instrument import is_fault, number_in


@pytest.mark.parametrize(
    ("line", "number"),
    [
        ("01A+00024.990\r", "24.990"),
        ("01A+00024.990", "24.990"),
        ("01C+0000.9840\r\n", "0.9840"),
        ("01A-00000.150", "-0.150"),
        ("01A+00000.000", "0.000"),
        ("01A+00120.", "120."),
        ("01A+00120", "120"),
    ],
)
def test_a_line_is_its_number(line: str, number: str) -> None:
    assert number_in(line) == number


@pytest.mark.parametrize(
    "line", ["", "24.99", "01A24.99", "01A+", "1A+24.99", "02A+24.99", "01a+24.99", "01A+2 4", "91A+1"]
)
def test_what_is_no_such_line_is_left_alone(line: str) -> None:
    assert number_in(line) is None


def test_typed_it_is_the_reading_in_the_sessions_unit() -> None:
    assert length_mm("01A+00024.990\r") == (24.99, None)
    # 0.984 in of 25.4 mm (NIST SP 811).
    assert length_mm("01A+0000.9840", "in")[0] == pytest.approx(24.9936)


def test_only_a_length_is_sent_so() -> None:
    with pytest.raises(QuantityError):
        parse("01A+00024.990", kind=Kind.VOLUME, bare_unit="L")


@pytest.mark.parametrize(("line", "says"), [("01A-00024.990", "negative"), ("01A+00000.000", "zero")])
def test_a_reading_that_cannot_be_a_length_is_refused(line: str, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        length_mm(line)


def test_a_fault_is_no_number_on_the_line_and_911_is_one_when_typed() -> None:
    assert is_fault("911\r")
    assert not is_fault("9110")
    assert length_mm("911") == (911.0, None)


@given(
    st.sampled_from("ABCDEFGHIJ"),
    st.decimals(min_value="0.001", max_value=99_999, places=3, allow_nan=False, allow_infinity=False),
)
def test_any_reading_is_the_number_typed(channel: str, number: object) -> None:
    sent = f"01{channel}+{number:09.3f}"
    assert parse(sent, kind=Kind.LENGTH, bare_unit="mm") == parse(str(number), kind=Kind.LENGTH, bare_unit="mm")
    assert parse(sent, kind=Kind.LENGTH, bare_unit="mm").to("mm") == Fraction(str(number))
