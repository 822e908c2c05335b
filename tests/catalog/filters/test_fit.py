"""Judging elements in housings. Each case is common practice, no source, unless a source stands beside it."""

import pytest

from catalog.filters.element import NO_BYPASS, Bypass, Element, End, EndForm, EndSeal, Gasket, Kind, Spring, thread_size
from catalog.filters.fit import judge
from catalog.filters.grade import Grade, Way
from catalog.filters.housing import BypassPlace, Duty, GasketLand, Housing, Position, Seat, SeatForm, Where
from catalog.filters.media import mesh, rated, wire_cloth
from tests.catalog.filters.bench import CAN, CARTRIDGE, HEAD, HOUSING, line


def test_what_fits_in_every_respect_fits() -> None:
    for element, housing in ((CARTRIDGE, HOUSING), (CAN, HEAD)):
        fit = judge(element, housing)
        assert fit.overall is Grade.FITS, fit.criteria[0]
        assert fit.to_measure == ()


def test_worst_comes_first_and_hard_before_soft() -> None:
    fit = judge(CARTRIDGE._replace(medium=mesh(100), length_mm=100, od_mm=None), HOUSING)
    ranks = [criterion.grade.rank for criterion in fit.criteria]
    assert ranks == sorted(ranks, reverse=True)
    assert fit.criteria[0].name == "length"
    assert fit.overall is Grade.DOES_NOT


def test_too_short_for_the_spring_floats_and_says_what_it_lets_through() -> None:
    """Spring 25 mm free in 135 mm of depth: an element under 110 mm is not held."""
    fit = judge(CARTRIDGE._replace(length_mm=105), HOUSING)
    short = line(fit, "length")
    assert short.grade is Grade.DOES_NOT
    assert "too short by 5.0 mm" in short.sentence
    assert "floats off its seat at the head end" in short.sentence
    assert "unfiltered oil" in short.sentence


@pytest.mark.parametrize(
    ("length", "grade"),
    [
        (105, Grade.DOES_NOT),
        (110, Grade.DOES_NOT),
        (111, Grade.WITH_CARE),
        (115, Grade.FITS),
        (126, Grade.FITS),
        (126.8, Grade.WITH_CARE),
        (128, Grade.DOES_NOT),
        (140, Grade.DOES_NOT),
    ],
)
def test_length_within_the_travel_of_the_spring(length: float, grade: Grade) -> None:
    """135 mm of depth, spring 25 mm free and 8 mm compressed: 110 to 127 mm, and care near both ends."""
    assert line(judge(CARTRIDGE._replace(length_mm=length), HOUSING), "length").grade is grade


def test_a_spring_on_the_element_counts_as_the_housings_does() -> None:
    sprung = CARTRIDGE._replace(second=End(EndForm.SPRUNG), spring=Spring(25, 8))
    assert line(judge(sprung, HOUSING._replace(spring=Spring(0, 0))), "length").grade is Grade.FITS
    assert line(judge(sprung._replace(spring=None), HOUSING), "length").grade is Grade.MEASURE


@pytest.mark.parametrize(
    ("length", "grade"),
    [
        (131, Grade.DOES_NOT),
        (134, Grade.DOES_NOT),
        (135.2, Grade.WITH_CARE),
        (136.5, Grade.FITS),
        (139, Grade.DOES_NOT),
    ],
)
def test_without_a_spring_the_cover_nips_a_gasket_by_one_to_three_mm(length: float, grade: Grade) -> None:
    """Trade practice, from memory: cap compression about 1 to 3 mm."""
    gasketed = CARTRIDGE._replace(first=End(EndForm.OPEN, 30.9, EndSeal.GASKET), length_mm=length)
    assert line(judge(gasketed, HOUSING._replace(spring=Spring(0, 0))), "length").grade is grade


@pytest.mark.parametrize(
    ("length", "grade"),
    [
        (132.5, Grade.DOES_NOT),
        (133.5, Grade.WITH_CARE),
        (134.5, Grade.FITS),
        (135.5, Grade.WITH_CARE),
        (136.5, Grade.DOES_NOT),
    ],
)
def test_without_a_spring_a_rubber_ring_on_its_spigot_holds_a_little_play(length: float, grade: Grade) -> None:
    fit = judge(CARTRIDGE._replace(length_mm=length), HOUSING._replace(spring=Spring(0, 0)))
    assert line(fit, "length").grade is grade


