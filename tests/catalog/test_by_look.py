"""Where nobody said how the ring looks: no ring is named to be fitted while a likely look asks for another one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.by_look import BEHIND, LEAST_GAIN, LIKELY
from catalog.orings.decide import Decision, Wanted, chance, decide
from catalog.orings.evidence import Condition, Dimension, Evidence
from catalog.orings.instruments import reading
from catalog.orings.match import rank
from catalog.orings.next_step import Step, next_step
from catalog.orings.sizes import RingSize, all_sizes

SWOLLEN_214 = Evidence((reading(Dimension.OD, 33.6), reading(Dimension.WIDTH, 3.7)))
BY_ARITHMETIC = 0.04
"""The looks are weighed over the sizes that the answer looks at; with the look said there may be a few others."""


def _decided(evidence: Evidence, look: Condition, wanted: Wanted | None = None) -> Decision:
    return decide(rank(evidence._replace(condition=look)), wanted)


def _worth(ring: RingSize, said: Decision) -> float:
    """What this ring is worth over all that the old one may have been."""
    return sum(one.probability * chance(ring, one.ring, said.wanted).worth for one in said.before)


def test_a_swollen_214_waits_for_its_look() -> None:
    decision = decide(rank(SWOLLEN_214))
    assert decision.waits is not None
    assert not decision.settled
    swollen = decision.waits.others[0]
    assert swollen.looks == (Condition.SWOLLEN,)
    assert swollen.ring.key == "as568:214"
    said = _decided(SWOLLEN_214, Condition.SWOLLEN)
    assert said.best is not None
    assert said.best.size == swollen.ring
    # Never more than comes once it is said: sizes that are not looked at count as if no ring sealed there.
    assert said.best.chance.seals - 0.15 <= swollen.seals <= said.best.chance.seals
    assert 0.5 < decision.waits.else_seals < 0.8


def test_what_it_waits_for_is_asked_first_and_is_one_key() -> None:
    step = next_step(decide(rank(SWOLLEN_214)))
    assert step is not None
    assert step.step is Step.LOOK


def test_in_a_critical_place_it_waits_too() -> None:
    assert decide(rank(SWOLLEN_214), Wanted(critical=True)).waits is not None


@given(st.sampled_from(all_sizes()), st.floats(0.97, 1.06), st.floats(0.93, 1.06))
@settings(max_examples=60, deadline=None)
def test_a_ring_is_named_only_where_no_likely_look_asks_for_another(old: RingSize, grown: float, thick: float) -> None:
    evidence = Evidence(
        (
            reading(Dimension.ID, round(old.id_mm * grown, 2)),
            reading(Dimension.WIDTH, round(old.cross_section_mm * thick, 2)),
        )
    )
    decision = decide(rank(evidence))
    for look, share in decision.ranking.looks:
        said = _decided(evidence, look)
        if share < LIKELY + BY_ARITHMETIC or not decision.settled or said.best is None or decision.best is None:
            continue
        assert _worth(said.best.size, said) - _worth(decision.best.size, said) <= BEHIND + BY_ARITHMETIC


@given(st.sampled_from(all_sizes()), st.floats(0.97, 1.06), st.sampled_from(list(Condition)))
@settings(max_examples=40, deadline=None)
def test_a_look_that_was_said_is_never_waited_for(old: RingSize, grown: float, look: Condition) -> None:
    evidence = Evidence((reading(Dimension.ID, old.id_mm * grown), reading(Dimension.WIDTH, old.cross_section_mm)))
    decision = _decided(evidence, look)
    assert decision.waits is None or look is Condition.NOT_SAID
    if decision.waits is not None:
        shares = [one.share for one in decision.waits.others]
        assert min(shares) >= LIKELY
        assert all(one.seals > one.else_seals for one in decision.waits.others)
        assert sum(shares) <= 1.0 + 1e-9
        assert all(one.ring != decision.waits.ring for one in decision.waits.others)


@pytest.mark.parametrize(("id_mm", "width_mm"), [(26.2, 3.7), (11.5, 1.9), (17.1, 2.2)])
def test_what_is_said_before_the_look_is_the_mean_of_what_is_said_after(id_mm: float, width_mm: float) -> None:
    """The law of total expectation, over the looks by how likely the readings make them: for the ring that leads, and
    for what the look is said to bring."""
    evidence = Evidence((reading(Dimension.ID, id_mm), reading(Dimension.WIDTH, width_mm)), Condition.NOT_SAID)
    decision = decide(rank(evidence))
    assert decision.best is not None
    leading = told = 0.0
    for look, share in decision.ranking.looks:
        said = _decided(evidence, look)
        assert said.best is not None
        told += share * said.best.chance.seals
        leading += share * sum(
            one.probability * chance(decision.best.size, one.ring, said.wanted).seals for one in said.before
        )
    assert abs(decision.best.chance.seals - leading) < 0.03
    step = next_step(decision)
    assert step is not None
    assert step.step is Step.LOOK
    assert abs(step.then - told) < 0.03


def test_a_word_that_brings_little_is_not_waited_for() -> None:
    """What the looks ask for is counted by how likely they are: together it is worth the trouble, or none waits."""
    for id_mm in (9.6, 12.4, 17.3, 21.1, 24.9, 30.7, 44.3):
        evidence = Evidence((reading(Dimension.ID, id_mm), reading(Dimension.WIDTH, 2.55)), Condition.NOT_SAID)
        waits = decide(rank(evidence)).waits
        gain = 0.0 if waits is None else sum(one.share * (one.seals - one.else_seals) for one in waits.others)
        assert waits is None or gain >= LEAST_GAIN
