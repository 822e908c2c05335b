"""What the other rings of a machine say of one from it."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.decide import Decision, decide
from catalog.orings.evidence import Condition, Dimension, Evidence
from catalog.orings.instruments import reading
from catalog.orings.match import rank
from catalog.orings.of_machine import changed, counted, words
from catalog.orings.prior import Built, prior_for
from catalog.orings.sizes import Series, all_sizes


def _decided(on_machine: dict[Series, int], id_mm: float = 24.85, width_mm: float = 3.515) -> Decision:
    readings = (reading(Dimension.ID, id_mm), reading(Dimension.WIDTH, width_mm))
    return decide(rank(Evidence(readings, Condition.NOT_SAID), prior=prior_for(Built.ANYWHERE, {}, on_machine)))


def test_rings_are_counted_by_series_and_the_shop_s_own_left_out() -> None:
    found = counted(["jis:P22", "jis:P22", "as568:214", "own:A-1"])
    assert found == {Series.JIS: 2, Series.AS568: 1}
    assert words(found) == "2 of 3 rings of this machine were JIS"
    assert words({Series.JIS: 1}) == "The one ring of this machine was JIS"


def test_three_of_one_standard_change_the_answer_where_two_sizes_are_as_likely() -> None:
    # Between AS568-214 and JIS P25 by these readings.
    alone, jis, inch = _decided({}), _decided({Series.JIS: 3}), _decided({Series.AS568: 3})
    assert alone.best is not None
    assert jis.best is not None
    assert (alone.best.size.series, jis.best.size.series) == (Series.AS568, Series.JIS)
    assert changed(jis, alone)
    assert inch.best is not None
    assert inch.best.size == alone.best.size
    assert not changed(alone, _decided({}))


@settings(max_examples=30, deadline=None)
@given(st.lists(st.sampled_from(all_sizes()), min_size=1, max_size=12))
def test_no_ring_is_lost_in_the_count_and_the_most_is_named(sizes: list) -> None:  # type: ignore[type-arg]
    found = counted(one.key for one in sizes)
    assert sum(found.values()) == len(sizes)
    said = words(found)
    assert len(sizes) == 1 or said.startswith(f"{max(found.values())} of {len(sizes)} rings")
