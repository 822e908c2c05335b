"""Readings that no ring can have together are told from those that any ring, however worn, may have."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.contradiction import FLATTEST, contradiction
from catalog.orings.evidence import Dimension, Reading, Tool

ID, OD, WIDTH, AROUND, CUT = Dimension


def read(dimension: Dimension, value_mm: float, plus_minus_mm: float = 0.1) -> Reading:
    return Reading(dimension, value_mm, plus_minus_mm, Tool.CALIPER)


@pytest.mark.parametrize(
    ("wrong", "other"),
    [
        (read(OD, 3.5), read(ID, 24.9)),
        (read(OD, 3.5), read(AROUND, 78.2, 1.0)),
        (read(OD, 3.5), read(WIDTH, 24.9)),
        (read(CUT, 24.9, 0.5), read(AROUND, 78.2, 1.0)),
        (read(CUT, 24.9, 0.5), read(ID, 24.9)),
    ],
)
def test_a_value_in_the_wrong_field_is_found_in_either_order(wrong: Reading, other: Reading) -> None:
    for readings in ((wrong, other), (other, wrong)):
        found = contradiction(readings)
        assert found is not None
        assert (found.wrong, found.other) == (wrong, other)
        assert found.why


def test_limits_that_overlap_are_no_contradiction() -> None:
    assert contradiction((read(OD, 24.85, 0.1), read(ID, 24.9, 0.1))) is None
    assert contradiction((read(OD, 24.65, 0.1), read(ID, 24.9, 0.1))) is not None


def test_one_reading_contradicts_nothing() -> None:
    assert contradiction(()) is None
    assert all(contradiction((read(one, 1.0),)) is None for one in Dimension)


@given(
    st.floats(0.5, 1000), st.floats(0.5, 20), st.floats(1.0, FLATTEST),
    st.lists(st.floats(-1.0, 1.0), min_size=6, max_size=6), st.permutations(range(6)),
)  # fmt: skip
def test_no_real_ring_is_refused(
    inner: float, width: float, flat: float, errors: list[float], order: list[int]
) -> None:
    true = (
        (ID, inner), (OD, inner + 2 * width), (WIDTH, width), (WIDTH, width * flat), (AROUND, pi * inner),
        (CUT, pi * (inner + width)),
    )  # fmt: skip
    made = [read(dimension, value + error * 0.2, 0.2) for (dimension, value), error in zip(true, errors, strict=True)]
    assert contradiction([made[at] for at in order]) is None
