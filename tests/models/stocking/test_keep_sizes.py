"""Which sizes to keep, against every subset tried."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.errors import InvalidInputError
from models.stocking.keep_sizes import Measure, Pack, keep_sizes, single_sizes, trade_off

SIZES = "abcdef"


def _covered(history: dict[str, int], packs: tuple[Pack, ...], serves: dict[str, str]) -> int:
    had = {size for pack in packs for size in pack.sizes}
    had |= {other for size in had for other in serves.get(size, "")}
    return sum(count for size, count in history.items() if size in had)


def _subsets(packs: list[Pack]) -> list[tuple[Pack, ...]]:
    return [some for number in range(len(packs) + 1) for some in combinations(packs, number)]


histories = st.dictionaries(st.sampled_from(SIZES), st.integers(0, 9), max_size=6)
stands_in = st.dictionaries(st.sampled_from(SIZES), st.text(SIZES, max_size=2), max_size=3)


@st.composite
def pack_lists(draw: st.DrawFn) -> list[Pack]:
    return [
        Pack(f"p{n}", frozenset(draw(st.text(SIZES, min_size=1, max_size=3))), draw(st.integers(0, 20)))
        for n in range(draw(st.integers(0, 6)))
    ]


@settings(max_examples=200, deadline=None)
@given(histories, pack_lists(), stands_in, st.integers(0, 20), st.sampled_from(Measure))
def test_no_smaller_set_covers_the_share(
    history: dict[str, int], packs: list[Pack], serves: dict[str, str], twentieths: int, measure: Measure
) -> None:
    share = Fraction(twentieths, 20)
    kept = keep_sizes(history, packs, share=share, serves=serves, measure=measure)

    def worth(some: tuple[Pack, ...]) -> tuple[int, int]:
        size = len(some) if measure is Measure.NUMBER else sum(pack.cost for pack in some)
        return size, -_covered(history, some, serves)

    enough = [some for some in _subsets(packs) if _covered(history, some, serves) >= share * sum(history.values())]
    if not enough:
        assert kept is None
        return
    assert kept is not None
    chosen = tuple(pack for pack in packs if pack.name in kept.packs)
    assert worth(chosen) == min(map(worth, enough))
    assert kept.is_proven
    assert (kept.covered, kept.cost) == (_covered(history, chosen, serves), sum(pack.cost for pack in chosen))
    assert kept.share >= share or not history
    assert sum(history[size] for size in kept.uncovered) == kept.needs - kept.covered


@settings(max_examples=60, deadline=None)
@given(histories, pack_lists(), stands_in)
def test_the_curve_is_the_best_for_every_number(
    history: dict[str, int], packs: list[Pack], serves: dict[str, str]
) -> None:
    curve = trade_off(history, packs, serves=serves)
    best = [
        max(_covered(history, some, serves) for some in combinations(packs, number)) for number in range(len(packs) + 1)
    ]
    rising = sorted({covered: number for number, covered in reversed(list(enumerate(best)))}.items())
    assert [(point.covered, len(point.packs)) for point in curve] == [
        (covered, number) for covered, number in rising if covered == best[number]
    ]


@settings(max_examples=40, deadline=None)
@given(histories, pack_lists())
def test_the_cost_curve_is_never_beaten(history: dict[str, int], packs: list[Pack]) -> None:
    points = trade_off(history, packs, measure=Measure.COST, most_points=60)
    worth = [(sum(pack.cost for pack in some), _covered(history, some, {})) for some in _subsets(packs)]
    for point in points:
        assert not any(cost < point.cost and covered >= point.covered for cost, covered in worth)
    assert points[-1].covered == max(covered for _, covered in worth)


def test_sizes_alone_are_taken_by_how_often_they_were_needed() -> None:
    """Without stand-ins or assortments sorting by count is exact, and it is what a person would do by hand."""
    history = {"24.99 x 3.53": 40, "18.64 x 3.53": 30, "12.37 x 2.62": 20, "9.19 x 2.62": 10}
    kept = keep_sizes(history, single_sizes(history), share=Fraction(9, 10))
    assert kept is not None
    assert kept.packs == ("12.37 x 2.62", "18.64 x 3.53", "24.99 x 3.53")
    assert kept.share == Fraction(9, 10)
    curve = trade_off(history, single_sizes(history))
    assert [point.covered for point in curve] == [0, 40, 70, 90, 100]


def test_one_size_that_serves_two_needs_beats_two_sizes() -> None:
    history = {"25 x 3.5": 5, "24.99 x 3.53": 5, "40 x 3": 6}
    packs = single_sizes(history)
    kept = keep_sizes(history, packs, share=Fraction(6, 10), serves={"24.99 x 3.53": ["25 x 3.5"]})
    assert kept is not None
    assert kept.packs == ("24.99 x 3.53",)


def test_a_hundred_sizes_and_assortments_are_proven() -> None:
    history = {f"s{n:03}": 1 + (n * 37) % 23 for n in range(100)}
    boxes = [Pack(f"box {n}", frozenset(f"s{(n * 7 + k * 11) % 100:03}" for k in range(12)), 900) for n in range(15)]
    packs = [*(Pack(size, frozenset({size}), 150) for size in history), *boxes]
    kept = keep_sizes(history, packs, share=Fraction(9, 10), measure=Measure.COST)
    assert kept is not None
    assert kept.is_proven
    assert kept.share >= Fraction(9, 10)


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(InvalidInputError, match=r"share of 1\.5"):
        keep_sizes({"a": 1}, [], share=Fraction(3, 2))
    with pytest.raises(InvalidInputError, match="same name"):
        keep_sizes({"a": 1}, [Pack("p", frozenset("a")), Pack("p", frozenset("b"))], share=Fraction(1))
    with pytest.raises(InvalidInputError, match="below zero"):
        keep_sizes({"a": -1}, [], share=Fraction(1))
    assert keep_sizes({"a": 1}, [], share=Fraction(1)) is None
