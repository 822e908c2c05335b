"""Many rings at once are answered as each by itself."""

from __future__ import annotations

from math import asin, erfc, pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.box.names import by_ring, names
from catalog.orings.box.next_steps import next_steps
from catalog.orings.box.normal import below, rectangle
from catalog.orings.box.rankings import rankings
from catalog.orings.decide import Wanted, decide
from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.instruments import reading
from catalog.orings.joint_kind import JointKind
from catalog.orings.match import Ranking, rank
from catalog.orings.next_step import next_step
from catalog.orings.on_shelf import ShelfRing
from catalog.orings.prior import Built, prior_for
from catalog.orings.size_book import SizeBook, built_in, with_own
from catalog.orings.sizes import all_sizes, by_key
from catalog.uncertainty import normal_rectangle, rectangle_terms

SIZES = built_in().sizes
CLOSE = 1e-9

MEASURED = (
    (Dimension.ID, Dimension.WIDTH),
    (Dimension.ID, Dimension.WIDTH, Dimension.WIDTH),
    (Dimension.ID, Dimension.OD, Dimension.WIDTH),
    (Dimension.OD, Dimension.WIDTH),
    (Dimension.ID,),
    (Dimension.CUT_LENGTH, Dimension.WIDTH),
    (Dimension.WIDTH,),
)


@st.composite
def rings(draw: st.DrawFn) -> Evidence:
    """A ring near a standard size, or of none, read somehow."""
    size = draw(st.sampled_from(all_sizes()))
    off = draw(st.floats(-0.06, 0.06)), draw(st.floats(-0.1, 0.1))
    id_mm, width = size.id_mm * (1.0 + off[0]), size.cross_section_mm * (1.0 + off[1])
    tool = draw(st.sampled_from([Tool.CALIPER, Tool.MICROMETER, Tool.RULE]))
    true = {
        Dimension.ID: id_mm,
        Dimension.OD: id_mm + 2.0 * width,
        Dimension.WIDTH: width,
        Dimension.CUT_LENGTH: pi * (id_mm + width),
    }
    taken = [
        reading(one, round(true[one] * (1.0 + draw(st.floats(-0.01, 0.01))), 2) or 0.01, tool)
        for one in draw(st.sampled_from(MEASURED))
    ]
    return Evidence(tuple(taken), draw(st.sampled_from(list(Condition))))


def same_but_for_equals(first: list[tuple[str, float]], second: list[tuple[str, float]]) -> bool:
    """Whether two orders are one, but for those that are equally likely up to rounding and may change places."""
    if [chance for _, chance in first] != pytest.approx([chance for _, chance in second], abs=CLOSE):
        return False
    there = dict(second)
    return all(there.get(key, chance) == pytest.approx(chance, abs=CLOSE) for key, chance in first)


def test_only_equals_may_change_places() -> None:
    order = [("a", 0.5), ("b", 0.25), ("c", 0.25)]
    assert same_but_for_equals(order, [order[0], order[2], order[1]])
    assert not same_but_for_equals(order, [("b", 0.5), ("a", 0.25), ("c", 0.25)])
    assert not same_but_for_equals(order, order[:2])


@settings(max_examples=40, deadline=None)
@given(st.lists(rings(), min_size=1, max_size=6), st.sampled_from(list(Built)))
def test_a_box_names_each_ring_as_it_is_named_by_itself(box: list[Evidence], built: Built) -> None:
    prior = prior_for(built)
    found, alone = names(box, prior)
    named = {place for one in found for place in one.at.tolist()}
    assert named | set(alone) == set(range(len(box)))
    assert not named & set(alone)
    for one in found:
        for at, (place, part) in enumerate(by_ring(one)):
            single = rank(box[place], prior=prior, limit=10_000)
            boxed = [
                (SIZES[size].key, chance) for size, chance in zip(one.size[part], one.probability[part], strict=True)
            ]
            assert same_but_for_equals(boxed, [(match.size.key, match.probability) for match in single.matches])
            assert one.none[at] == pytest.approx(single.none_probability, abs=CLOSE)


def words_of(one: Ranking) -> list[object]:
    """All that a ranking says but its probabilities."""
    names = [(match.size.key, [also.key for also in match.also], match.residuals) for match in one.matches]
    return [one.evidence, names, one.doubt, [look for look, _ in one.looks], one.conflict, one.denial, one.called]


def chances_of(one: Ranking) -> list[float]:
    """The probabilities that a ranking says, and what the next step goes by."""
    by_look = [
        look.chances.get(key.key, 0.0)
        for look in one.posterior.looks
        for match in one.matches
        for key in (match.size, *match.also)
    ]
    looks = [
        value for look in one.posterior.looks for value in (look.none, look.probability, look.id_mm, look.width_mm)
    ]
    return [*(match.probability for match in one.matches), one.none_probability, *by_look, *looks]


@settings(max_examples=40, deadline=None)
@given(st.lists(rings(), min_size=1, max_size=6), st.sampled_from(list(Built)))
def test_a_box_is_ranked_as_each_ring_by_itself(box: list[Evidence], built: Built) -> None:
    prior = prior_for(built)
    for evidence, boxed in zip(box, rankings(box, prior, limit=50), strict=True):
        if boxed is not None:
            single = rank(evidence, prior=prior, limit=50)
            assert words_of(boxed) == words_of(single)
            assert chances_of(boxed) == pytest.approx(chances_of(single), abs=1e-10)


