"""A measured thread: what it is, how sure, what settles it. Simulated bolts follow the limits of the standards."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fasteners.flank import LEAVES, Flank, misread, seen
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


# Whitworth, BA, and what the flank angle says


def _chances(measured: Measured) -> dict[str, float]:
    return {one.thread.designation: one.probability for one in identify(measured).candidates}


def test_a_55_degree_leaf_names_whitworth() -> None:
    """The issue's case: 9.45 mm × 16 tpi × 55° was "3/8-16 UNC, 98 %"; BS 84 has 3/8 BSW with 16 threads per inch."""
    bolt = Measured(Reading(9.45, 0.05), pitch_from_tpi(16, 0.25))
    blind, leaf, sixty = (_chances(bolt._replace(flank=flank)) for flank in (None, Flank(55), Flank(60)))
    assert blind["3/8-16 UNC"] > 0.7
    assert blind["BSW 3/8"] > 0.1, "not told apart by diameter and pitch, so not denied"
    assert leaf["BSW 3/8"] > 0.8
    assert sixty["3/8-16 UNC"] > 0.95
    answer = identify(bolt)
    assert "55° leaf" in answer.settle
    assert any("Whitworth" in note for note in answer.notes)


def test_a_pitch_tells_half_inch_whitworth_from_unc() -> None:
    """1/2 BSW has 12 threads per inch (BS 84), 1/2 UNC 13 (ASME B1.1); 1/2-12 UNS is told by its flanks alone."""
    twelve = Measured(Reading(12.6, 0.05), pitch_from_tpi(12, 0.25))
    assert _chances(twelve)["BSW 1/2"] > 0.5
    assert "1/2-13 UNC" not in _chances(twelve)
    assert "55° leaf" in identify(twelve).settle
    assert _chances(twelve._replace(flank=Flank(55)))["BSW 1/2"] > 0.95
    assert _chances(twelve._replace(flank=Flank(60)))["1/2-12 UNS"] > 0.9
    assert _chances(Measured(Reading(12.6, 0.05), pitch_from_tpi(13, 0.25)))["1/2-13 UNC"] > 0.95


@pytest.mark.parametrize(
    ("diameter", "per_inch", "name"),
    [(6.3, 26, "BSF 1/4"), (7.85, 22, "BSF 5/16"), (9.45, 20, "BSF 3/8"), (11.0, 18, "BSF 7/16"), (12.6, 16, "BSF 1/2"),
     (19.0, 12, "BSF 3/4"), (25.3, 10, "BSF 1")],
)  # fmt: skip
def test_bsf_by_diameter_and_pitch(diameter: float, per_inch: float, name: str) -> None:
    """Threads per inch of BS 84."""
    chances = _chances(Measured(Reading(diameter, 0.05), pitch_from_tpi(per_inch, 0.25)))
    assert max(chances, key=lambda one: chances[one]) == name


def test_ba_is_named_by_its_own_leaf() -> None:
    """2 BA is 4.7 mm × 0.81 mm at 47.5° (BS 93); #10-32 UNF and 3/16 BSF are its neighbours."""
    screw = Measured(Reading(4.62, 0.03), Reading(0.81, 0.02), flank=Flank(47.5))
    assert identify(screw).candidates[0].thread.designation == "2 BA"
    assert identify(Measured(Reading(5.9, 0.05), Reading(1.0, 0.03))).candidates[0].thread.designation == "M6"


def test_a_measured_angle_counts_as_its_plus_minus_allows() -> None:
    bolt = Measured(Reading(9.45, 0.05), pitch_from_tpi(16, 0.25))
    sharp, blunt = (_chances(bolt._replace(flank=Flank(55, pm)))["BSW 3/8"] for pm in (1, 6))
    assert sharp > 0.99
    assert _chances(bolt)["BSW 3/8"] < blunt < sharp


@pytest.mark.parametrize("flank", [Flank(50), Flank(90, 2), Flank(55, 0), Flank(55, float("nan"))])
def test_a_flank_angle_that_cannot_be(flank: Flank) -> None:
    with pytest.raises(ValueError, match="56±2"):
        identify(Measured(Reading(9.45, 0.05), flank=flank))