def test_tapered_in_parallel_is_with_care_and_tapered_in_tapered_fits() -> None:
    """ISO 7-1 allows a tapered male in a parallel female; a parallel male in a tapered hole is not asked for."""
    strainer = Element(Kind.SUCTION_STRAINER, thread=thread_size("R 1"))
    assert line(judge(strainer, Housing(thread=thread_size("G 1"))), "thread").grade is Grade.WITH_CARE
    assert line(judge(strainer, Housing(thread=thread_size("R 1"))), "thread").grade is Grade.FITS
    measured = thread_size("R 1")._replace(diameter_mm=32.9)
    assert line(judge(strainer, Housing(thread=measured)), "thread").grade is Grade.FITS
    assert line(judge(strainer, Housing(thread=thread_size("NPT 1"))), "thread").grade is Grade.DOES_NOT


def test_the_open_end_at_the_wrong_side() -> None:
    """Forced the wrong way, the closed end covers the outlet and the open end takes unfiltered oil."""
    fit = judge(CARTRIDGE, HOUSING, Way.TURNED)
    assert fit.overall is Grade.DOES_NOT
    wrong = line(fit, "which way round")
    assert "closed end is at the head end" in wrong.sentence
    assert "unfiltered oil" in wrong.sentence
    leak = line(fit, "seal at the cover end")
    assert leak.grade is Grade.DOES_NOT
    assert "unfiltered oil goes straight through the opening" in leak.sentence


def test_an_element_that_can_be_turned_is_turned() -> None:
    fit = judge(CARTRIDGE.turned(), HOUSING)
    assert (fit.way, fit.overall) == (Way.TURNED, Grade.FITS)
    assert "Turned end for end it comes out worse" in line(fit, "which way round").sentence


def test_an_open_end_with_nothing_to_seal_on_is_named() -> None:
    both = CARTRIDGE._replace(second=End(EndForm.OPEN, 20, EndSeal.BARE))
    fit = judge(both, HOUSING, Way.AS_WRITTEN)
    assert fit.overall is Grade.DOES_NOT
    assert line(fit, "seal at the head end").grade is Grade.FITS
    assert line(fit, "seal at the cover end").grade is Grade.DOES_NOT


def test_a_screened_far_end_filters_only_as_its_screen() -> None:
    screened = CARTRIDGE._replace(second=End(EndForm.SCREENED, 20, EndSeal.BARE))
    leak = line(judge(screened, HOUSING, Way.AS_WRITTEN), "seal at the cover end")
    assert leak.grade is Grade.WITH_CARE
    assert "screen" in leak.sentence


@pytest.mark.parametrize(
    ("bore", "seal", "grade"),
    [
        (30.0, EndSeal.GROMMET, Grade.FITS),
        (30.75, EndSeal.GROMMET, Grade.WITH_CARE),
        (31.0, EndSeal.GROMMET, Grade.DOES_NOT),
        (27.0, EndSeal.GROMMET, Grade.DOES_NOT),
        (30.9, EndSeal.BARE, Grade.FITS),
        (31.1, EndSeal.BARE, Grade.WITH_CARE),
        (31.4, EndSeal.BARE, Grade.WITH_CARE),
        (32.0, EndSeal.BARE, Grade.DOES_NOT),
        (30.0, EndSeal.BARE, Grade.DOES_NOT),
        (30.6, EndSeal.BARE, Grade.WITH_CARE),
        (30.6, None, Grade.MEASURE),
        (33.0, None, Grade.DOES_NOT),
    ],
)
def test_a_bore_on_a_30_8_mm_spigot(bore: float, seal: EndSeal | None, grade: Grade) -> None:
    element = CARTRIDGE._replace(first=End(EndForm.OPEN, bore, seal))
    assert line(judge(element, HOUSING), "seal at the head end").grade is grade


def test_a_loose_bore_tells_how_large_the_dirt_is_that_passes() -> None:
    """ASTM E11: 60 mesh holds back 250 µm; a gap of 1.2 mm passes 1,200."""
    element = CARTRIDGE._replace(first=End(EndForm.OPEN, 32.0, EndSeal.BARE))
    said = line(judge(element, HOUSING), "seal at the head end").sentence
    assert "1200 µm against 250 µm" in said
    assert "unfiltered oil passes" in said


