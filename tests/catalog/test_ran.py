"""How a ring did at a place, and what the decision makes of it there."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.decide import Wanted, decide
from catalog.orings.evidence import Condition, Dimension, Evidence
from catalog.orings.groove import Groove, piston
from catalog.orings.instruments import reading
from catalog.orings.match import Ranking, rank
from catalog.orings.on_shelf import ShelfRing
from catalog.orings.own_table import OwnRow, OwnTable, own_sizes
from catalog.orings.ran import FACTOR, Compound, Outcome, Ran, confirmed_by_run, factor, since_reworked
from catalog.orings.size_book import with_own
from catalog.orings.sizes import RingSize, by_key
from catalog.orings.span import span

DAY = date(2026, 5, 2)
KEYS = ("as568:214", "jis:P25", "as568:222")
RUBBERS, HARDNESSES = st.sampled_from(["", "NBR", "FKM", "EPDM"]), st.sampled_from([None, 70, 75, 90])
COMPOUND = st.builds(Compound, RUBBERS, HARDNESSES)
RUN = st.builds(
    Ran, st.sampled_from(KEYS), RUBBERS, st.sampled_from(list(Outcome)), st.just(DAY), HARDNESSES, st.booleans()
)
RUNS = st.lists(RUN, max_size=6)
SHELF = st.builds(
    ShelfRing, st.just("as568"), st.sampled_from(["214", "222"]), st.none(), st.none(), RUBBERS, HARDNESSES,
    st.just("Box 1"), st.integers(0, 9), st.integers(1, 99),
)  # fmt: skip


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
@given(RUNS)
def test_each_chance_is_multiplied_by_how_its_runs_went(runs: list[Ran]) -> None:
    here = tuple(runs)
    ranking = _ranked()
    bare = {one.size.key: one.chance for one in decide(ranking).to_fit}
    for one in decide(ranking, Wanted(here=here)).to_fit:
        times = factor(here, one.size)
        assert one.chance.seals == pytest.approx(times * bare[one.size.key].seals)
        assert one.chance.marginal == pytest.approx(times * bare[one.size.key].marginal)
        assert sum(one.chance) == pytest.approx(1.0)


@settings(max_examples=300)
@given(RUNS, st.integers(0, 6), RUN, COMPOUND)
def test_no_leak_raises_a_chance_and_no_dry_run_lowers_it(
    runs: list[Ran], at: int, another: Ran, compound: Compound
) -> None:
    more = (*runs[:at], another, *runs[at:])
    for ring in map(_size, KEYS):
        before, after = factor(runs, ring, compound), factor(more, ring, compound)
        assert 0.0 <= after <= 1.0
        if another.outcome is Outcome.DRY:
            assert after >= before
        else:
            assert after <= before


@settings(max_examples=30, deadline=None)
@given(RUNS, RUN, st.lists(SHELF, max_size=4))
def test_the_same_holds_of_the_rings_to_fit(runs: list[Ran], another: Ran, shelf: list[ShelfRing]) -> None:
    ranking = _ranked()
    wanted = Wanted(shelf=tuple(shelf))
    before = {one.size.key: one.chance for one in decide(ranking, wanted._replace(here=tuple(runs))).to_fit}
    after = {one.size.key: one.chance for one in decide(ranking, wanted._replace(here=(another, *runs))).to_fit}
    for key, chance in after.items():
        change = chance.seals - before[key].seals
        assert change >= -1e-12 if another.outcome is Outcome.DRY else change <= 1e-12


def test_a_leak_is_of_its_rubber_its_hardness_and_its_gland() -> None:
    ring, nbr = _size("as568:214"), Compound("NBR", 70)
    leak = Ran("as568:214", "NBR", Outcome.LEAKED, DAY, 70)
    assert factor((leak,), ring, nbr) == factor((leak,), ring) == FACTOR[Outcome.LEAKED]
    harder, other = factor((leak,), ring, Compound("NBR", 90)), factor((leak,), ring, Compound("FKM", 75))
    assert FACTOR[Outcome.LEAKED] < harder < other < 1.0
    assert factor((leak,), ring, Compound("NBR", 75)) == FACTOR[Outcome.LEAKED]
    # A dry run in another rubber clears this one's leak in part only.
    dry = Ran("as568:214", "FKM", Outcome.DRY, DAY, 75)
    assert factor((leak,), ring, nbr) < factor((dry, leak), ring, nbr) < factor((dry, leak), ring, Compound("FKM")) == 1
    # In the gland as it was before: it says nothing of the one that is there now.
    assert factor((leak._replace(reworked=True),), ring, nbr) == 1.0


def test_the_shelf_s_other_rubber_is_the_one_to_fit_where_the_first_leaked() -> None:
    leak = Ran("as568:214", "NBR", Outcome.LEAKED, DAY, 70)
    nbr, fkm = (ShelfRing("as568", "214", 24.99, 3.53, rubber, hard, box, free, free)
                for rubber, hard, box, free in (("NBR", 70, "Box 1", 11), ("FKM", 75, "Box 2", 2)))  # fmt: skip
    ranking = _ranked(24.99, 3.53)

    def seals(*shelf: ShelfRing) -> tuple[float, list[str]]:
        (found,) = (one for one in decide(ranking, Wanted(shelf=shelf, here=(leak,))).to_fit
                    if one.size.key == "as568:214")  # fmt: skip
        return found.chance.seals, [row.elastomer for row in found.on_shelf or ()]

    bare = next(one for one in decide(ranking).to_fit if one.size.key == "as568:214").chance.seals
    first, second = seals(nbr), seals(nbr, fkm)
    assert (first[0], second[0]) == pytest.approx((0.1 * bare, 0.1**0.5 * bare))
    assert (first[1], second[1]) == (["NBR"], ["FKM", "NBR"])


def test_a_gland_that_was_measured_anew_and_is_another_was_reworked() -> None:
    def groove(inner: float, plus_minus: float = 0.05) -> Groove:
        return piston(span(inner, plus_minus), span(4.8), bore=span(31.0, plus_minus))

    assert since_reworked([groove(25), None, groove(25.05), groove(24), None]) == (False, False, False, True, True)
    assert since_reworked([None, groove(25), groove(24)]) == (False, False, True)
    assert since_reworked([None, None]) == (False, False)
    assert since_reworked([]) == ()


def test_the_last_word_counts_and_a_leak_weighs_more_than_weeping() -> None:
    ring = _size("as568:214")
    assert factor((), ring) == factor(_here([("as568:222", Outcome.LEAKED)]), ring) == 1.0
    assert factor(_here([("as568:214", Outcome.DRY), ("as568:214", Outcome.LEAKED)]), ring) == 1.0
    assert 0 < FACTOR[Outcome.LEAKED] < FACTOR[Outcome.WEPT] < FACTOR[Outcome.DRY] == 1.0


def test_a_size_of_the_shop_s_own_that_is_the_same_ring_leaked_too() -> None:
    ours = _size("as568:214")
    row = OwnRow("A-1", ours.id_mm + 0.02, ours.id_tol_mm, ours.cross_section_mm, ours.cross_section_tol_mm)
    sizes = with_own(own_sizes([OwnTable("Press list", "", (row,))]))
    here = (Ran("own:Press list A-1", "NBR", Outcome.LEAKED, DAY),)
    assert factor(here, ours, book=sizes) == FACTOR[Outcome.LEAKED]
    readings = (reading(Dimension.ID, 24.99), reading(Dimension.WIDTH, 3.53))
    ranking = rank(Evidence(readings, Condition.USED), own=sizes)
    bare, after = (
        {one.size.key: one.chance.seals for one in decide(ranking, Wanted(here=said)).to_fit} for said in ((), here)
    )
    assert after[ours.key] == pytest.approx(0.1 * bare[ours.key])
    # And of the two names the newest run has the word on what is confirmed.
    dry = Ran(ours.key, "NBR", Outcome.DRY, DAY)
    assert confirmed_by_run((*here, dry), sizes) == {}
    assert confirmed_by_run((dry, *here), sizes) == {ours.key: 1, here[0].key: 1}


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
    long = Ran("as568:214", "NBR", Outcome.LEAKED, DAY, 70, True).words
    assert long == "AS568-214 in NBR 70 leaked here on 2026-05-02, before the gland was reworked"
    assert Ran("own:A-1", "", Outcome.DRY, DAY).words == "A-1 stayed dry here on 2026-05-02"