def test_a_leaf_is_misread_more_often_on_a_finer_thread() -> None:
    rates = [misread(pitch) for pitch in (0.3, 0.5, 1.0, 1.5, 2.5, 5.0)]
    assert rates == sorted(rates, reverse=True)
    for pitch in (0.35, 1.0, 2.0):
        for true in LEAVES:
            assert sum(seen(Flank(leaf), true, pitch) for leaf in LEAVES) == pytest.approx(1)


# BS 84: T for 1/4-20 BSW is 0.0039 in; medium bolts 0.2427 to 0.2488 in by Machinery's Handbook, from memory. Here the
# close class, which may reach the nominal size, is let in as well.
def test_whitworth_limits() -> None:
    quarter = thread_named("1/4 BSW")
    assert quarter.major_low_mm / 25.4 == pytest.approx(0.2427, abs=0.0002)
    assert quarter.major_high_mm / 25.4 == pytest.approx(0.2500, abs=0.0001)
    # Depth 0.640327 p: minor diameters as a distributor's table prints them.
    for name, minor in (("BSW 3/8", 0.2950), ("BSW 1/2", 0.3933), ("BSW 1", 0.8400)):
        assert thread_named(name).minor_low_mm / 25.4 == pytest.approx(minor, abs=0.0002)


# BA: pitch 0.9^n mm and diameter 6 p^1.2 mm, both rounded to two figures (British Association, 1884; BS 93).
def test_ba_follows_its_two_formulas() -> None:
    for number in range(11):
        thread = thread_named(f"{number} BA")
        pitch = 0.9**number
        assert thread.pitch_mm == pytest.approx(pitch, abs=0.006)
        assert thread.diameter_mm == pytest.approx(6 * pitch**1.2, abs=0.06)


# Properties


@st.composite
def _true_bolt(draw: st.DrawFn) -> tuple[Thread, float, float]:
    straight = [thread for thread in all_threads() if not thread.tapered]
    thread = draw(st.sampled_from(straight))
    share = draw(st.floats(0.05, 0.95))
    diameter = thread.major_low_mm + share * (thread.major_high_mm - thread.major_low_mm)
    return thread, diameter, draw(st.sampled_from([0.02, 0.05, 0.1]))


@given(_true_bolt())
def test_a_tighter_reading_never_loses_the_true_thread(bolt: tuple[Thread, float, float]) -> None:
    """Right readings, read half as coarse: a thread that was first stays first."""
    thread, diameter, plus_minus = bolt

    def first(share: float) -> Thread:
        pitch = Reading(thread.pitch_mm, 0.03 * share)
        found = identify(Measured(Reading(diameter, plus_minus * share), pitch, flank=Flank(thread.flank_angle_deg, 2)))
        return found.candidates[0].thread

    if first(1.0) == thread:
        assert first(0.5) == thread


@given(st.floats(0.1, 2.5), st.sampled_from([8, 10, 12, 13, 14, 16, 18, 20, 24, 28]))
def test_the_same_reading_in_inches_is_the_same_answer(inches: float, per_inch: int) -> None:
    metric = Measured(Reading(inches * 25.4, 0.002 * 25.4), Reading(25.4 / per_inch, 0.001 * 25.4))
    inch = Measured(Reading(25.4 * inches, 25.4 * 0.002), Reading(25.4 * (1 / per_inch), 25.4 * 0.001))
    one, other = (identify(measured) for measured in (metric, inch))
    assert [c.thread for c in one.candidates] == [c.thread for c in other.candidates]
    for first, second in zip(one.candidates, other.candidates, strict=True):
        assert first.probability == pytest.approx(second.probability, rel=1e-6)


def test_every_answer_says_why() -> None:
    answer = identify(Measured(Reading(9.45, 0.05), pitch_from_tpi(16, 0.25), wear=Wear.WORN, flank=Flank(55)))
    assert answer.because[0].rule.startswith("BSW 3/8, bolt or plug")
    assert all(one.rule and one.source for one in answer.because)
    assert any("6 of 100" in one.rule for one in answer.because)
