"""A measured thread: what it is, how sure, what settles it. Simulated bolts follow the limits of the standards."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fasteners.flank import Flank
from catalog.fasteners.lookalikes import look_alikes, tell_apart
from catalog.fasteners.sizes import System, Thread, all_threads, thread_named
from catalog.fasteners.thread import (
    Identification,
    Measured,
    Reading,
    Wear,
    identify,
    likelihood,
    pitch_from_tpi,
    pitch_over,
    prior_weight,
)


def test_a_caliper_and_a_gauge_name_a_bolt() -> None:
    answer = identify(Measured(Reading(7.85, 0.05), Reading(1.25, 0.03)))
    assert answer.candidates[0].thread.designation == "M8"
    assert answer.candidates[0].probability > 0.95
    assert answer.settle == ""


# UNF and metric mix-ups of the trade (from memory): the diameter alone does not tell, the pitch does.
@pytest.mark.parametrize(
    ("diameter", "pitch", "right", "wrong"),
    [
        (7.83, 1.25, "M8", "5/16-18 UNC"),
        (7.83, 25.4 / 18, "5/16-18 UNC", "M8"),
        (19.88, 1.5, "M20x1.5", "13/16-16 UN"),
        (18.95, 25.4 / 16, "3/4-16 UNF", "M20x1.5"),
        (25.3, 25.4 / 12, "1-12 UNF", "1-14 UNS"),
        (25.3, 25.4 / 14, "1-14 UNS", "1-12 UNF"),
    ],
)
def test_mix_ups(diameter: float, pitch: float, right: str, wrong: str) -> None:
    answer = identify(Measured(Reading(diameter, 0.05), Reading(pitch, 0.02)))
    chances = {candidate.thread.designation: candidate.probability for candidate in answer.candidates}
    assert answer.candidates[0].thread.designation == right
    assert chances.get(wrong, 0) < 0.05


@pytest.mark.parametrize(
    ("metric", "inch"),
    [("M8", "5/16-18 UNC"), ("M8", "5/16-24 UNF"), ("M10x1.25", "3/8-24 UNF"), ("M6", "1/4-20 UNC"),
     ("M6", "1/4-28 UNF"), ("M20x1.5", "3/4-16 UNF"), ("M20x1.5", "13/16-16 UN"),
     ("M18x1.5", "11/16-16 UN"), ("M22x1.5", "7/8-14 UNF"),
     ("M24x1.5", "15/16-16 UN"), ("M26x1.5", "1-16 UN")],
)  # fmt: skip
def test_pairs_the_trade_warns_of_are_look_alikes_both_ways(metric: str, inch: str) -> None:
    """Pairs from memory; the two of M20 × 1.5 also in a published interchange article (engineerfix.com)."""
    first, second = thread_named(metric), thread_named(inch)
    assert second in {one.other for one in look_alikes(first)}
    assert first in {one.other for one in look_alikes(second)}
    assert "gauge" in tell_apart(first, second)


def test_where_the_pitch_is_the_same_the_diameter_settles() -> None:
    """M5 × 0.8 and #10-32 (0.794): 0.006 mm of pitch, which no gauge shows."""
    assert "measure over the crests" in tell_apart(thread_named("M5"), thread_named("#10-32"))
    answer = identify(Measured(Reading(4.81, 0.05), Reading(0.795, 0.02)))
    assert {candidate.thread.designation for candidate in answer.candidates[:2]} == {"M5", "#10-32 UNF"}
    assert "0.05 mm" in answer.settle


def test_a_tapered_plug_is_told_by_two_diameters() -> None:
    """Taper 1 in 16 (ISO 7-1, ASME B1.20.1): ten threads of 14 tpi grow by 18.14 / 16 = 1.1 mm."""
    assert "grows by 1.1 mm" in tell_apart(thread_named("G 1/2"), thread_named("NPT 1/2"))
    plug = Measured(Reading(20.8, 0.05), Reading(25.4 / 14, 0.03))
    assert identify(plug).candidates[0].thread.system is System.BSPP
    tapered = identify(plug._replace(tapered=True))
    assert tapered.candidates[0].thread.tapered
    assert any("1 in 16" in note for note in tapered.notes)
    sixty = identify(plug._replace(tapered=True, flank=Flank(60)))
    assert sixty.candidates[0].thread.designation == "NPT 1/2"
    assert sixty.candidates[0].probability > 0.9


def test_without_a_pitch_it_asks_for_one() -> None:
    answer = identify(Measured(Reading(7.85, 0.05)))
    assert answer.candidates[0].probability < 0.6
    assert answer.settle.startswith("Measure the pitch")
    assert "1.25 mm" in answer.settle


def test_an_in_between_thread_is_none_and_says_what_is_near() -> None:
    answer = identify(Measured(Reading(11.9, 0.05), Reading(1.38, 0.02)))
    assert answer.none_probability > 0.95
    assert "M12x1.5" in answer.notes[0]
    assert "No standard thread" in answer.notes[0]