def test_a_bare_bore_must_be_closer_than_the_medium_is_fine() -> None:
    """0.2 mm of slack is a slip fit for 60 mesh (250 µm, ASTM E11), and a leak for 100 mesh (150 µm)."""
    loose = CARTRIDGE._replace(first=End(EndForm.OPEN, 31.0, EndSeal.BARE))
    assert line(judge(loose, HOUSING), "seal at the head end").grade is Grade.FITS
    fine = line(judge(loose._replace(medium=mesh(100)), HOUSING), "seal at the head end")
    assert fine.grade is Grade.WITH_CARE
    assert "200 µm against 150 µm" in fine.sentence


@pytest.mark.parametrize(
    ("od", "bore", "seal", "grade"),
    [
        (60, 30, EndSeal.GASKET, Grade.FITS),
        (60, 57, EndSeal.GASKET, Grade.WITH_CARE),
        (60, 59.5, EndSeal.GASKET, Grade.DOES_NOT),
        (60, 30, EndSeal.BARE, Grade.WITH_CARE),
        (60, 30, None, Grade.MEASURE),
        (39, 30, EndSeal.GASKET, Grade.DOES_NOT),
    ],
)
def test_an_end_on_a_flat_seat(od: float, bore: float, seal: EndSeal | None, grade: Grade) -> None:
    """A flat seat from 40 to 70 mm: the end must cover at least 2 mm of it all round (our rule)."""
    housing = HOUSING._replace(head=Seat(SeatForm.FLAT, 40, 70))
    element = CARTRIDGE._replace(od_mm=od, first=End(EndForm.OPEN, bore, seal))
    assert line(judge(element, housing), "seal at the head end").grade is grade


# Threads that start on each other (from memory; M20 × 1.5 and 3/4-16 also in engineerfix.com).
@pytest.mark.parametrize(
    ("have", "need"),
    [
        ("M20x1.5", "3/4-16"),
        ("13/16-16", "M20x1.5"),
        ("M18x1.5", "11/16-16"),
        ("1-12", "1-14"),
        ("M22x1.5", "7/8-14"),
        ("M27x2", "G 3/4"),
    ],
)
def test_threads_that_start_on_each_other_do_not_fit(have: str, need: str) -> None:
    fit = judge(CAN._replace(thread=thread_size(have)), HEAD._replace(thread=thread_size(need)))
    thread = fit.criteria[0]
    assert (thread.name, thread.grade) == ("thread", Grade.DOES_NOT)
    assert "look alike" in thread.sentence


def test_a_thread_measured_by_caliper_is_still_the_same_thread() -> None:
    measured = thread_size("3/4-16")._replace(diameter_mm=18.9, pitch_mm=1.6, designation="")
    assert line(judge(CAN._replace(thread=measured), HEAD), "thread").grade is Grade.FITS
    off = measured._replace(pitch_mm=1.5)
    assert line(judge(CAN._replace(thread=off), HEAD), "thread").grade is Grade.DOES_NOT
    other = line(judge(CAN._replace(thread=thread_size("1 1/2-16")), HEAD), "thread")
    assert "does not screw on" in other.sentence


@pytest.mark.parametrize(
    ("gasket", "land", "grade"),
    [
        (Gasket(62, 71, 6), GasketLand(60, 73, 3), Grade.FITS),
        (Gasket(62, 71, 6), GasketLand(60, 70.5, 3), Grade.WITH_CARE),
        (Gasket(62, 71, 6), GasketLand(60, 68, 3), Grade.DOES_NOT),
        (Gasket(80, 90, 6), GasketLand(60, 73, 3), Grade.DOES_NOT),
        (Gasket(62, 71, 3.5), GasketLand(60, 73, 3), Grade.DOES_NOT),
        (Gasket(62, 71, None), GasketLand(60, 73, 3), Grade.MEASURE),
        (Gasket(62, 71, 6), GasketLand(60, 73, None), Grade.MEASURE),
        (Gasket(62, None, 6), GasketLand(60, 73, 3), Grade.MEASURE),
    ],
)
def test_gasket_on_its_land(gasket: Gasket, land: GasketLand, grade: Grade) -> None:
    assert line(judge(CAN._replace(gasket=gasket), HEAD._replace(gasket_land=land)), "gasket").grade is grade


