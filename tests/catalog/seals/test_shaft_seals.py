"""Rotary shaft lip seals by shaft, bore and width."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fasteners.thread import Reading
from catalog.seals import shaft_seals as table
from catalog.seals.shaft_seals import BORE, OUTSIDE, SHAFT, WIDTH, identify_shaft_seal, limits, shaft_seals
from catalog.standing import Standing


def read(
    shaft: float = 0, bore: float = 0, width: float = 0, outside: float = 0, plus_minus: float = 0.1
) -> dict[str, Reading]:
    given_mm = {SHAFT: shaft, BORE: bore, OUTSIDE: outside, WIDTH: width}
    return {name: Reading(value, plus_minus) for name, value in given_mm.items() if value}


# Sizes of ISO 6194-1 and DIN 3760; 38 × 55, 40 × 55 and 50 × 68 in an open CAD tutorial, 50 × 72 and 75 × 95 in an open
# sealing project, both to DIN 3760; the rest from memory.
@pytest.mark.parametrize(
    ("shaft", "bore", "width"),
    [(38, 55, 7), (40, 55, 7), (50, 68, 8), (50, 72, 8), (75, 95, 10), (6, 16, 7), (20, 35, 7), (25, 47, 7),
     (30, 47, 7), (35, 52, 7), (35, 52, 8), (40, 62, 8), (45, 62, 8), (60, 80, 8), (80, 100, 10), (100, 120, 12)],
)  # fmt: skip
def test_a_standard_size_is_named(shaft: float, bore: float, width: float) -> None:
    answer = identify_shaft_seal(read(shaft - 0.05, bore + 0.02, width + 0.05, plus_minus=0.05))
    best = answer.matches[0]
    assert (best.seal.shaft_mm, best.seal.bore_mm, best.seal.width_mm) == (shaft, bore, width)
    assert best.probability > 0.9


def test_the_seal_itself_is_larger_than_its_bore() -> None:
    answer = identify_shaft_seal(read(40, outside=62.25, width=10))
    assert answer.matches[0].seal.label == "40 × 62 × 10"


def test_one_reading_asks_for_the_next() -> None:
    answer = identify_shaft_seal(read(34.95))
    assert answer.settle.startswith("Measure the bore")
    assert len(answer.matches) > 3


def test_an_inch_shaft_is_none_of_these_and_says_its_inches() -> None:
    """1 3/8 × 2 1/16 in: 34.925 × 52.388 mm."""
    answer = identify_shaft_seal(read(34.925, 52.388, plus_minus=0.05))
    assert answer.none_probability > 0.9
    assert "1 3/8 × 2 1/16 in" in answer.notes[0]
    both = identify_shaft_seal(read(34.93))
    assert any("1 3/8 in" in note for note in both.notes), "35 mm or 1 3/8 in: the shaft alone does not tell"


def test_readings_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="swapped"):
        identify_shaft_seal(read(52, 35))
    with pytest.raises(ValueError, match="Measure the shaft"):
        identify_shaft_seal(read(width=7))
    with pytest.raises(ValueError, match="cannot be"):
        identify_shaft_seal({SHAFT: Reading(-3, 0.1)})


def test_the_table_is_whole() -> None:
    rows = shaft_seals()
    assert len({one.label for one in rows}) == len(rows)
    for one in rows:
        assert one.bore_mm - one.shaft_mm >= 10
        assert 7 <= one.width_mm <= 15
        assert (one.source == "memory") == (one.standing is Standing.MEMORY)
    assert all(one.source for one in identify_shaft_seal(read(35, 52)).because)


@given(st.sampled_from(shaft_seals()), st.floats(0.1, 0.9), st.sampled_from([0.02, 0.05, 0.1]))
def test_a_seal_within_its_limits_is_never_denied(one: table.ShaftSeal, share: float, plus_minus: float) -> None:
    bounds = limits(one)
    reading = {
        name: Reading(bounds[name][0] + share * (bounds[name][1] - bounds[name][0]), plus_minus)
        for name in (SHAFT, BORE, WIDTH)
    }
    answer = identify_shaft_seal(reading)
    assert one in [match.seal for match in answer.matches]
    assert answer.none_probability < 0.3
    total = answer.none_probability + sum(match.probability for match in answer.matches)
    assert 0.98 < total <= 1 + 1e-9
    finer = identify_shaft_seal({name: Reading(had.value_mm, plus_minus / 2) for name, had in reading.items()})
    if answer.matches[0].seal == one:
        assert finer.matches[0].seal == one


@given(st.floats(6, 120), st.floats(1.15, 2.2), st.floats(6, 13))
def test_standing_never_decides_a_rank(shaft: float, ratio: float, width: float) -> None:
    reading = read(shaft, shaft * ratio, width)
    before = [one.seal.label for one in identify_shaft_seal(reading).matches]
    patch = pytest.MonkeyPatch()
    turned = tuple(
        one._replace(standing=Standing.MEMORY if one.standing is Standing.CHECKED else Standing.PUBLISHED)
        for one in shaft_seals()
    )
    patch.setattr(table, "shaft_seals", lambda: turned)
    try:
        assert [one.seal.label for one in identify_shaft_seal(reading).matches] == before
    finally:
        patch.undo()
