"""Rubber: hard stops, ratings against a second table, temperature, extrusion, shelf age. Sources beside the checks."""

from __future__ import annotations

from datetime import date

import pytest

from catalog.orings.elastomer import Suitability, families_for, identify_by_look, rubber_verdict
from catalog.orings.extrusion import allowed_gap
from catalog.orings.rubber_tables import Family, families, fluids, hard_stops, ratings, rows_of
from catalog.orings.shelf_age import ShelfRule, expires_on, quarter_end, shelf_life
from catalog.standing import Standing

# NOTES §B, the directions that must never be offered (S23 S24 S26 S27 S110).
NEVER = [
    *((Family.EPDM, oil) for oil in ("HM_HV", "UTTO", "ENGINE", "ATF", "GL4", "GL5", "GREASE_MIN", "DIESEL")),
    *(
        (family, "GLYCOL_BRAKE")
        for family in Family
        if family not in (Family.EPDM, Family.SBR, Family.CR, Family.NR, Family.PTFE)
    ),
    *((family, "MINERAL_BRAKE") for family in (Family.EPDM, Family.SBR, Family.NR, Family.IIR, Family.VMQ)),
    *((family, oil) for family in (Family.SBR, Family.NR, Family.IIR) for oil in ("HM_HV", "UTTO", "PETROL_E10")),
    *((family, "LPG") for family in (Family.EPDM, Family.NR, Family.VMQ)),
    *((family, fuel) for family in (Family.AU_EU, Family.NR, Family.EPDM) for fuel in ("E85",)),
    *((family, fuel) for family in (Family.VMQ, Family.EPDM) for fuel in ("PETROL_E10", "DIESEL")),
    *((family, wet) for family in (Family.ACM, Family.AU_EU) for wet in ("STEAM", "COOLANT", "HFC", "AUS32")),
    (Family.FKM, "R134A_PAG"),
]


@pytest.mark.parametrize(("family", "fluid"), NEVER)
def test_hard_stops(family: Family, fluid: str) -> None:
    verdict = rubber_verdict(family, fluid, 20, 60)
    assert verdict.suitability is Suitability.UNSUITABLE
    assert verdict.reasons[0].about == "fluid"
    choice = families_for(fluid, 20, 60)
    assert family in {one.family for one in choice.never}
    assert family not in {one.family for one in choice.allowed}


def test_warm_water_stops_what_hot_water_stops() -> None:
    """ACM and AU break down in hot water: WATER ends at 80 °C and STEAM takes over above it."""
    for family in (Family.ACM, Family.AU_EU):
        assert rubber_verdict(family, "WATER", 5, 95).suitability is Suitability.UNSUITABLE
    assert rubber_verdict("NBR", "WATER", 5, 60).suitability is Suitability.SUITABLE
    assert rubber_verdict("NBR", "WATER", 5, 95).suitability is Suitability.UNSUITABLE
    assert families_for("WATER", 5, 95).allowed[0].family is Family.EPDM


@pytest.mark.parametrize(
    ("fluid", "first"),
    [
        ("HM_HV", Family.NBR),  # S27: NBR is the default for mineral oil
        ("GLYCOL_BRAKE", Family.EPDM),  # S26: EPDM is the choice for glycol brake fluid
        ("STEAM", Family.EPDM),  # S22: EPDM to 175 °C in steam, peroxide cured
        ("MINERAL_BRAKE", Family.NBR),  # common practice, no source
        ("HFDU", Family.FKM),  # common practice, no source
        ("E85", Family.FKM),  # US Department of Energy's E85 handbook lists FKM as resistant
        ("B100", Family.FKM),  # published test at 20, 40 and 70 °C: FKM among the most resistant
        ("R134A_PAG", Family.HNBR),  # elastomers table, S21: usual choice for R134a with PAG
    ],
)
def test_best_first(fluid: str, first: Family) -> None:
    low, high = (100, 120) if fluid == "STEAM" else (0, 60)
    assert families_for(fluid, low, high).allowed[0].family is first