def test_worn_crests_are_allowed_for_and_mentioned() -> None:
    crushed = Measured(Reading(15.4, 0.05), Reading(2.0, 0.03))
    assert identify(crushed).none_probability > 0.5
    damaged = identify(crushed._replace(wear=Wear.DAMAGED))
    assert damaged.candidates[0].thread.designation == "M16"
    assert "damaged" in damaged.notes[0]


def test_a_nut_is_measured_across_its_crests() -> None:
    """M8 6H: 6.647 to 6.912 mm (ISO 965, from memory)."""
    answer = identify(Measured(Reading(6.78, 0.05), Reading(1.25, 0.03), internal=True))
    assert answer.candidates[0].thread.designation == "M8"


def test_pitch_from_ten_threads_and_from_a_count() -> None:
    ten = pitch_over(12.5, 10, 0.2)
    assert (ten.value_mm, ten.plus_minus_mm) == pytest.approx((1.25, 0.02))
    per_inch = pitch_from_tpi(16, 0.5)
    assert per_inch.value_mm == pytest.approx(1.5875)
    assert per_inch.plus_minus_mm == pytest.approx(25.4 / 15.75 - 25.4 / 16.25, rel=0.01)
    with pytest.raises(ValueError, match="at least one"):
        pitch_over(10, 0, 0.1)
    with pytest.raises(ValueError, match="more than 0"):
        pitch_from_tpi(0, 1)


@pytest.mark.parametrize(
    ("diameter", "plus_minus"), [(0, 0.1), (-8, 0.1), (8, 0), (8, -0.1), (float("nan"), 0.1), (8, float("inf"))]
)
def test_readings_that_cannot_be(diameter: float, plus_minus: float) -> None:
    with pytest.raises(ValueError, match="cannot be"):
        identify(Measured(Reading(diameter, plus_minus)))


def test_a_machine_built_in_inches_tips_the_scale() -> None:
    reading = Measured(Reading(7.85, 0.05))

    def unified(answer: Identification) -> float:
        return sum(one.probability for one in answer.candidates if one.thread.system is System.UNIFIED)

    assert unified(identify(reading, {System.UNIFIED: 5})) > 2 * unified(identify(reading))


def _bolt(thread: Thread, chance: random.Random, ruler: float, gauge: float) -> Measured:
    diameter = chance.uniform(thread.major_low_mm, thread.major_high_mm) + chance.uniform(-ruler, ruler)
    pitch = thread.pitch_mm + chance.uniform(-gauge, gauge)
    return Measured(Reading(diameter, ruler), Reading(pitch, gauge))


def test_simulated_bolts_are_named_and_the_stated_chance_holds() -> None:
    """Bolts made evenly within the limits, readings evenly within their ±: the model of JCGM 100, Type B.

    The bolts come as often as the program says that their families turn up, Whitworth and pipe among them.
    """
    chance = random.Random(16)
    weights = [prior_weight(thread) for thread in all_threads()]
    said, right, none, common, named = 0.0, 0, 0, 0, 0
    for thread in chance.choices(all_threads(), weights, k=800):
        answer = identify(_bolt(thread, chance, 0.05, 0.03))
        none += answer.none_probability > 0.5
        best = answer.candidates[0]
        said += best.probability
        right += best.thread == thread
        if thread.series in ("coarse", "fine", "UNC", "UNF"):
            common += 1
            named += best.thread == thread
    assert named / common >= 0.97
    assert abs(said - right) / 800 <= 0.03
    assert none / 800 <= 0.02


def test_threads_of_no_standard_are_called_none() -> None:
    """Diameters and pitches far from every table row: 95 in 100 must be called none."""
    chance = random.Random(4)
    called = tried = 0
    while tried < 300:
        diameter, pitch = chance.uniform(4, 40), chance.uniform(0.5, 3)
        near = any(
            thread.major_low_mm - 0.2 < diameter < thread.major_high_mm + 0.2 and abs(thread.pitch_mm - pitch) < 0.06
            for thread in all_threads()
        )
        if not near:
            tried += 1
            called += identify(Measured(Reading(diameter, 0.05), Reading(pitch, 0.03))).none_probability > 0.5
    assert called / tried >= 0.95


@given(
    st.floats(2, 60),
    st.floats(0.01, 0.5),
    st.floats(0.3, 6),
    st.floats(0.01, 0.2),
    st.booleans(),
    st.sampled_from(Wear),
)
def test_chances_sum_to_one(d: float, pm: float, p: float, pp: float, internal: bool, wear: Wear) -> None:
    answer = identify(Measured(Reading(d, pm), Reading(p, pp), internal, wear), keep=200)
    total = answer.none_probability + sum(candidate.probability for candidate in answer.candidates)
    # Candidates below one in a thousand are not listed: at most 176 of them.
    assert 0.82 <= total <= 1 + 1e-9
    chances = [candidate.probability for candidate in answer.candidates]
    assert chances == sorted(chances, reverse=True)


def test_the_likelihood_integrates_to_one() -> None:
    """Independent of the formula: the sum over all diameters a caliper could show is 1."""
    thread = thread_named("M10")
    step = 0.002
    total = sum(likelihood(thread, Measured(Reading(9 + step * i, 0.05))) * step for i in range(1, 1000))
    assert total == pytest.approx(1, abs=0.001)