@pytest.mark.parametrize(
    ("rating", "most", "grade"),
    [
        (7, 3, Grade.FITS),
        (4, 3, Grade.WITH_CARE),
        (3, 3, Grade.DOES_NOT),
        (7, None, Grade.MEASURE),
        (None, 3, Grade.MEASURE),
    ],
)
def test_collapse(rating: float | None, most: float | None, grade: Grade) -> None:
    """ISO 2941: the rating must be above the greatest pressure difference."""
    fit = judge(CAN._replace(collapse_bar=rating), HEAD._replace(max_differential_bar=most))
    assert line(fit, "collapse").grade is grade


def test_a_bypass_above_the_collapse_rating_is_too_late() -> None:
    late = judge(CAN._replace(bypass=Bypass(True, 8.0)), HEAD)
    assert line(late, "collapse").grade is Grade.DOES_NOT


def test_a_pump_cannot_pull_harder_than_the_atmosphere() -> None:
    """Standard atmosphere 1.013 bar (ISO 2533): the most a suction element meets."""
    assert "1.013 bar" in line(judge(CARTRIDGE, HOUSING), "collapse").sentence
    assert line(judge(CARTRIDGE._replace(collapse_bar=1.0), HOUSING), "collapse").grade is Grade.DOES_NOT


def test_a_finer_suction_medium_starves_a_cold_pump() -> None:
    finer = line(judge(CARTRIDGE._replace(medium=mesh(100)), HOUSING), "medium")
    assert finer.grade is Grade.WITH_CARE
    assert not finer.hard
    assert "150 against 250 µm" in finer.sentence
    assert "starves the pump" in finer.sentence
    on_return = judge(CARTRIDGE._replace(medium=mesh(100)), HOUSING._replace(duty=Duty.RETURN, max_differential_bar=2))
    assert "starves" not in line(on_return, "medium").sentence
    coarser = line(judge(CARTRIDGE._replace(medium=mesh(30)), HOUSING), "medium")
    assert "coarser" in coarser.sentence


def test_media_that_cannot_be_compared_are_never_the_same() -> None:
    """ISO 16889: a beta rating is a test result; nominal ratings and openings are not."""
    for have, need in ((rated(250), mesh(60)), (rated(25), rated(25)), (rated(25), rated(25, 75))):
        fit = judge(CARTRIDGE._replace(medium=have), HOUSING._replace(medium=need))
        assert line(fit, "medium").grade is Grade.WITH_CARE
    better = judge(CAN._replace(medium=rated(25, 200)), HEAD)
    assert "finer" in line(better, "medium").sentence
    worse = judge(CAN._replace(medium=rated(40, 2)), HEAD)
    assert "coarser" in line(worse, "medium").sentence
    assert line(judge(CARTRIDGE._replace(medium=wire_cloth()), HOUSING), "medium").grade is Grade.MEASURE
    assert line(judge(CARTRIDGE._replace(medium=wire_cloth(250)), HOUSING), "medium").grade is Grade.FITS


@pytest.mark.parametrize(
    ("place", "own", "asked", "grade"),
    [
        (BypassPlace.ELEMENT, Bypass(True, 1.0), 1.0, Grade.FITS),
        (BypassPlace.ELEMENT, Bypass(True, 0.5), 1.0, Grade.WITH_CARE),
        (BypassPlace.ELEMENT, Bypass(True, 2.0), 1.0, Grade.WITH_CARE),
        (BypassPlace.ELEMENT, Bypass(True, None), 1.0, Grade.MEASURE),
        (BypassPlace.ELEMENT, Bypass(True, 1.0), None, Grade.MEASURE),
        (BypassPlace.ELEMENT, NO_BYPASS, 1.0, Grade.DOES_NOT),
        (BypassPlace.HOUSING, NO_BYPASS, None, Grade.FITS),
        (BypassPlace.HOUSING, Bypass(True, 1.0), None, Grade.WITH_CARE),
        (BypassPlace.NONE, NO_BYPASS, None, Grade.FITS),
        (BypassPlace.NONE, Bypass(True), None, Grade.WITH_CARE),
        (BypassPlace.HOUSING, None, None, Grade.MEASURE),
        (None, NO_BYPASS, None, Grade.MEASURE),
    ],
)
def test_bypass_once_and_at_its_pressure(
    place: BypassPlace | None, own: Bypass | None, asked: float | None, grade: Grade
) -> None:
    """No bypass where it belongs in the element, or one too many, is the common misuse (kevinsautos.com)."""
    fit = judge(CAN._replace(bypass=own), HEAD._replace(bypass=place, bypass_opens_bar=asked))
    assert line(fit, "bypass").grade is grade