@pytest.mark.parametrize(
    ("family", "low", "high"),
    [("NBR", -30, 100), ("HNBR", -30, 150), ("EPDM", -45, 130), ("VMQ", -55, 200), ("CR", -40, 100), ("FKM", -15, 200)],
)  # S21, S22; the more careful of two prints
def test_service_temperatures(family: str, low: float, high: float) -> None:
    row = families()[Family(family)]
    assert (row.t_min_c, row.t_max_c) == (low, high)
    fluid = "AIR" if family in ("EPDM", "VMQ", "CR") else "HM_HV"

    def at(t_min: float, t_max: float) -> Suitability:
        verdict = rubber_verdict(family, fluid, t_min, t_max)
        return next(reason for reason in verdict.reasons if reason.about == "temperature").suitability

    assert at(low, high) is Suitability.SUITABLE
    assert at(low - 1, high) is Suitability.UNSUITABLE
    assert at(low, row.t_max_short_c) is Suitability.WITH_CARE
    assert at(low, row.t_max_short_c + 1) is Suitability.UNSUITABLE


GRADES = {"E": {1}, "G": {1, 2}, "F": {2, 3}, "P": {3, 4}}


def _numbers(grade: str) -> set[int]:
    order = "PFGE"
    first, last = grade.split("-")[0], grade.split("-")[-1]
    return set().union(*(GRADES[letter] for letter in order[order.index(first) : order.index(last) + 1]))


def test_ratings_against_the_second_table() -> None:
    """S110 prints E, G, F, P for groups of fluids: every rating that leaves its letter's numbers is listed with why."""
    grades = {(row["group"], row["family"]): row["grade"] for row in rows_of("groups")}
    differ = set()
    compared = 0
    for (code, family), rating in ratings().items():
        if (grade := grades.get((fluids()[code].group, str(family)))) is None:
            continue
        compared += 1
        if rating.number not in _numbers(grade):
            differ.add((code, str(family), str(rating.number), fluids()[code].group, grade))
    listed = {
        (row["fluid"], row["family"], row["rating"], row["group"], row["grade"]) for row in rows_of("disagreements")
    }
    assert differ == listed
    assert (compared, len(listed)) == (138, 12)
    assert all(row["why"] for row in rows_of("disagreements"))


def test_where_two_tables_disagree_the_worse_is_kept() -> None:
    for row in rows_of("disagreements"):
        assert int(row["rating"]) > max(_numbers(row["grade"])), row


def test_standing_is_honest() -> None:
    """Ratings are consensus from memory, whatever print says of their direction."""
    assert {rating.standing for rating in ratings().values()} == {Standing.MEMORY}
    assert len(ratings()) == 489
    assert all(stop.why and stop.source for stop in hard_stops().values())
    for (code, family), _ in hard_stops().items():
        assert code in fluids()
        assert family in families()
        rating = ratings().get((code, family))
        assert rating is None or rating.number == 4, (code, family)
    assert {stop.standing for stop in hard_stops().values()} <= {
        *(Standing.PUBLISHED, Standing.INFERRED, Standing.MEMORY),
    }


@pytest.mark.parametrize(
    ("shore", "bar", "inches"),
    [
        (70, 30, 0.016),
        (70, 60, 0.010),
        (70, 100, 0.006),
        (70, 130, 0.004),
        (70, 200, 0.002),
        (90, 30, 0.028),
        (90, 200, 0.010),
        (80, 60, 0.010),
    ],
)  # S12, printed in inches and psi; 80 Shore A is judged as 70
def test_extrusion_gap(shore: int, bar: float, inches: float) -> None:
    limit = allowed_gap(bar, shore)
    assert limit is not None
    assert limit.diametral_mm == pytest.approx(inches * 25.4, rel=1e-12)
    assert limit.standing is Standing.PUBLISHED
    half = allowed_gap(bar, shore, silicone=True)  # S15: half for silicone
    assert half is not None
    assert half.diametral_mm == limit.diametral_mm / 2


@pytest.mark.parametrize(
    ("psi", "inches"), [(500, 0.016), (1000, 0.010), (1500, 0.006), (2000, 0.004), (3000, 0.002)]
)  # S12: each band up to and with its printed pressure
def test_a_band_ends_with_its_printed_pressure(psi: float, inches: float) -> None:
    limit = allowed_gap(psi * 6894.757293168361 / 1e5, 70)
    assert limit is not None
    assert limit.diametral_mm == pytest.approx(inches * 25.4, rel=1e-12)
    past = allowed_gap(psi * 6894.757293168361 / 1e5 * 1.0001, 70)
    assert past is None or past.diametral_mm < limit.diametral_mm


def test_quarter_millimetre() -> None:
    """NOTES §B: 0.25 mm on diameter is good to about 69 bar at 70 Shore A and 207 bar at 90 (S12)."""
    for shore_a, bar in ((70, 68.9), (90, 206.8)):
        up_to, past = allowed_gap(bar, shore_a), allowed_gap(bar * 1.01, shore_a)
        assert up_to is not None
        assert up_to.diametral_mm >= 0.25
        assert past is None or past.diametral_mm < 0.25


