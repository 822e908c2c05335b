"""Which ring goes in: the decision and what it is made of."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.decide import ALIKE, AT_STAKE, PASSED_OVER, Wanted, chance, decide
from catalog.orings.evidence import Condition, Dimension, Evidence
from catalog.orings.gland import assess
from catalog.orings.instruments import reading
from catalog.orings.joint_kind import SHARES, JointKind
from catalog.orings.match import Ranking, rank
from catalog.orings.on_shelf import ShelfRing
from catalog.orings.reason import Verdict
from catalog.orings.seats import seats
from catalog.orings.sizes import RingSize, all_sizes, by_key


def _ranked(id_mm: float, width_mm: float, look: Condition = Condition.USED) -> Ranking:
    return rank(Evidence((reading(Dimension.ID, id_mm), reading(Dimension.WIDTH, width_mm)), look))


def _size(key: str) -> RingSize:
    found = by_key(key)
    assert found is not None
    return found


def _on_shelf(key: str, free: int = 5, elastomer: str = "NBR") -> ShelfRing:
    size = _size(key)
    return ShelfRing(
        size.series.value, size.designation, size.id_mm, size.cross_section_mm, elastomer, 70, "Box 1", free, 1
    )


def test_three_sizes_that_one_ring_serves_are_a_decision() -> None:
    # 24.9 × 3.5 may be -214, P25 or P25.5; their standard grooves take each other's ring (as the gland judges).
    decision = decide(_ranked(24.9, 3.5))
    assert decision.best is not None
    assert decision.best.size.key == "as568:214"
    assert decision.settled
    assert decision.best.chance.seals > decision.best.match + 0.2
    assert "JIS P25" in decision.best.why


def test_where_no_ring_serves_all_of_them_that_is_said() -> None:
    decision = decide(_ranked(26.2, 3.7, Condition.NOT_SAID))
    assert decision.best is not None
    assert not decision.settled


def test_readings_of_no_one_ring_name_none() -> None:
    readings = (reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5), reading(Dimension.OD, 36.0))
    decision = decide(rank(Evidence(readings)))
    assert decision.to_fit == ()
    assert decision.best is None


def test_among_equals_what_lies_on_the_shelf_goes_first() -> None:
    ranking = _ranked(40.9, 3.53)
    first = decide(ranking)
    near = [one for one in first.to_fit[1:] if one.chance.worth >= first.to_fit[0].chance.worth - ALIKE]
    for other in near:
        there = decide(ranking, Wanted(shelf=(_on_shelf(other.size.key),)))
        assert there.best is not None
        assert there.best.size == other.size
    far = [one for one in first.to_fit if one.chance.worth < first.to_fit[0].chance.worth - 2 * ALIKE]
    assert far
    there = decide(ranking, Wanted(shelf=(_on_shelf(far[-1].size.key),)))
    assert there.best is not None
    assert there.best.size == first.to_fit[0].size
    assert there.best.on_shelf == ()


def test_a_ring_on_the_shelf_under_its_other_name_is_the_same_ring() -> None:
    # 25 × 3.55 is -214 by another standard: no reading tells them apart.
    decision = decide(_ranked(24.9, 3.5), Wanted(shelf=(_on_shelf("metric:25x3.55"),)))
    assert decision.best is not None
    assert (decision.best.size.key, decision.best.free) == ("as568:214", 5)
    assert "metric:25x3.55" not in {one.size.key for one in decision.to_fit}


def test_a_critical_place_takes_no_worse_ring_from_the_shelf() -> None:
    ranking = _ranked(40.9, 3.53)
    first = decide(ranking, Wanted(critical=True))
    other = first.to_fit[1]
    there = decide(ranking, Wanted(critical=True, shelf=(_on_shelf(other.size.key),)))
    assert there.best is not None
    assert there.best.size == first.to_fit[0].size


@settings(max_examples=40, deadline=None)
@given(st.floats(3, 200), st.floats(1, 8), st.sampled_from(list(Condition)), st.integers(0, 7))
def test_in_a_critical_place_only_the_chance_to_seal_counts(
    id_mm: float, width_mm: float, look: Condition, at: int
) -> None:
    ranking = _ranked(id_mm, width_mm, look)
    bare = decide(ranking, Wanted(critical=True))
    shelf = tuple(_on_shelf(one.size.key) for one in bare.to_fit[at : at + 1])
    for decision in (bare, decide(ranking, Wanted(critical=True, shelf=shelf))):
        seals = [one.chance.seals for one in decision.to_fit]
        assert seals == sorted(seals, reverse=True)
        # A ring that is named there seals in nine joints of ten, whatever the right one would do.
        assert decision.settled == (bool(seals) and seals[0] >= 1.0 - AT_STAKE)


def test_a_marginal_ring_is_named_at_a_common_place_only() -> None:
    ranking = _ranked(9.1, 2.4)
    assert decide(ranking).settled
    critical = decide(ranking, Wanted(critical=True))
    assert not critical.settled
    assert critical.to_fit[0].chance.marginal > 0.10


def test_a_rubber_that_may_not_go_in_is_not_counted() -> None:
    ranking = _ranked(24.9, 3.5)
    shelf = (_on_shelf("as568:214", elastomer="EPDM"),)
    assert decide(ranking, Wanted(shelf=shelf)).to_fit[0].free == 5
    assert decide(ranking, Wanted(shelf=shelf, suits=lambda rubber: rubber != "EPDM")).to_fit[0].free == 0


def test_a_measured_groove_gives_the_glands_own_verdict() -> None:
    groove = seats(_size("jis:P25"), JointKind.PLUG)[0].groove
    decision = decide(_ranked(24.9, 3.5), Wanted(groove=groove))
    for one in decision.to_fit:
        verdict = assess(one.size, groove).verdict
        assert one.chance.seals == (verdict is Verdict.SEALS)
        assert one.chance.marginal == (verdict is Verdict.MARGINAL)


def test_a_port_takes_its_own_ring() -> None:
    # SAE J1926-1 for 7/16-20: its ring is -904, 8.92 × 1.83; others of about the size sit on plugs and in bores.
    decision = decide(_ranked(8.9, 1.8), Wanted(joint=JointKind.PORT))
    assert decision.best is not None
    assert decision.best.size.key == "as568:904"
    assert decision.best.chance.seals > 0.9


def test_shares_of_joints_sum_to_one() -> None:
    assert sum(SHARES.values()) == pytest.approx(1.0)
    assert set(SHARES) == set(JointKind)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(all_sizes()), st.sampled_from([None, *JointKind]), st.integers(-5, 5))
def test_the_right_ring_is_never_worse_than_another(old: RingSize, joint: JointKind | None, step: int) -> None:
    places = all_sizes()
    other = places[min(max(places.index(old) + step, 0), len(places) - 1)]
    wanted = Wanted(joint)
    own, found = chance(old, old, wanted), chance(other, old, wanted)
    assert own.seals == pytest.approx(1.0)
    assert own.worth >= found.worth - 1e-9
    assert found.seals + found.marginal + found.will_not == pytest.approx(1.0)


@settings(max_examples=40, deadline=None)
@given(st.floats(3, 200), st.floats(1, 8), st.sampled_from(list(Condition)))
def test_the_order_is_by_worth_but_for_equals(id_mm: float, width_mm: float, look: Condition) -> None:
    decision = decide(_ranked(id_mm, width_mm, look))
    assert 0.0 <= sum(one.probability for one in decision.before) <= 1.0 + 1e-9
    # The likeliest size is not passed over for little.
    likely = max((one.match for one in decision.to_fit), default=0.0)
    for one in decision.to_fit:
        assert one.chance.worth <= decision.to_fit[0].chance.worth + ALIKE + PASSED_OVER * likely + 1e-9


def test_what_is_listed_never_changes_what_is_decided() -> None:
    evidence = Evidence((reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5)))
    whole = decide(rank(evidence, limit=50), Wanted(critical=True))
    assert whole.best is not None
    for limit in (1, 3, 10):
        short = decide(rank(evidence, limit=limit), Wanted(critical=True))
        assert short.best is not None
        # Sizes that are not weighed count as ones where no other ring seals: less is never surer.
        assert short.best.chance.seals <= whole.best.chance.seals + 1e-9
        assert not short.settled


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(all_sizes()), st.sampled_from([None, *JointKind]), st.integers(-5, 5))
def test_a_critical_place_is_never_judged_more_kindly(old: RingSize, joint: JointKind | None, step: int) -> None:
    places = all_sizes()
    other = places[min(max(places.index(old) + step, 0), len(places) - 1)]
    usual, critical = (chance(other, old, Wanted(joint, critical=one)) for one in (False, True))
    assert critical.seals <= usual.seals + 1e-9


def test_in_a_critical_place_a_size_that_no_groove_seals_is_not_named() -> None:
    # AS568-001 is marginal or worse in every groove of the tables in a bore: nothing may be called sure there.
    size = _size("as568:001")
    found = chance(size, size, Wanted(JointKind.BORE, critical=True))
    assert found.seals < 0.1
    exact = (reading(Dimension.ID, size.id_mm, plus_minus=0.01), reading(Dimension.WIDTH, 1.016, plus_minus=0.01))
    assert not decide(rank(Evidence(exact, Condition.NEW), limit=50), Wanted(JointKind.BORE, critical=True)).settled


def test_one_reading_alone_claims_no_more_than_it_knows() -> None:
    ranking = rank(Evidence((reading(Dimension.WIDTH, 3.53),)), limit=50)
    decision = decide(ranking)
    assert decision.best is not None
    assert sum(one.probability for one in decision.before) < 0.2
    assert decision.best.chance.seals < 0.1
    assert not decision.settled
    assert all(one.size is not None for one in decision.before)


def test_a_spoilt_groove_names_no_ring_to_fit() -> None:
    groove = seats(_size("as568:425"), JointKind.PLUG)[0].groove
    decision = decide(_ranked(24.9, 3.5), Wanted(groove=groove))
    assert not decision.settled
