"""What is kept of a decision once a ring of it was taken."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.condition import LOOKS
from catalog.orings.decide import AT_STAKE, Decision, Wanted, decide
from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.groove import face_inside
from catalog.orings.instruments import reading
from catalog.orings.match import rank
from catalog.orings.same_ring import SHARE, apart
from catalog.orings.sizes import by_key
from catalog.orings.span import span
from catalog.orings.would_do import EVEN, Taken, taken_of


def decided(inner: float, width: float, look: Condition = Condition.USED, wanted: Wanted | None = None) -> Decision:
    """What goes in where a caliper read this."""
    readings = tuple(
        reading(what, value, Tool.CALIPER, None) for what, value in ((Dimension.ID, inner), (Dimension.WIDTH, width))
    )
    return decide(rank(Evidence(readings, look)), wanted)


def test_the_others_within_ten_points_of_the_best_are_kept_with_chance_and_reason() -> None:
    decision = decided(24.9, 3.5)
    best = decision.to_fit[0]
    taken = taken_of(decision, best.size)
    chances = {one.size.key: one.chance.seals for one in decision.to_fit}
    # JIS P25 seals within ten points of AS568-214; R19 and JIS P25.5 do not.
    assert best.size.key == "as568:214"
    assert taken.seals == chances["as568:214"]
    kept = {one.size_key: one for one in taken.others}
    assert {key: one.seals for key, one in kept.items()} == {key: chances[key] for key in ("jis:P25",)}
    assert kept["jis:P25"].why.startswith("goes where JIS P25 was; marginal in some grooves of AS568-214")
    assert max(chances["jis:P25.5"], chances["afnor:R19"]) < chances["as568:214"] - AT_STAKE


def test_a_ring_taken_against_the_decision_brings_no_others() -> None:
    decision = decided(24.9, 3.5)
    worst = min(decision.to_fit, key=lambda one: one.chance.seals)
    assert worst.chance.seals < decision.to_fit[0].chance.seals - AT_STAKE
    assert taken_of(decision, worst.size) == Taken(worst.chance.seals)
    unheard = by_key("as568:450")
    assert unheard is not None
    assert taken_of(decision, unheard) == Taken() == taken_of(None, unheard)


def test_in_a_groove_where_nothing_seals_nothing_would_do() -> None:
    deep = face_inside(span(31.8, 0.05), span(9.0, 0.05), span(4.8, 0.1))
    decision = decided(24.9, 3.5, wanted=Wanted(groove=deep))
    assert {one.chance.seals for one in decision.to_fit} == {0.0}
    assert taken_of(decision, decision.to_fit[0].size) == Taken(0.0)


@settings(max_examples=25, deadline=None)
@given(st.integers(60, 900), st.sampled_from([1.8, 2.4, 2.62, 3.1, 3.53, 5.33]), st.sampled_from(list(LOOKS)))
def test_whatever_is_taken_the_others_are_other_rings_as_good_as_said(
    tenths: int, width: float, look: Condition
) -> None:
    decision = decided(tenths / 10, width, look)
    chances = {one.size.key: one.chance.seals for one in decision.to_fit}
    for one in decision.to_fit:
        others = taken_of(decision, one.size).others
        assert [other.seals for other in others] == sorted((other.seals for other in others), reverse=True)
        for other in others:
            size = by_key(other.size_key)
            assert size is not None
            assert apart(size, one.size) > SHARE
            assert other.seals == chances[other.size_key] >= max(max(chances.values()) - AT_STAKE - 1e-9, EVEN)
