"""What readings allow of a ring, held against rings that were measured within their limits."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.evidence import Dimension, Reading, Tool
from catalog.orings.read_limits import ReadLimits, read_limits

TRUE = {
    Dimension.ID: lambda inside, width: inside,
    Dimension.OD: lambda inside, width: inside + 2 * width,
    Dimension.WIDTH: lambda inside, width: width,
    Dimension.AROUND: lambda inside, width: pi * inside,
    Dimension.CUT_LENGTH: lambda inside, width: pi * (inside + width),
}
"""What each reading would be of a ring without any error: plain geometry of a torus."""


@given(
    st.floats(2, 600),
    st.floats(1, 10),
    st.lists(st.tuples(st.sampled_from(list(Dimension)), st.floats(0.01, 2), st.floats(-1, 1)), min_size=1, max_size=6),
)
def test_the_true_ring_is_never_outside_what_readings_within_their_limits_allow(
    inside: float, width: float, taken: list[tuple[Dimension, float, float]]
) -> None:
    readings = [
        Reading(dimension, TRUE[dimension](inside, width) + off * error, error, Tool.STATED)
        for dimension, error, off in taken
        if TRUE[dimension](inside, width) + off * error > 0
    ]
    found = read_limits(readings)
    for one, true in zip(found, (inside, inside + 2 * width, width, inside + width), strict=True):
        if one is not None:
            assert one.least_mm - 1e-9 <= true <= one.most_mm + 1e-9


@pytest.mark.parametrize(
    ("taken", "known"),
    [
        ([Dimension.ID], "inside"),
        ([Dimension.OD], "outside"),
        ([Dimension.WIDTH], "width"),
        ([Dimension.CUT_LENGTH], "mean"),
        ([Dimension.ID, Dimension.WIDTH], "inside outside width mean"),
        ([Dimension.OD, Dimension.WIDTH], "inside outside width mean"),
        ([Dimension.ID, Dimension.OD], "inside outside width mean"),
        ([Dimension.CUT_LENGTH, Dimension.WIDTH], "inside outside width mean"),
        ([Dimension.AROUND, Dimension.CUT_LENGTH], "inside outside width mean"),
    ],
)
def test_two_readings_that_are_not_of_the_same_give_the_whole_ring(taken: list[Dimension], known: str) -> None:
    found = read_limits([Reading(one, TRUE[one](25.0, 3.5), 0.1, Tool.STATED) for one in taken])
    assert {name for name, one in zip(ReadLimits._fields, found, strict=True) if one is not None} == set(known.split())


def test_two_widths_are_those_of_a_flattened_section() -> None:
    found = read_limits([Reading(Dimension.WIDTH, at, 0.05, Tool.CALIPER) for at in (3.3, 3.8)])
    assert found.width is not None
    assert (found.width.least_mm, found.width.most_mm) == pytest.approx((3.25, 3.85))


def test_what_was_read_is_told_from_what_follows() -> None:
    found = read_limits(
        [Reading(Dimension.ID, 25.0, 0.1, Tool.STATED), Reading(Dimension.WIDTH, 3.5, 0.1, Tool.STATED)]
    )
    assert found.inside is not None
    assert found.outside is not None
    assert found.inside.read
    assert not found.outside.read
    # 25 ± 0.1 and twice 3.5 ± 0.1.
    assert found.outside.plus_minus_mm == pytest.approx(0.3)
