"""No size fits: denied only where the tables are complete, and a round metric size is named as measured."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.as_measured import STOCKED_WIDTHS_MM, as_measured
from catalog.orings.completeness import list_states, states_at
from catalog.orings.evidence import Dimension, Evidence
from catalog.orings.instruments import reading
from catalog.orings.match import Ranking, rank
from catalog.orings.sizes import Series, load
from catalog.standing import Standing


def measured(id_mm: float, width_mm: float, series: list[Series] | None = None) -> Ranking:
    return rank(Evidence((reading(Dimension.ID, id_mm), reading(Dimension.WIDTH, width_mm))), series=series)


def test_every_series_has_a_state_at_every_width_it_holds() -> None:
    for series in Series:
        for size in load(series):
            states = [one for one in states_at(size.cross_section_mm) if one.series is series]
            assert states, size.key


def test_only_what_has_no_gap_is_called_complete() -> None:
    # AS568, JIS P, G and V and the BS 4518 sections that we have; never ISO metric, French R, stocked sizes, JIS S.
    complete = {(one.series, one.part) for one in list_states() if one.complete}
    assert complete == {
        (Series.AS568, ""),
        *((Series.JIS, part) for part in "PGV"),
        (Series.BS4518, ""),
    }
    # Standards that we have no table of are told where every series was asked, and only there.
    assert {one.part for one in list_states() if one.series is None} == {"SMS 1586", "JASO F 404", "GOST 9833-73"}
    assert any(one.series is None for one in states_at(3.0))
    assert all(one.series is Series.BS4518 for one in states_at(3.0, series=[Series.BS4518]))
    missing = [one for one in list_states() if one.series is Series.BS4518 and not one.complete]
    assert [one.widths_mm for one in missing] == [(4.1,)]


@given(st.floats(5.0, 300.0), st.floats(0.6, 12.0), st.sampled_from([None, *Series]))
def test_a_standard_is_denied_only_where_every_list_of_that_width_is_complete(
    id_mm: float, width_mm: float, series: Series | None
) -> None:
    ranking = measured(id_mm, width_mm, None if series is None else [series])
    denied = ranking.denial
    assert (denied is None) == (ranking.found or ranking.conflict is not None)
    if denied is not None:
        incomplete = [one for one in denied.lists if not one.complete]
        assert denied.complete == (not incomplete)
        assert ("our tables" in denied.headline) == bool(incomplete)
        assert (denied.headline in ranking.doubt) or ranking.doubt.startswith("Probably ")
        if series is Series.STOCK or (denied.as_measured is not None):
            assert "No standard size" not in ranking.doubt or not denied.lists


@given(st.floats(5.0, 300.0), st.floats(0.6, 12.0))
def test_every_answer_says_what_it_rests_on_by_name(id_mm: float, width_mm: float) -> None:
    for one in measured(id_mm, width_mm).because:
        assert one.rule
        assert one.source
        assert one.source != "memory"
        assert one.standing in frozenset(Standing)
    assert measured(id_mm, width_mm).because


@given(st.integers(10, 199), st.sampled_from(STOCKED_WIDTHS_MM))
def test_a_round_metric_ring_is_found_or_named_never_denied(halves: int, width_mm: float) -> None:
    id_mm = halves / 2
    ranking = measured(id_mm, width_mm)
    if not ranking.found:
        assert ranking.denial is not None
        assert ranking.denial.as_measured == (id_mm, width_mm)
        assert not ranking.denial.complete
        assert "No standard size" not in ranking.doubt


@pytest.mark.parametrize(
    ("readings", "label"),
    [
        ((167.0, 0.25, 3.0, 0.05), "167 × 3"),
        ((87.5, 0.1, 4.02, 0.05), "87.5 × 4"),
        ((167.5, 0.25, 3.0, 0.05), None),  # halves end at 100 mm
        ((33.1, 0.1, 4.4, 0.05), None),  # 4.4 is not 4.5
        ((33.25, 0.1, 4.0, 0.05), None),
        ((0.2, 0.1, 1.0, 0.05), None),
    ],
)
def test_what_counts_as_round(readings: tuple[float, float, float, float], label: str | None) -> None:
    found = as_measured(*readings)
    assert (found.label if found else None) == label


def test_without_stocked_sizes_asked_none_is_named() -> None:
    denied = measured(87.5, 4.0, [Series.AS568]).denial
    assert denied is not None
    assert denied.as_measured is None
