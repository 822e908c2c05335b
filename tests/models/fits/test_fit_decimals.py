"""Numbers in a shared file are the ones a person would write, and dust of arithmetic makes no conflict."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.span import Range
from models.fits.written import as_written, decimal


def test_arithmetics_dust_is_left_out() -> None:
    assert 2.8 + 0.05 != 2.85
    assert [decimal(one) for one in (2.8 + 0.05, 4.8 + 0.1, 0.1 + 0.2, 31.75, 0.0, -0.0, 20_000.0, 1e-7)] == [
        *("2.85", "4.9", "0.3", "31.75", "0", "0", "20000", "0.0000001"),
    ]


@given(st.floats(min_value=0, max_value=20_000, allow_nan=False))
def test_any_length_is_plain_digits_and_stays_what_it_was(value: float) -> None:
    text = decimal(value)
    assert re.fullmatch(r"[0-9]+(\.[0-9]*[1-9])?", text)
    assert abs(float(text) - value) <= 1e-9
    assert decimal(float(text)) == text


@given(st.integers(0, 20_000_000), st.sampled_from([0.01, 0.05, 0.1]))
def test_what_is_typed_to_a_micrometre_is_written_as_typed(micrometres: int, error: float) -> None:
    value = micrometres / 1000
    assert decimal(value + error - error) == decimal(value) == f"{value:.3f}".rstrip("0").rstrip(".")


def test_two_grooves_that_are_written_alike_are_one() -> None:
    groove = Groove(
        GrooveKind.FACE_INSIDE, Motion.STATIC, None, Range(31.75, 31.8, 31.85), Range(2.75, 2.8, 2.8 + 0.05), None
    )
    clean = groove._replace(depth=Range(2.75, 2.8, 2.85))
    assert groove != clean
    assert as_written(groove) == as_written(clean) == clean
    assert as_written(groove._replace(depth=Range(2.75, 2.8, 2.851))) != clean
    assert as_written(None) is None