def test_beyond_the_published_table() -> None:
    # 0.03 mm on the radius: a part pushed over by all its clearance opens all of it there, a centred one half.
    memory, centred = allowed_gap(300, 90, 3.53), allowed_gap(300, 90, 3.53, play_share=0.0)
    assert memory is not None
    assert centred is not None
    assert (memory.diametral_mm, memory.standing) == (0.03, Standing.MEMORY)
    assert centred.diametral_mm == 0.06
    assert allowed_gap(300, 70, 3.53) is None
    assert allowed_gap(400, 90, 3.53) is None
    gaps = [limit.diametral_mm for bar in range(0, 207, 5) if (limit := allowed_gap(bar, 70)) is not None]
    assert gaps == sorted(gaps, reverse=True)


def test_pressure_and_gap_in_the_choice() -> None:
    wide = families_for("HM_HV", 0, 80, 160, 0.2)
    assert wide.allowed
    assert all(one.suitability in (Suitability.WITH_CARE, Suitability.DOUBTFUL) for one in wide.allowed)
    tight = families_for("HM_HV", 0, 80, 160, 0.0)
    assert tight.allowed[0].suitability is Suitability.SUITABLE
    back_up = rubber_verdict("NBR", "HM_HV", 0, 80, pressure_bar=160)  # S15: investigate above 103.5 bar
    assert "back-up" in back_up.reasons[0].text
    assert rubber_verdict("VMQ", "AIR", 0, 60, moving=True).suitability is Suitability.UNSUITABLE


# BS ISO 2230:2002 as extracted by a seal maker (S201): group, first period, extension.
@pytest.mark.parametrize(
    ("families_in", "group", "years", "more"),
    [
        (("NR", "SBR", "AU", "EU"), "A", 5, 2),
        (("NBR", "HNBR", "CR", "ACM", "IIR"), "B", 7, 3),
        (("FKM", "EPDM", "VMQ", "FVMQ"), "C", 10, 5),
    ],
)
def test_iso_2230(families_in: tuple[str, ...], group: str, years: int, more: int) -> None:
    for family in families_in:
        life = shelf_life(family)
        assert (life.group, life.years, life.extension_years) == (group, years, more)
        assert life.standing is Standing.PUBLISHED
        assert expires_on(date(2020, 3, 31), family) == date(2020 + years, 3, 31)
        assert expires_on(date(2020, 3, 31), family, extended=True) == date(2020 + years + more, 3, 31)


@pytest.mark.parametrize(
    ("family", "years"),
    [("AU", 5), ("NBR", 15), ("HNBR", 15), ("CR", 15), ("ACM", 15), ("FKM", None), ("EPDM", None), ("VMQ", None)],
)
def test_arp5316(family: str, years: int | None) -> None:  # SAE ARP5316 as summarised by a distributor (S202)
    assert shelf_life(family, ShelfRule.ARP5316).years == years
    assert (expires_on(date(2020, 1, 1), family, ShelfRule.ARP5316) is None) == (years is None)


def test_dates() -> None:
    assert expires_on(date(2024, 2, 29), "NBR") == date(2031, 2, 28)
    assert expires_on(date(2024, 2, 29), "PTFE") is None
    assert [quarter_end(2024, quarter) for quarter in (1, 2, 3, 4)] == [
        date(2024, 3, 31),
        date(2024, 6, 30),
        date(2024, 9, 30),
        date(2024, 12, 31),
    ]
    for family in Family:
        for rule in ShelfRule:
            assert shelf_life(family, rule).source
    strict, long = shelf_life("NBR").years, shelf_life("NBR", ShelfRule.ARP5316).years
    assert strict is not None
    assert long is not None
    assert strict < long


def test_black_and_soft_is_no_rubber() -> None:
    answer = identify_by_look("black", "soft")
    assert answer.families == ()
    assert "black, soft" in answer.text
    assert "service" in answer.text


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: rubber_verdict("XYZ", "HM_HV"), "not a rubber family"),
        (lambda: rubber_verdict("NBR", "HONEY"), "not a fluid code"),
        (lambda: rubber_verdict("NBR", "HM_HV", 80, 20), "swap them"),
        (lambda: allowed_gap(-1, 70), "not a pressure"),
        (lambda: allowed_gap(10, 20), "not an O-ring's hardness"),
        (lambda: quarter_end(2024, 5), "not a quarter"),
    ],
)
def test_bad_input_gets_one_sentence(call: object, words: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=words):
        call()
