"""The table of rings and grooves says what the gland says."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.gland import assess
from catalog.orings.joint_kind import JointKind
from catalog.orings.outcomes import KINDS, kept, outcomes, reckoned
from catalog.orings.reason import Verdict
from catalog.orings.seats import WORKED_OUT, seats
from catalog.orings.sizes import RingSize, all_sizes, by_key


@pytest.mark.parametrize("key", ["as568:904", "jis:P22A", "stock:13x1.5", "afnor:R60"])
def test_the_table_is_what_would_be_worked_out_now(key: str) -> None:
    # Where this fails a size, a groove table or a rule changed: run `python -m catalog.orings.outcomes`.
    size = by_key(key)
    assert size is not None
    assert kept(size) == reckoned(size)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(all_sizes()), st.sampled_from(KINDS), st.integers(-6, 6))
def test_every_outcome_is_the_glands_own_verdict(old: RingSize, kind: object, step: int) -> None:
    places = all_sizes()
    ring = places[min(max(places.index(old) + step, 0), len(places) - 1)]
    joint = next(one for one in KINDS if one is kind)
    found = outcomes(ring, old, joint, None, None)
    there = seats(old, joint)
    assert len(found) == len(there)
    for outcome, seat in zip(found, there, strict=True):
        verdict = assess(ring, seat.groove).verdict
        as_good = verdict.rank <= seat.own.rank and (ring == old or verdict is not Verdict.WILL_NOT)
        assert outcome.as_good is as_good
        assert (outcome.seals, outcome.is_marginal) == (verdict is Verdict.SEALS, verdict is Verdict.MARGINAL)
        assert outcome.share == pytest.approx(seat.share)


def test_shares_of_a_joints_grooves_sum_to_one() -> None:
    for size in all_sizes()[::40]:
        for kind in KINDS:
            shares = [one.share for one in outcomes(size, size, kind, None, None)]
            assert not shares or sum(shares) == pytest.approx(1.0)


def test_a_groove_worked_out_between_two_rows_may_be_deeper_or_shallower() -> None:
    none_prints = by_key("as568:904")
    assert none_prints is not None
    depths = {round(seat.groove.depth.nominal, 9) for seat in seats(none_prints, JointKind.COVER) if seat.groove.depth}
    low, middle, high = sorted(depths)
    assert low / middle == pytest.approx(1.0 + WORKED_OUT[0])
    assert high / middle == pytest.approx(1.0 + WORKED_OUT[2])
