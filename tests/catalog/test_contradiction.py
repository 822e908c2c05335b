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


def test_a_little_off_is_no_slip() -> None:
    assert contradiction((read(OD, 24.0), read(ID, 24.9))) is None
    # A soft ring, its ID read across the long side of an oval 2 % wider than long; and one that was swollen when read.
    assert contradiction((read(ID, 135.7), read(CUT, 423.6, 1.0))) is None
    assert contradiction((read(ID, 103.0), read(CUT, 100.0 * pi, 1.0))) is None
    # AS568-102, pressed flat.
    assert contradiction((read(OD, 6.48, 0.0), read(WIDTH, 2.62 * 1.43, 0.0))) is None


def test_a_width_against_an_outside_and_an_inside_that_agree_is_the_wrong_one() -> None:
    found = contradiction((read(ID, 24.9), read(OD, 31.9), read(WIDTH, 35.0)))
    assert found is not None
    assert (found.wrong.dimension, found.other.dimension) == (WIDTH, OD)


def test_one_reading_contradicts_nothing() -> None:
    assert contradiction(()) is None
    assert all(contradiction((read(one, 1.0),)) is None for one in Dimension)


@given(
    st.floats(0.45, 500), st.floats(0.5, 20), st.floats(1.0, FLATTEST),
    st.lists(st.floats(0.95, 1.05), min_size=6, max_size=6), st.permutations(range(6)),
)  # fmt: skip
def test_no_real_ring_is_refused(
    ratio: float, width: float, flat: float, errors: list[float], order: list[int]
) -> None:
    """Each read 5 % off, swollen or oval at one reading and not at the next; pressed flat it is less thick across.

    AS568-102, 1.24 × 2.62 mm, has an ID of 0.48 times its width: no size in the tables has less.
    """
    inner = ratio * width
    true = (
        (ID, inner), (OD, inner + 2 * width / flat), (WIDTH, width), (WIDTH, width * flat), (AROUND, pi * inner),
        (CUT, pi * (inner + width / flat)),
    )  # fmt: skip
    made = [read(dimension, value * error, 0.0) for (dimension, value), error in zip(true, errors, strict=True)]
    assert contradiction([made[at] for at in order]) is None