@pytest.mark.parametrize(
    ("position", "valve", "grade"),
    [
        (Position.HANGING, None, Grade.FITS),
        (Position.HORIZONTAL, True, Grade.FITS),
        (Position.HORIZONTAL, False, Grade.WITH_CARE),
        (Position.INVERTED, False, Grade.WITH_CARE),
        (Position.INVERTED, None, Grade.MEASURE),
        (None, True, Grade.MEASURE),
    ],
)
def test_the_valve_matters_where_the_can_lies_or_stands(
    position: Position | None, valve: bool | None, grade: Grade
) -> None:
    """A can mounted level or at an angle drains without the valve (filfilter.com.tr, valves of the oil filter)."""
    fit = judge(CAN._replace(anti_drain_back=valve), HEAD._replace(position=position))
    assert line(fit, "anti-drain-back valve").grade is grade


def test_too_little_flow_is_said_in_percent() -> None:
    small = line(judge(CARTRIDGE._replace(flow_l_min=30), HOUSING), "flow")
    assert small.grade is Grade.WITH_CARE
    assert "25 % short" in small.sentence
    assert "starves the pump" in small.sentence


def test_the_wrong_kind_stops_there() -> None:
    fit = judge(CAN, HOUSING)
    assert [criterion.name for criterion in fit.criteria] == ["kind"]
    assert fit.overall is Grade.DOES_NOT


def test_a_can_needs_room() -> None:
    assert line(judge(CAN._replace(length_mm=180), HEAD), "length").grade is Grade.DOES_NOT
    assert line(judge(CAN._replace(length_mm=177), HEAD), "length").grade is Grade.WITH_CARE
    assert line(judge(CAN._replace(od_mm=121), HEAD), "outside diameter").grade is Grade.DOES_NOT
    assert line(judge(CAN._replace(od_mm=118), HEAD), "outside diameter").grade is Grade.WITH_CARE


def test_a_screwed_strainer_and_an_in_line_filter_have_their_own_lines() -> None:
    strainer = Element(Kind.SUCTION_STRAINER, thread=thread_size("M42x2"), length_mm=100)
    tank = Housing(Kind.SUCTION_STRAINER, thread=thread_size("G 1 1/4"), depth_mm=150)
    assert judge(strainer, tank).criteria[0].name == "thread"
    in_line = Element(Kind.IN_LINE, first=End(None, 8), second=End(None, 8), length_mm=60)
    hose = Housing(Kind.IN_LINE, depth_mm=100, head=Seat(diameter_mm=8), cover=Seat(diameter_mm=10))
    fit = judge(in_line, hose)
    assert fit.criteria[0].name in {"hose at the cover end", "hose at the head end"}
    assert fit.overall is Grade.DOES_NOT


def test_sentences_are_sentences_and_rules_have_sources() -> None:
    for element, housing in ((CARTRIDGE, HOUSING), (CAN, HEAD), (Element(Kind.CARTRIDGE), Housing())):
        for criterion in judge(element, housing).criteria:
            assert criterion.sentence.endswith(".")
            assert criterion.sentence[0].isupper() or criterion.sentence[0].isdigit()
            assert criterion.source


def test_the_outlet_at_the_cover() -> None:
    housing = HOUSING._replace(outlet=Where.COVER, cover=Seat(SeatForm.SPIGOT, 30.8), head=Seat(SeatForm.NONE))
    fit = judge(CARTRIDGE, housing)
    assert (fit.way, fit.overall) == (Way.TURNED, Grade.FITS)