SHELF = tuple(ShelfRing(one.series, one.designation, None, None, "NBR", 70, "Box 1", 1, 1) for one in SIZES[::5])


@settings(max_examples=30, deadline=None)
@given(
    st.lists(rings(), min_size=1, max_size=4),
    st.sampled_from([None, *JointKind]),
    st.booleans(),
    st.sampled_from([None, SHELF]),
)
def test_a_box_is_told_the_next_step_of_each_ring(
    box: list[Evidence], joint: JointKind | None, critical: bool, shelf: tuple[ShelfRing, ...] | None
) -> None:
    decisions = [decide(rank(one), Wanted(joint, critical=critical, shelf=shelf)) for one in box]
    for decision, boxed in zip(decisions, next_steps(decisions), strict=True):
        single = next_step(decision)
        assert (boxed is None) is (single is None)
        if boxed is not None and single is not None:
            assert boxed._replace(then=0.0) == single._replace(then=0.0)
            assert boxed.then == pytest.approx(single.then, abs=1e-12)


def test_some_rings_are_left_to_be_ranked_by_themselves() -> None:
    plain, strange = (
        Evidence((reading(Dimension.ID, id_mm), reading(Dimension.WIDTH, width)))
        for id_mm, width in ((24.9, 3.5), (777.7, 19))
    )
    first, second = rankings([plain, strange])
    assert first is not None
    assert second is None
    # A ring in the middle of two sizes that differ in nothing else is as likely the one as the other.
    like = by_key("as568:214")
    assert like is not None
    twins = [like._replace(designation=name, id_mm=id_mm) for name, id_mm in (("X", 300.0), ("Y", 302.0))]
    between = Evidence((reading(Dimension.ID, 301.0), reading(Dimension.WIDTH, like.cross_section_mm)), Condition.NEW)
    assert rankings([between], own=SizeBook(tuple(twins))) == [None]


def test_rings_that_need_a_closer_look_are_asked_about_by_themselves() -> None:
    plain = Evidence((reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5)))
    clash = Evidence((reading(Dimension.ID, 24.9), reading(Dimension.WIDTH, 3.5), reading(Dimension.OD, 36.0)))
    called = Evidence((reading(Dimension.ID, 25.4), reading(Dimension.WIDTH, 3.175)))  # 1 × 1/8 in is AS568-214
    width = Evidence((reading(Dimension.WIDTH, 3.5),))
    _, alone = names([plain, clash, called, width])
    assert alone == [1, 2, 3]


def test_a_shops_own_size_is_among_them() -> None:
    like = by_key("as568:214")
    assert like is not None
    own = with_own([like._replace(designation="X", id_mm=24.5)])
    box = [Evidence((reading(Dimension.ID, 24.5), reading(Dimension.WIDTH, 3.53)), Condition.NEW)]
    found, _ = names(box, own=own)
    assert own.sizes[found[0].size[0]].key == rank(box[0], own=own).matches[0].size.key


@settings(max_examples=200, deadline=None)
@given(st.floats(-37.0, 37.0))
def test_the_normal_distribution_is_the_error_functions(z: float) -> None:
    # Φ(z) = erfc(-z/√2)/2, by the C library.
    right = 0.5 * erfc(-z / sqrt(2.0))
    assert abs(below(np.array([z]))[0] - right) <= min(1e-14, 1e-7 * right)


@pytest.mark.parametrize("correlation", [-0.35, -0.1, -0.03, 0.0, 0.05, 0.2, 0.34])
def test_a_quadrant_has_sheppards_probability(correlation: float) -> None:
    # W. F. Sheppard, 1899: P(X > 0, Y > 0) = 1/4 + arcsin(ρ)/2π.
    terms = rectangle_terms(correlation)
    right = 0.25 + asin(correlation) / (2.0 * pi)
    assert normal_rectangle((0.0, 30.0), (0.0, 30.0), correlation, terms) == pytest.approx(right, abs=3e-8)
    zero, far = np.zeros(1), np.full(1, 30.0)
    assert rectangle((zero, far), (zero, far), np.full(1, correlation), terms)[0] == pytest.approx(right, abs=3e-8)


def test_too_close_a_tie_has_no_series() -> None:
    assert rectangle_terms(0.5) == 0


ALIKE = (
    (36.0, JointKind.COVER),
    (99.75, JointKind.PORT),
    (45.2, JointKind.PLUG),
    (100.0, None),
    (12.9977, JointKind.COVER),
)


@pytest.mark.parametrize(("id_mm", "joint"), ALIKE)
def test_rivals_that_are_equal_but_for_rounding_leave_the_next_step_alone(
    id_mm: float, joint: JointKind | None
) -> None:
    """With an ID alone several widths are equally likely; which of them the last place among the rivals is for is no
    matter of the order in which a sum was made."""
    evidence = Evidence((reading(Dimension.ID, id_mm, Tool.CALIPER),), Condition.NOT_SAID)
    (boxed,) = rankings([evidence], limit=50)
    assert boxed is not None
    wanted = Wanted(joint)
    (told,) = next_steps([decide(boxed, wanted)])
    alone = next_step(decide(rank(evidence, limit=50), wanted))
    assert told is not None
    assert alone is not None
    assert (told.step, told.dimension, told.tool, told.hint) == (alone.step, alone.dimension, alone.tool, alone.hint)
    assert told.then == pytest.approx(alone.then, abs=CLOSE)
