"""How a ring did at a place, and what the decision makes of it there."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.decide import Wanted, decide
from catalog.orings.evidence import Condition, Dimension, Evidence
from catalog.orings.instruments import reading
from catalog.orings.match import Ranking, rank
from catalog.orings.ran import FACTOR, Outcome, Ran, confirmed_by_run, factor, last_of
from catalog.orings.sizes import RingSize, by_key

DAY = date(2026, 5, 2)
SAID = st.lists(st.tuples(st.sampled_from(["as568:214", "jis:P25", "as568:222"]), st.sampled_from(list(Outcome))))


def _ranked(id_mm: float = 24.9, width_mm: float = 3.5) -> Ranking:
    readings = (reading(Dimension.ID, id_mm), reading(Dimension.WIDTH, width_mm))
    return rank(Evidence(readings, Condition.USED))


def _size(key: str) -> RingSize:
    found = by_key(key)
    assert found is not None
    return found


def _here(said: list[tuple[str, Outcome]]) -> tuple[Ran, ...]:
    return tuple(Ran(key, "NBR", outcome, DAY) for key, outcome in said)


def test_a_size_that_leaked_here_is_no_longer_put_first() -> None:
    ranking = _ranked()
    before = decide(ranking)
    assert before.best is not None
    first = before.best.size
    after = decide(ranking, Wanted(here=(Ran(first.key, "NBR", Outcome.LEAKED, DAY),)))
    assert after.best is not None
    assert after.best.size != first
    # What the right ring would reach is as it was: the doubt that is left is said.
    assert after.right == before.right


@settings(max_examples=40, deadline=None)
@given(SAID)
def test_each_chance_is_multiplied_by_what_was_said_last(said: list[tuple[str, Outcome]]) -> None:
    here = _here(said)
    ranking = _ranked()
    bare = {one.size.key: one.chance for one in decide(ranking).to_fit}
    for one in decide(ranking, Wanted(here=here)).to_fit:
        last = last_of(here, one.size)
        times = 1.0 if last is None else FACTOR[last.outcome]
        assert one.chance.seals == pytest.approx(times * bare[one.size.key].seals)
        assert one.chance.marginal == pytest.approx(times * bare[one.size.key].marginal)
        assert sum(one.chance) == pytest.approx(1.0)


def test_the_last_word_counts_and_a_leak_weighs_more_than_weeping() -> None:
    ring = _size("as568:214")
    assert factor((), ring) == factor(_here([("as568:222", Outcome.LEAKED)]), ring) == 1.0
    assert factor(_here([("as568:214", Outcome.DRY), ("as568:214", Outcome.LEAKED)]), ring) == 1.0
    assert 0 < FACTOR[Outcome.LEAKED] < FACTOR[Outcome.WEPT] < FACTOR[Outcome.DRY] == 1.0


def test_the_same_ring_by_another_name_leaked_too() -> None:
    # 25.0 x 3.55 (ISO 3601-1) and AS568-214, 24.99 x 3.53, can't be told apart by any reading (`same_ring`).
    ranking = _ranked(24.99, 3.53)
    match = ranking.matches[0]
    assert match.also
    for name in match.also:
        assert factor((Ran(name.key, "", Outcome.LEAKED, DAY),), match.size) == FACTOR[Outcome.LEAKED]


def test_one_that_stayed_dry_counts_as_confirmed_once() -> None:
    here = _here([("as568:214", Outcome.DRY), ("as568:214", Outcome.DRY), ("jis:P25", Outcome.LEAKED),
                  ("jis:P25", Outcome.DRY), ("as568:222", Outcome.WEPT)])  # fmt: skip
    assert confirmed_by_run(here) == {"as568:214": 1}


def test_it_is_said_in_one_line() -> None:
    assert Ran("as568:214", "NBR", Outcome.LEAKED, DAY).words == "AS568-214 in NBR leaked here on 2026-05-02"
    assert Ran("own:A-1", "", Outcome.DRY, DAY).words == "A-1 stayed dry here on 2026-05-02"
