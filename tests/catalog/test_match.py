"""The main job: readings of a ring become the right standard size, with how sure."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.instruments import reading
from catalog.orings.match import Ranking, rank
from catalog.orings.prior import Built, Prior, prior_for
from catalog.orings.sizes import RingSize, Series, all_sizes, by_key


def _ring(*readings: Reading, condition: Condition = Condition.NEW) -> Evidence:
    return Evidence(readings, condition)


def _id_width(id_mm: float, width_mm: float, tool: Tool = Tool.CALIPER) -> Evidence:
    return _ring(reading(Dimension.ID, id_mm, tool), reading(Dimension.WIDTH, width_mm, tool))


def _size(key: str) -> RingSize:
    found = by_key(key)
    assert found is not None
    return found


def _top(ranking: Ranking) -> set[str]:
    return {ranking.matches[0].size.key, *(size.key for size in ranking.matches[0].also)}


# Dimensions as printed in publications other than the ones the tables were built from.
@pytest.mark.parametrize(
    ("id_mm", "width_mm", "key", "source"),
    [
        (12.37, 2.62, "as568:112", "SAE AS568, handbook size tables: -112 is 0.487 × 0.103 in (from memory)"),
        (24.99, 3.53, "as568:214", "SAE AS568, handbook size tables: -214 is 0.984 × 0.139 in (from memory)"),
        (43.82, 5.33, "as568:327", "SAE AS568, handbook size tables: -327 is 1.725 × 0.210 in (from memory)"),
        (113.67, 6.99, "as568:425", "SAE AS568, handbook size tables: -425 is 4.475 × 0.275 in (from memory)"),
        (8.92, 1.83, "as568:904", "SAE J1926-1 ring for 7/16-20: 0.351 × 0.072 in"),
        (24.4, 3.1, "jis:G25", "JIS B 2401-1: G25 is 24.4 × 3.1"),
        (21.7, 3.5, "jis:P22A", "JIS B 2401-1: P22A is 21.7 × 3.5"),
    ],
)
def test_published_dimensions_name_their_size(id_mm: float, width_mm: float, key: str, source: str) -> None:
    ranking = rank(_id_width(id_mm, width_mm, Tool.MICROMETER))
    assert key in _top(ranking), source


def test_every_size_read_at_its_nominal_dimensions_comes_out_on_top_or_beside_a_tie() -> None:
    beaten = 0
    for size in all_sizes():
        evidence = _ring(
            reading(Dimension.ID, size.id_mm, plus_minus=0.01),
            reading(Dimension.WIDTH, size.cross_section_mm, plus_minus=0.01),
        )
        ranking = rank(evidence, limit=50)
        places = [{match.size.key, *(other.key for other in match.also)} for match in ranking.matches]
        place = next(at for at, names in enumerate(places) if size.key in names)
        assert ranking.found, size.key
        if place:
            # Only a size whose own tolerance box holds the reading too may come first: a tie between standards.
            beaten += 1
            first = [by_key(key) for key in places[0]]
            assert any(
                other is not None
                and abs(other.id_mm - size.id_mm) <= other.id_tol_mm + 0.02
                and abs(other.cross_section_mm - size.cross_section_mm) <= other.cross_section_tol_mm + 0.02
                for other in first
            ), size.key
    assert beaten < 0.15 * len(all_sizes())


def test_a_tie_between_standards_is_one_match_with_both_names() -> None:
    # 245 of the AS568 sizes overlap a metric size within both tolerances; -214 and 25 × 3.55 are the best known pair.
    ranking = rank(_id_width(24.99, 3.54))
    assert ranking.matches[0].size == _size("as568:214")
    assert _size("metric:25x3.55") in ranking.matches[0].also


def test_two_sizes_that_fit_are_both_shown_and_the_doubt_is_said() -> None:
    ranking = rank(_id_width(24.85, 3.51))
    assert {match.size.key for match in ranking.matches[:2]} == {"as568:214", "jis:P25"}
    assert ranking.matches[0].probability < 0.75
    assert "sizes fit these readings" in ranking.doubt


def test_a_clear_reading_is_called_sure() -> None:
    ranking = rank(_id_width(113.67, 6.99, Tool.MICROMETER))
    assert ranking.doubt.startswith("AS568-425, sure.")


def test_a_row_from_memory_says_so() -> None:
    memory = [size for size in all_sizes() if size.standing == "memory"]
    said = [
        ranking.doubt
        for size in memory
        if (ranking := rank(_id_width(size.id_mm, size.cross_section_mm))).matches[0].size == size
    ]
    assert said
    assert all("is unchecked" in doubt for doubt in said)


def test_a_ring_of_no_standard_is_called_that_with_neighbours_and_cord() -> None:
    # 33.1 × 4.4: no series has a width between 4.2 and 4.6 mm near this ID.
    ranking = rank(_id_width(33.1, 4.4))
    assert not ranking.found
    assert ranking.none_probability > 0.9
    assert ranking.doubt.startswith("No size in our tables fits these readings. Our lists of ")
    assert ranking.neighbours is not None
    assert ranking.neighbours.below is not None
    assert ranking.neighbours.above is not None
    assert ranking.neighbours.below.id_mm <= 33.1 <= ranking.neighbours.above.id_mm
    assert ranking.cord is not None
    # A cord's length is its mean line, π·(ID + width): common practice, no source.
    assert ranking.cord.cut_length_mm == pytest.approx(pi * (33.1 + 4.4), rel=1e-3)


def test_readings_that_cannot_be_of_one_ring_are_called_that() -> None:
    ranking = rank(_ring(reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5), reading(Dimension.OD, 36.0)))
    assert ranking.conflict is not None
    assert "OD = ID + 2 × width" in ranking.conflict.words
    assert ranking.cord is None


def test_readings_of_one_ring_raise_no_conflict() -> None:
    ranking = rank(_ring(reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5), reading(Dimension.OD, 32.1)))
    assert ranking.conflict is None


@pytest.mark.parametrize(
    ("readings", "key"),
    [
        ((reading(Dimension.AROUND, pi * 113.67, Tool.TAPE), reading(Dimension.WIDTH, 6.99)), "as568:425"),
        ((reading(Dimension.CUT_LENGTH, pi * (113.67 + 6.99), Tool.RULE), reading(Dimension.WIDTH, 6.99)), "as568:425"),
        ((reading(Dimension.OD, 113.67 + 2 * 6.99), reading(Dimension.WIDTH, 6.99)), "as568:425"),
        ((reading(Dimension.OD, 113.67 + 2 * 6.99), reading(Dimension.ID, 113.67)), "as568:425"),
    ],
)
def test_any_two_dimensions_name_the_ring(readings: tuple[Reading, ...], key: str) -> None:
    assert key in _top(rank(Evidence(readings, Condition.NEW)))


def test_a_swollen_ring_is_found_under_its_size_before_it_swelled() -> None:
    # ISO 1817: 10 % by volume is 3.23 % linear. -214 then reads 25.80 × 3.64.
    swell = 1.10 ** (1 / 3)
    swollen = rank(
        _ring(reading(Dimension.ID, 24.99 * swell), reading(Dimension.WIDTH, 3.53 * swell), condition=Condition.SWOLLEN)
    )
    as_new = rank(_id_width(24.99 * swell, 3.53 * swell))
    assert "as568:214" in _top(swollen)
    assert "as568:214" not in _top(as_new)


def test_a_flattened_ring_is_found_from_both_its_widths() -> None:
    ranking = rank(
        _ring(
            reading(Dimension.ID, 113.9),
            reading(Dimension.WIDTH, 6.3),
            reading(Dimension.WIDTH, 7.6),
            condition=Condition.FLATTENED,
        )
    )
    assert "as568:425" in _top(ranking)


def test_series_restricts_who_may_answer_and_keeps_the_other_names() -> None:
    ranking = rank(_id_width(24.99, 3.54), series=[Series.METRIC])
    assert {match.size.series for match in ranking.matches} == {Series.METRIC}
    assert _size("as568:214") in ranking.matches[0].also


def test_what_the_shop_has_confirmed_weighs() -> None:
    evidence = _id_width(24.85, 3.51)
    before = rank(evidence)
    after = rank(evidence, prior=Prior(confirmed={"jis:P25": 5}))
    assert before.matches[0].size == _size("as568:214")
    assert after.matches[0].size == _size("jis:P25")


def test_where_the_machine_was_built_weighs() -> None:
    evidence = _id_width(24.85, 3.51)
    japan = rank(evidence, prior=prior_for(Built.JAPAN))
    america = rank(evidence, prior=prior_for(Built.NORTH_AMERICA))
    assert japan.matches[0].size == _size("jis:P25")
    assert america.matches[0].size == _size("as568:214")


def test_residuals_are_in_tolerances() -> None:
    size = _size("as568:425")
    ranking = rank(
        _ring(
            reading(Dimension.ID, size.id_mm + size.id_tol_mm),
            reading(Dimension.WIDTH, size.cross_section_mm - 0.5 * size.cross_section_tol_mm),
        )
    )
    match = next(match for match in ranking.matches if match.size == size)
    assert match.residuals == pytest.approx((1.0, -0.5))


def test_no_reading_is_refused() -> None:
    with pytest.raises(ValueError, match="measure at least one dimension"):
        rank(Evidence(()))


def test_no_series_is_refused() -> None:
    with pytest.raises(ValueError, match="name at least one"):
        rank(_id_width(25, 3.5), series=[])


@settings(max_examples=150, deadline=None)
@given(
    id_mm=st.floats(0.6, 700),
    width_mm=st.floats(0.6, 15),
    condition=st.sampled_from(list(Condition)),
    tool=st.sampled_from(list(Tool)),
)
def test_probabilities_are_probabilities(id_mm: float, width_mm: float, condition: Condition, tool: Tool) -> None:
    ranking = rank(
        _ring(reading(Dimension.ID, id_mm, tool), reading(Dimension.WIDTH, width_mm, tool), condition=condition),
        limit=1000,
    )
    total = sum(match.probability for match in ranking.matches) + ranking.none_probability
    assert 0.9 < total <= 1.0 + 1e-9
    chances = [match.probability for match in ranking.matches]
    assert chances == sorted(chances, reverse=True)


@settings(max_examples=100, deadline=None)
@given(id_mm=st.floats(5, 300), width_mm=st.floats(1, 8), at=st.integers(0, 5))
def test_a_finer_instrument_never_finds_more_sizes_possible(id_mm: float, width_mm: float, at: int) -> None:
    coarse = rank(
        _ring(reading(Dimension.ID, id_mm, plus_minus=0.4), reading(Dimension.WIDTH, width_mm, plus_minus=0.2)),
        limit=1000,
    )
    fine = rank(
        _ring(reading(Dimension.ID, id_mm, plus_minus=0.05), reading(Dimension.WIDTH, width_mm, plus_minus=0.02)),
        limit=1000,
    )
    possible = {size.key for match in coarse.matches for size in (match.size, *match.also)}
    named = {match.size.key for match in fine.matches if match.probability > 0.2}
    assert named <= possible or fine.none_probability > 0.5
