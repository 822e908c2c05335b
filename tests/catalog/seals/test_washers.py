"""Sealing washers: by their readings and by a plug's thread."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fasteners.sizes import System, all_threads, thread_named
from catalog.fasteners.thread import Reading
from catalog.seals import washers as table
from catalog.seals.washers import INSIDE, OUTSIDE, THICK, WasherKind, identify_washer, limits, washers, washers_for
from catalog.standing import Standing


def read(inside: float = 0, outside: float = 0, thick: float = 0, plus_minus: float = 0.1) -> dict[str, Reading]:
    given_mm = {INSIDE: inside, OUTSIDE: outside, THICK: thick}
    return {name: Reading(value, plus_minus) for name, value in given_mm.items() if value}


# The washers of DIN 908 and DIN 910 screw plugs (DIN 7603 form A), from memory; 14 × 18 also in service notes.
@pytest.mark.parametrize(
    ("thread", "size"),
    [
        ("M8x1", "8 × 11.5 × 1"), ("M10x1", "10 × 13.5 × 1"), ("M12x1.5", "12 × 15.5 × 1.5"),
        ("M14x1.5", "14 × 18 × 1.5"), ("M16x1.5", "16 × 20 × 1.5"), ("M18x1.5", "18 × 22 × 1.5"),
        ("M20x1.5", "20 × 24 × 1.5"), ("M22x1.5", "22 × 27 × 1.5"), ("M24x1.5", "24 × 29 × 2"),
        ("M26x1.5", "26 × 31 × 2"), ("M27x2", "27 × 32 × 2"), ("M33x2", "33 × 39 × 2"), ("M42x2", "42 × 49 × 2"),
        ("G 1/8", "10 × 13.5 × 1"), ("G 1/4", "14 × 18 × 1.5"), ("G 3/8", "17 × 21 × 1.5"), ("G 1/2", "21 × 26 × 1.5"),
        ("G 3/4", "27 × 32 × 2"), ("G 1", "33 × 39 × 2"),
    ],
)  # fmt: skip
def test_a_plug_names_its_washer(thread: str, size: str) -> None:
    assert washers_for(thread_named(thread))[0].label == size


def test_a_washer_goes_over_its_thread_and_a_tapered_plug_has_none() -> None:
    for one in washers():
        assert one.inside_mm < one.outside_mm
        assert one.thick_mm < one.outside_mm - one.inside_mm
        for name in one.threads:
            found = [
                thread
                for thread in all_threads()
                if name in (thread.designation, f"M{thread.diameter_mm:g}" if thread.system is System.METRIC else "")
            ]
            assert found, name
            for thread in found:
                # Made up to 0.5 mm over its nominal inside: the nominal 33 goes over the 33.25 of G 1.
                assert -0.3 <= one.inside_mm - thread.diameter_mm <= 1.5, one
                assert one in washers_for(thread)
    assert washers_for(thread_named("NPT 1/2")) == ()
    assert washers_for(thread_named("1/2-20")) == ()


def test_a_new_and_a_crushed_washer_are_named() -> None:
    for reading in (read(14.2, 17.9, 1.5), read(14.1, 18.2, 1.15)):
        answer = identify_washer(reading)
        assert answer.matches[0].washer.label == "14 × 18 × 1.5"
        assert answer.matches[0].probability > 0.9
    assert identify_washer(read(14.1, 18.4, 0.9, 0.02), used=False).none_probability > 0.5


def test_a_bonded_washer_is_told_from_a_flat_one() -> None:
    answer = identify_washer(read(13.75, 20.6, 2.05, 0.05))
    assert answer.matches[0].washer.kind is WasherKind.BONDED
    assert answer.matches[0].washer.threads == ("G 1/4",)
    one = identify_washer(read(14.2))
    assert "rubber lip" in one.settle
    assert any("One reading alone" in note for note in one.notes)


def test_none_of_these_is_an_answer_and_names_what_is_near() -> None:
    answer = identify_washer(read(12.75, 19.05, 1.6, 0.05))
    assert answer.none_probability > 0.9
    assert "nearest" in answer.notes[0]


def test_readings_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="swapped"):
        identify_washer(read(18, 14))
    with pytest.raises(ValueError, match="Measure"):
        identify_washer({})
    with pytest.raises(ValueError, match="cannot be"):
        identify_washer({INSIDE: Reading(14, 0)})


def test_every_row_says_how_it_is_known_and_the_answer_why() -> None:
    assert {one.standing for one in washers()} == {Standing.CHECKED, Standing.MEMORY}
    assert all((one.source == "memory") == (one.standing is Standing.MEMORY) for one in washers())
    rules = identify_washer(read(14.2, 17.9)).because
    assert rules[0].rule.startswith("DIN 7603 14 × 18")
    assert all(one.source for one in rules)


@given(st.sampled_from(washers()), st.booleans(), st.floats(0.1, 0.9), st.sampled_from([0.02, 0.05, 0.1]))
def test_a_washer_within_its_limits_is_never_denied(
    one: table.Washer, used: bool, share: float, plus_minus: float
) -> None:
    reading = {
        name: Reading(low + share * (high - low), plus_minus) for name, (low, high) in limits(one, used=used).items()
    }
    answer = identify_washer(reading, used=used)
    assert one in [match.washer for match in answer.matches]
    assert answer.none_probability < 0.2
    total = answer.none_probability + sum(match.probability for match in answer.matches)
    assert 0.98 < total <= 1 + 1e-9
    # Read half as coarse, the true one never falls behind one that it led.
    finer = identify_washer({name: Reading(had.value_mm, plus_minus / 2) for name, had in reading.items()}, used=used)
    if answer.matches[0].washer == one and answer.matches[0].probability > 0.6:
        assert finer.matches[0].washer == one


@given(st.floats(4, 60), st.floats(1.1, 1.6), st.floats(0.8, 3.5), st.booleans())
def test_standing_never_decides_a_rank(inside: float, ratio: float, thick: float, used: bool) -> None:
    reading = read(inside, inside * ratio, thick)
    before = [(one.washer.label, one.probability) for one in identify_washer(reading, used=used).matches]
    patch = pytest.MonkeyPatch()
    turned = tuple(
        one._replace(standing=Standing.MEMORY if one.standing is Standing.CHECKED else Standing.PUBLISHED)
        for one in washers()
    )
    patch.setattr(table, "washers", lambda: turned)
    try:
        after = [(one.washer.label, one.probability) for one in identify_washer(reading, used=used).matches]
    finally:
        patch.undo()
    assert after == before
