"""What must hold of every rubber in every fluid: hotter is never better, silence is never a yes, °F and °C agree."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.elastomer import RubberVerdict, Suitability, at_hottest, families_for, freezing, rubber_verdict
from catalog.orings.rubber_tables import Family, families, fluids, hard_stops, ratings
from catalog.standing import Standing

PAIRS = [(family, code) for family in Family for code in fluids()]
CAUTIOUS = (Suitability.WITH_CARE, Suitability.DOUBTFUL)
TEMPERATURES = (20, 40, 60, 61, 70, 71, 80, 81, 90, 100, 101, 110, 120, 121, 122, 130, 131, 150, 170, 200, 230, 300)


@pytest.mark.parametrize("family", list(Family))
def test_hotter_never_suits_better(family: Family) -> None:
    """Every fluid, over a ladder that steps on and over every limit in the tables."""
    for code in fluids():
        judged = [rubber_verdict(family, code, 20, hottest) for hottest in TEMPERATURES]
        ranks = [one.suitability.rank for one in judged]
        assert ranks == sorted(ranks), (family, code, ranks)
        numbers = [one.rating or 0 for one in judged]
        assert numbers == sorted(numbers), (family, code, numbers)


@given(st.sampled_from(PAIRS), st.floats(20, 320), st.floats(0, 100))
def test_hotter_never_suits_better_between_the_limits(pair: tuple[Family, str], hottest: float, more: float) -> None:
    cool, hot = (rubber_verdict(*pair, 20, limit) for limit in (hottest, hottest + more))
    assert hot.suitability.rank >= cool.suitability.rank


@given(st.sampled_from(PAIRS), st.floats(-210, 20), st.floats(0, 100))
def test_colder_never_suits_better(pair: tuple[Family, str], coldest: float, more: float) -> None:
    mild, cold = (rubber_verdict(*pair, limit, 60) for limit in (coldest, coldest - more))
    assert cold.suitability.rank >= mild.suitability.rank


@pytest.mark.parametrize("code", list(fluids()))
def test_silence_is_never_a_yes(code: str) -> None:
    """A pair is rated, stopped or not known; only a rating of 1, 2 or 3 is offered, and not known says so."""
    for family in Family:
        verdict = rubber_verdict(family, code, 20, 20)
        rating, stop = ratings().get((code, family)), hard_stops().get((code, family))
        about_fluid = next(reason for reason in verdict.reasons if reason.about == "fluid")
        if stop is not None:
            assert verdict.suitability is Suitability.UNSUITABLE
            assert stop.why in about_fluid.text
        elif rating is None:
            assert verdict.suitability.rank >= Suitability.NOT_KNOWN.rank
            assert "Not known" in about_fluid.text
            assert "Ask the ring's maker" in about_fluid.text
        elif verdict.suitability is Suitability.SUITABLE:
            assert rating.number == 1
        elif verdict.suitability is Suitability.WITH_CARE:
            assert rating.number < 3
        elif rating.number == 4:
            assert verdict.suitability is Suitability.UNSUITABLE


@pytest.mark.parametrize("code", list(fluids()))
def test_a_choice_names_every_family_once_and_offers_no_worse_one(code: str) -> None:
    choice = families_for(code, 20, 40)
    named = [one.family for one in (*choice.allowed, *choice.never, *choice.not_known)]
    assert sorted(named) == sorted(Family)
    assert all(one.suitability.offered for one in choice.allowed)
    assert all(one.suitability is Suitability.NOT_KNOWN for one in choice.not_known)
    assert choice.because


@pytest.mark.parametrize("code", list(fluids()))
def test_a_doubtful_family_stands_behind_every_better_one_and_says_so(code: str) -> None:
    """At every temperature: rated 3 by the fluid or by what takes over, it is not only "with care"."""
    for hottest in TEMPERATURES:
        allowed = families_for(code, 20, hottest).allowed
        worst = [max(_rated(one), default=0) for one in allowed]
        assert [one.suitability is Suitability.DOUBTFUL for one in allowed] == [number >= 3 for number in worst]
        assert [number >= 3 for number in worst] == sorted(number >= 3 for number in worst), (code, hottest)


def _rated(verdict: RubberVerdict) -> list[int]:
    """The numbers that its reasons print."""
    return [int(n) for one in verdict.reasons for n in re.findall(r"is rated (\d) of 4", one.text)]


def test_what_is_met_at_the_hottest_is_named() -> None:
    """Every fluid that another takes over from, just below, at and above where that begins."""
    taken_over = [row for row in fluids().values() if row.hotter_code]
    assert taken_over
    for row in taken_over:
        assert row.t_max_c is not None
        assert at_hottest(row.code, row.t_max_c) == row
        assert at_hottest(row.code, row.t_max_c + 0.1).code == row.hotter_code
    assert at_hottest("UTTO", 300).code == "UTTO"


def test_water_freezes_and_oil_does_not_say_so() -> None:
    """Common practice, no source: water turns to ice at 0 °C and expands."""
    cold = freezing("water", -0.1)
    assert cold is not None
    assert "freezes below 0 °C" in cold.rule
    assert freezing("WATER", 0) is None
    assert freezing("COOLANT", -30) is None
    assert freezing("UTTO", -30) is None


# 49 CFR 571.116 names SBR, ethylene-propylene, CR and NR as what brake fluid touches; DOT 5 is under it too.
@pytest.mark.parametrize("code", ["GLYCOL_BRAKE", "SILICONE_BRAKE"])
@pytest.mark.parametrize("hottest", [20, 60, 80])
def test_brake_fluid_takes_what_it_is_made_for_and_nothing_else(code: str, hottest: int) -> None:
    offered = {one.family for one in families_for(code, -20, hottest).allowed}
    assert offered == {Family.EPDM, Family.SBR, Family.CR, Family.NR, Family.PTFE}


def test_no_rubber_is_offered_both_in_a_glycol_brake_and_in_a_mineral_one() -> None:
    glycol, mineral = (
        {one.family for one in families_for(code, 0, 60).allowed} for code in ("GLYCOL_BRAKE", "MINERAL_BRAKE")
    )
    assert glycol & mineral == {Family.PTFE}


@given(st.sampled_from(PAIRS), st.floats(-60, 20), st.floats(20, 250))
def test_fahrenheit_and_celsius_give_the_same_verdict(pair: tuple[Family, str], low: float, high: float) -> None:
    def by_fahrenheit(celsius: float) -> float:
        return (celsius * 9 / 5 + 32 - 32) * 5 / 9

    there, back = rubber_verdict(*pair, low, high), rubber_verdict(*pair, by_fahrenheit(low), by_fahrenheit(high))
    assert there.suitability is back.suitability
    assert there.rating == back.rating


@pytest.mark.parametrize("family", list(Family))
def test_a_limit_belongs_to_what_it_limits_in_either_unit(family: Family) -> None:
    """At the printed limit, reached by way of °F, the family still serves; a tenth of a degree on it does not."""
    row = families()[family]

    def temperature(low: float, high: float) -> Suitability:
        verdict = rubber_verdict(family, "GREASE_SIL", low, high)
        return next(reason for reason in verdict.reasons if reason.about == "temperature").suitability

    low, high, short = ((limit * 9 / 5 + 32 - 32) * 5 / 9 for limit in (row.t_min_c, row.t_max_c, row.t_max_short_c))
    assert temperature(low, high) is Suitability.SUITABLE
    assert temperature(low, high + 0.1) is Suitability.WITH_CARE
    assert temperature(low, short) is Suitability.WITH_CARE
    assert temperature(low, short + 0.1) is Suitability.UNSUITABLE
    assert temperature(low - 0.1, high) is Suitability.UNSUITABLE


def test_two_cautions_are_no_permission() -> None:
    """CR is fair in oil and stands 110 °C for a short time only: each alone is with care, both are not known."""
    assert rubber_verdict("CR", "HM_HV", 20, 90).suitability is Suitability.WITH_CARE
    assert rubber_verdict("NBR", "HM_HV", 20, 110).suitability is Suitability.WITH_CARE
    both = rubber_verdict("CR", "HM_HV", 20, 110)
    assert both.suitability is Suitability.NOT_KNOWN
    assert "two cautions" in both.because[0].rule
    for pair in PAIRS:
        for hottest in TEMPERATURES:
            verdict = rubber_verdict(*pair, 20, hottest)
            kinds = {one.about for one in verdict.reasons if one.suitability in CAUTIOUS}
            assert len(kinds - {"recovery"}) < 2 or not verdict.suitability.offered, (pair, hottest)


def test_a_fluid_that_takes_over_is_never_judged_below_where_it_begins() -> None:
    """Steam at 20 °C is no question: the ring sees more than 80 °C."""
    assert rubber_verdict("AU", "STEAM").suitability is Suitability.UNSUITABLE
    told = next(one for one in rubber_verdict("EPDM", "STEAM").reasons if one.about == "temperature").text
    assert "20 to 80 °C is asked" in told


def _deciding(verdict: RubberVerdict) -> list[str]:
    return [one.text for one in verdict.reasons if one.suitability is verdict.suitability]


def test_because_holds_the_deciding_rules() -> None:
    for pair in PAIRS:
        verdict = rubber_verdict(*pair, -20, 90, pressure_bar=160, gap_mm=0.3)
        assert [one.rule for one in verdict.because] == _deciding(verdict)
        for one in verdict.because:
            assert one.source
            assert isinstance(one.standing, Standing)


def test_no_key_of_a_source_faces_anybody() -> None:
    key = re.compile(r"(?<![\w.])(?:S\d{2,3}|HBR|BIO|ETOH|E10I|E85H|MHT|CRO|RLH|MDTH|RCOMP|PREP)(?!\w)")
    for pair in PAIRS:
        verdict = rubber_verdict(*pair, -20, 150, pressure_bar=160, gap_mm=0.3)
        for reason in verdict.reasons:
            assert not key.search(f"{reason.text} {reason.source}"), reason
