"""Filling to the marks, and packs to open."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fluids.fill import IMPERIAL_QUART, LITRE, US_GALLON, US_QUART, Pour, State, marks, tally
from catalog.fluids.packs import Opened, Pack, packs_of, to_open, usual_packs

QT = US_QUART


def test_volumes_are_exact() -> None:
    # NIST SP 811: gallon 231 in³ = 3.785411784 L; quart 0.946352946 L; imperial quart 1.1365225 L.
    assert 231 * Fraction("25.4") ** 3 == US_GALLON
    assert Fraction("0.946352946") * LITRE == US_QUART
    assert Fraction("1.1365225") * LITRE == IMPERIAL_QUART
    # Trap: a 5 L can is not 5 US quarts (4.73 L), and an imperial quart is a fifth more than a US one.
    assert 5 * QT < 5 * LITRE
    assert pytest.approx(1.2, abs=0.001) == IMPERIAL_QUART / QT


def test_six_and_five_quarts_stand_exactly_at_an_eleven_quart_low_mark() -> None:
    # Common practice, no source.
    level = tally(marks(11 * QT, 12 * QT), [6 * QT, 5 * QT])
    assert level.state is State.AT_LOW
    assert level.to_low == 0
    assert level.to_full == QT
    assert level.over == 0


def test_eleven_to_twelve_quarts_is_within_a_quarter_gallon_of_three_gallons() -> None:
    # Common practice, no source.
    for quarts in (11, 12):
        assert abs(quarts * QT - 3 * US_GALLON) <= US_GALLON / 4


@pytest.mark.parametrize(
    ("quarts", "state", "to_low", "to_full", "over"),
    [
        (0, State.BELOW_LOW, 11, 12, 0),
        (10, State.BELOW_LOW, 1, 2, 0),
        (Fraction(23, 2), State.BETWEEN, 0, Fraction(1, 2), 0),
        (12, State.AT_FULL, 0, 0, 0),
        (13, State.OVER, 0, 0, 1),
    ],
)
def test_where_the_level_stands(
    quarts: Fraction, state: State, to_low: Fraction, to_full: Fraction, over: Fraction
) -> None:
    level = tally(marks(11 * QT, 12 * QT), [quarts * QT])
    assert level.state is state
    assert [level.to_low, level.to_full, level.over] == [to_low * QT, to_full * QT, over * QT]
    assert level.share(marks(11 * QT, 12 * QT)) == pytest.approx(float(quarts) / 12)


def test_clean_drained_fluid_poured_back_counts_as_poured() -> None:
    level = tally(marks(10 * LITRE, 11 * LITRE), [Pour(4 * LITRE, reused=True), Pour(6 * LITRE)], drained=9 * LITRE)
    assert level.state is State.AT_LOW
    assert (level.poured, level.reused, level.fresh, level.lost) == (10 * LITRE, 4 * LITRE, 6 * LITRE, 5 * LITRE)


def test_what_stayed_in_counts_when_it_is_known() -> None:
    level = tally(marks(10 * LITRE, 11 * LITRE), [7 * LITRE], drained=7 * LITRE, held_before=10_500_000)
    assert level.left_in == 3_500_000
    assert level.held == 10_500_000
    assert level.state is State.BETWEEN


def test_one_mark_only() -> None:
    one = marks(5 * LITRE, 5 * LITRE)
    assert tally(one, [5 * LITRE]).state is State.AT_FULL
    assert tally(one, [5 * LITRE - 1]).state is State.BELOW_LOW
    assert tally(one, [5 * LITRE + 1]).state is State.OVER


VOLUME = st.integers(0, 50_000_000) | st.integers(0, 60).map(lambda n: n * QT / 4)
POURS = st.lists(st.builds(Pour, VOLUME, st.booleans()), max_size=6)


@given(POURS, VOLUME, VOLUME)
def test_nothing_is_lost_or_made_in_the_tally(pours: list[Pour], more_drained: Fraction, kept: Fraction) -> None:
    poured_back = sum((Fraction(pour.volume) for pour in pours if pour.reused), Fraction(0))
    drained = poured_back + more_drained
    before = drained + kept
    at = marks(10 * LITRE, 12 * LITRE)
    level = tally(at, pours, drained=drained, held_before=before)
    # What was there and what came from packs is now in the system or in the drain pan.
    assert before + level.fresh == level.held + level.lost
    assert level.fresh + level.reused == level.poured
    assert level.held + level.to_full - level.over == at.full
    assert level.to_full - level.to_low in (at.full - at.low, level.to_full)
    assert level.to_full == 0 or level.over == 0
    assert (level.over > 0) is (level.state is State.OVER)
    # The order of the pours does not matter.
    assert tally(at, reversed(pours), drained=drained, held_before=before) == level


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: marks(0, 5), "above zero"),
        (lambda: marks(6, 5), "above the full mark"),
        (lambda: tally(marks(4, 5), [1, -1]), "Pour 2 is below zero"),
        (lambda: tally(marks(4, 5), drained=-1), "below zero"),
        (lambda: tally(marks(4, 5), drained=6, held_before=5), "More was drained"),
        (lambda: tally(marks(4, 5), [Pour(2, reused=True)], drained=1), "poured back"),
    ],
)
def test_volumes_that_cannot_be_say_why(call: object, words: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=words):
        call()


def counts(opened: Opened) -> dict[str, int]:
    return {pack.name: count for pack, count in opened.packs}


def test_packs_of_the_trades_example() -> None:
    # Arithmetic (notes of the trade, section G): 7.6 L from 5 L and 1 L packs is 5 + 1 + 1 + 1; 9 US quarts alone.
    opened = to_open(7_600_000, [Pack(LITRE, "1 L"), Pack(5 * LITRE, "5 L")])
    assert counts(opened) == {"5 L": 1, "1 L": 3}
    assert opened.left_over == 400_000
    assert counts(to_open(7_600_000, [Pack(QT, "1 qt")])) == {"1 qt": 9}


def test_the_traps_of_pack_sizes() -> None:
    """By arithmetic on NIST SP 811: an imperial gallon, five litres and a 55 gal drum are not what they sound like."""
    assert float(4 * IMPERIAL_QUART / US_GALLON) == pytest.approx(1.20095, abs=1e-5)
    assert float(5 * QT / LITRE) == pytest.approx(4.73176, abs=1e-5)
    drum = next(pack for pack in usual_packs() if pack.name == "55 gal")
    assert float(drum.volume / LITRE) == pytest.approx(208.198, abs=0.001)


def test_as_much_left_over_takes_the_fewest_packs() -> None:
    opened = to_open(20 * LITRE, [Pack(pack.volume, pack.name) for pack in usual_packs() if pack.volume >= 900_000])
    assert counts(opened) == {"20 L": 1}
    # 3 × 4 L and 5 + 5 + 1 + 1 both hold 12 L; three packs beat four.
    assert counts(to_open(12 * LITRE, [Pack(n * LITRE, f"{n} L") for n in (1, 4, 5)])) == {"4 L": 3}
    # 6 + 4 and 5 + 5 both hold 10 L in two packs; the biggest pack decides.
    assert counts(to_open(10 * LITRE, [Pack(n * LITRE, f"{n} L") for n in (4, 5, 6)])) == {"6 L": 1, "4 L": 1}


def test_packs_that_run_out() -> None:
    packs = [Pack(5 * LITRE, "5 L", 1), Pack(LITRE, "1 L", 2)]
    opened = to_open(8 * LITRE, packs)
    assert counts(opened) == {"5 L": 1, "1 L": 2}
    assert opened.missing == LITRE
    assert opened.left_over == 0
    assert to_open(7 * LITRE, packs).missing == 0
    assert to_open(LITRE, []).missing == LITRE
    assert to_open(0, packs).packs == ()


SIZES = st.lists(st.integers(1, 9), min_size=1, max_size=3, unique=True)


@given(st.integers(0, 25), SIZES)
def test_no_other_choice_leaves_less_or_takes_fewer_packs(need: int, sizes: list[int]) -> None:
    opened = to_open(need, [Pack(size, str(size)) for size in sizes])
    assert opened.total == need + opened.left_over
    used = sum(count for _, count in opened.packs)
    # Every choice that covers the need, by brute force.
    best = min(
        (total - need, sum(choice))
        for choice in product(*(range(ceil(need / size) + 1) for size in sizes))
        if (total := sum(n * size for n, size in zip(choice, sizes, strict=True))) >= need
    )
    assert [opened.left_over, used] == list(best)
    again = to_open(need, [Pack(size, str(size)) for size in reversed(sizes)])
    assert again == opened


@given(st.integers(1, 25), st.dictionaries(st.integers(1, 9), st.integers(0, 4) | st.none(), min_size=1, max_size=3))
def test_packs_of_which_there_are_few_are_chosen_as_well(need: int, there: dict[int, int | None]) -> None:
    opened = to_open(need, [Pack(size, str(size), count) for size, count in there.items()])
    assert all(pack.available is None or count <= pack.available for pack, count in opened.packs)
    choices = product(*(range((ceil(need / size) if count is None else count) + 1) for size, count in there.items()))
    covered = [
        (total - need, sum(choice))
        for choice in choices
        if (total := sum(n * size for n, size in zip(choice, there, strict=True))) >= need
    ]
    if covered:
        assert [opened.left_over, sum(count for _, count in opened.packs)] == list(min(covered))
    else:
        assert opened.missing == need - opened.total


def test_a_tank_of_5000_litres_is_told_or_refused_without_a_long_search() -> None:
    # By arithmetic: 200 × 25 L is 5,000 L, and no fewer packs hold it.
    assert counts(to_open(5000 * LITRE, packs_of("metric"))) == {"25 L": 200}
    many = [Pack(LITRE, "1 L", 10_000), Pack(QT, "1 qt", 10_000), Pack(7, "drop")]
    with pytest.raises(ValueError, match="too large"):
        to_open(5000 * LITRE, many)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: to_open(-1, [Pack(1)]), "below zero"),
        (lambda: to_open(1, [Pack(0)]), "holds nothing"),
        (lambda: to_open(1, [Pack(1, available=-1)]), "holds nothing"),
        (lambda: to_open(10**9, [Pack(1)]), "too large"),
    ],
)
def test_packs_that_cannot_be_say_why(call: object, words: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=words):
        call()


@given(POURS, VOLUME, VOLUME)
def test_what_is_let_out_again_is_in_no_more(pours: list[Pour], before: Fraction, out: Fraction) -> None:
    fresh = [pour.volume for pour in pours]
    at = marks(10 * LITRE, 12 * LITRE)
    stood = tally(at, fresh, held_before=before).held
    if out > stood:
        with pytest.raises(ValueError, match="More was let out than was in"):
            tally(at, fresh, held_before=before, let_out=out)
        return
    level = tally(at, fresh, held_before=before, let_out=out)
    assert before + level.fresh == level.held + level.lost
    assert level.held == stood - out
    assert level.poured == sum(fresh), "the shelf lost what was poured, wherever it went after"
    assert (level.over > 0) is (level.held > at.full)


def test_an_over_filled_system_is_let_down_to_its_full_mark() -> None:
    at = marks(11 * LITRE, 12 * LITRE)
    assert tally(at, [5 * LITRE, 9 * QT]).over > 0
    level = tally(at, [5 * LITRE, 9 * QT], let_out=5 * LITRE + 9 * QT - 12 * LITRE)
    assert level.state is State.AT_FULL
    assert not level.over
