"""When nothing fits: the sizes on either side and the cord."""

from __future__ import annotations

from math import pi

from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.neighbours import cord, neighbours
from catalog.orings.sizes import Series, all_sizes


def test_neighbours_keep_to_the_rings_width_where_they_can() -> None:
    # AS568 -214 and -215 are 24.99 and 26.57 × 3.53 mm (handbook size tables): nothing of that section lies between.
    inch = tuple(size for size in all_sizes() if size.series is Series.AS568)
    found = neighbours(25.8, 3.53, inch)
    assert found.below is not None
    assert found.above is not None
    assert (found.below.designation, found.above.designation) == ("214", "215")


def test_at_the_ends_of_the_table_one_side_is_empty() -> None:
    assert neighbours(0.1, None, all_sizes()).below is None
    assert neighbours(5000.0, None, all_sizes()).above is None


@given(st.floats(1, 600), st.floats(0.8, 12))
def test_neighbours_enclose_the_ring(id_mm: float, width_mm: float) -> None:
    found = neighbours(id_mm, width_mm, all_sizes())
    assert found.below is None or found.below.id_mm < id_mm
    assert found.above is None or found.above.id_mm >= id_mm


def test_cord_is_cut_to_the_mean_line() -> None:
    # Common practice, no source: the cord's neutral line is the middle of its section.
    assert cord(100.0, 5.0).cut_length_mm == pi * 105.0
