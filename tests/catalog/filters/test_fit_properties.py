"""What must hold of every judgement: unknown never fits, and worse never comes out better."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.filters.element import Element, End, EndForm, EndSeal, Kind, Spring, thread_size
from catalog.filters.fit import judge
from catalog.filters.grade import Grade, figure
from catalog.filters.housing import BypassPlace, Duty, Housing, Position, Seat, SeatForm, Where
from catalog.filters.media import mesh, rated
from catalog.filters.screwed import same_thread, spin_on_threads
from tests.catalog.filters.bench import CAN, CARTRIDGE, HEAD, HOUSING, line

# What a judgement of each kind needs. A bypass in the housing has no pressure to match; a spin-on has no ends.
NEEDED_OF_CARTRIDGE = ("od_mm", "length_mm", "medium", "bypass", "collapse_bar", "flow_l_min")
NEEDED_OF_HOUSING = ("takes", "depth_mm", "bore_mm", "outlet", "spring", "medium", "bypass", "flow_l_min")
NEEDED_OF_CAN = (*NEEDED_OF_CARTRIDGE, "thread", "anti_drain_back")
NEEDED_OF_HEAD = (
    "takes", "depth_mm", "bore_mm", "thread", "medium", "bypass", "bypass_opens_bar", "position",
    "max_differential_bar", "flow_l_min",
)  # fmt: skip


@pytest.mark.parametrize("field", NEEDED_OF_CARTRIDGE)
def test_a_cartridge_with_an_unknown_never_fits(field: str) -> None:
    fit = judge(Element(**{**CARTRIDGE._asdict(), field: None}), HOUSING)
    assert fit.overall is not Grade.FITS
    assert fit.to_measure
    assert "Measure this before you trust it" in fit.to_measure[0].sentence


@pytest.mark.parametrize("field", NEEDED_OF_HOUSING)
def test_a_housing_with_an_unknown_never_fits(field: str) -> None:
    fit = judge(CARTRIDGE, Housing(**{**HOUSING._asdict(), field: None}))
    assert fit.overall is not Grade.FITS
    assert fit.to_measure


@pytest.mark.parametrize("field", NEEDED_OF_CAN)
def test_a_can_with_an_unknown_never_fits(field: str) -> None:
    fit = judge(Element(**{**CAN._asdict(), field: None}), HEAD)
    assert fit.overall is not Grade.FITS
    assert fit.to_measure


@pytest.mark.parametrize("field", NEEDED_OF_HEAD)
def test_a_head_with_an_unknown_never_fits(field: str) -> None:
    fit = judge(CAN, Housing(**{**HEAD._asdict(), field: None}))
    assert fit.overall is not Grade.FITS
    assert fit.to_measure


@pytest.mark.parametrize(
    "end", [End(), End(EndForm.OPEN), End(EndForm.OPEN, 30.0), End(EndForm.OPEN, None, EndSeal.GROMMET)]
)
def test_an_end_with_an_unknown_never_fits(end: End) -> None:
    assert judge(CARTRIDGE._replace(first=end), HOUSING).overall is not Grade.FITS


@pytest.mark.parametrize(
    "seat", [Seat(), Seat(SeatForm.SPIGOT), Seat(SeatForm.FLAT, 30), Seat(SeatForm.FLAT, None, 70)]
)
def test_a_seat_with_an_unknown_never_fits(seat: Seat) -> None:
    assert judge(CARTRIDGE, HOUSING._replace(head=seat)).overall is not Grade.FITS


@pytest.mark.parametrize("kind", list(Kind))
def test_nothing_known_is_measure_this(kind: Kind) -> None:
    fit = judge(Element(kind), Housing())
    assert fit.overall is Grade.MEASURE
    assert all(criterion.grade is Grade.MEASURE for criterion in fit.criteria)


maybe = st.none() | st.floats(1, 200)
ends = st.builds(End, st.none() | st.sampled_from(EndForm), maybe, st.none() | st.sampled_from(EndSeal))
seats = st.builds(Seat, st.none() | st.sampled_from(SeatForm), maybe, maybe)
springs = st.none() | st.builds(Spring, maybe, maybe)
media = st.sampled_from([None, mesh(60), mesh(100), rated(10, 200), rated(25)])
threads = st.sampled_from([None, thread_size("M20x1.5"), thread_size("3/4-16"), thread_size("G 3/4")])
elements = st.builds(
    Element,
    st.sampled_from(Kind),
    od_mm=maybe,
    length_mm=maybe,
    first=ends,
    second=ends,
    spring=springs,
    thread=threads,
    medium=media,
    collapse_bar=maybe,
    flow_l_min=maybe,
    anti_drain_back=st.none() | st.booleans(),
)
housings = st.builds(
    Housing,
    st.none() | st.sampled_from(Kind),
    depth_mm=maybe,
    bore_mm=maybe,
    head=seats,
    cover=seats,
    outlet=st.none() | st.sampled_from(Where),
    spring=springs,
    thread=threads,
    medium=media,
    bypass=st.none() | st.sampled_from(BypassPlace),
    position=st.none() | st.sampled_from(Position),
    duty=st.none() | st.sampled_from(Duty),
    max_differential_bar=maybe,
    flow_l_min=maybe,
)


@given(elements, housings)
def test_any_pair_gets_a_whole_table(element: Element, housing: Housing) -> None:
    fit = judge(element, housing)
    names = [criterion.name for criterion in fit.criteria]
    assert len(set(names)) == len(names) > 0
    ranks = [criterion.grade.rank for criterion in fit.criteria]
    assert ranks == sorted(ranks, reverse=True)
    if fit.overall is Grade.FITS:
        assert set(ranks) == {0}
    assert (fit.overall is Grade.DOES_NOT) == (ranks[0] == Grade.DOES_NOT.rank)


@given(elements, housings)
def test_turning_a_cartridge_changes_nothing(element: Element, housing: Housing) -> None:
    """The better way round is found whichever end was written down first."""
    cartridge = element._replace(kind=Kind.CARTRIDGE)
    one, other = judge(cartridge, housing), judge(cartridge.turned(), housing)
    assert one.overall is other.overall
    assert sorted(c.grade.rank for c in one.criteria) == sorted(c.grade.rank for c in other.criteria)


@settings(max_examples=200)
@given(elements, housings, st.floats(0, 200))
def test_a_weaker_element_never_fits_better(element: Element, housing: Housing, weaker: float) -> None:
    strong = element.collapse_bar or 100.0
    before = judge(element._replace(collapse_bar=strong), housing)
    after = judge(element._replace(collapse_bar=min(strong, weaker)), housing)
    assert after.overall.rank >= before.overall.rank


@given(st.floats(60, 160), st.floats(0, 30))
def test_further_from_the_right_length_never_fits_better(length: float, further: float) -> None:
    """The middle of the spring's travel is 118.5 mm."""
    middle = 118.5
    away = length + further if length >= middle else length - further
    before = judge(CARTRIDGE._replace(length_mm=length), HOUSING).overall
    assert judge(CARTRIDGE._replace(length_mm=away), HOUSING).overall.rank >= before.rank


@given(st.sampled_from(EndSeal), st.floats(120, 145), st.floats(0, 10))
def test_further_from_the_depth_never_fits_better_without_a_spring(
    seal: EndSeal, length: float, further: float
) -> None:
    """Nothing nips a bare or rubber-ringed end; a gasket is best at 0.5 to 3 mm of nip."""
    best = 136.5 if seal is EndSeal.GASKET else 135.0
    housing = HOUSING._replace(spring=Spring(0, 0))
    away = length + further if length >= best else length - further
    bore = 30.9 if seal is not EndSeal.GROMMET else 30.0
    element = CARTRIDGE._replace(first=End(EndForm.OPEN, bore, seal), length_mm=length)
    before = line(judge(element, housing), "length").grade
    assert line(judge(element._replace(length_mm=away), housing), "length").grade.rank >= before.rank


@given(st.sampled_from(EndSeal), st.floats(29, 35), st.floats(0, 3))
def test_a_looser_bore_never_fits_better(seal: EndSeal, bore: float, looser: float) -> None:
    bore = max(bore, 30.8 if seal is not EndSeal.GROMMET else 29)
    element = CARTRIDGE._replace(first=End(EndForm.OPEN, bore, seal))
    worse = CARTRIDGE._replace(first=End(EndForm.OPEN, bore + looser, seal))
    assert judge(worse, HOUSING).overall.rank >= judge(element, HOUSING).overall.rank


@given(st.floats(50, 73), st.floats(0, 10))
def test_a_narrower_land_never_holds_a_gasket_better(land: float, less: float) -> None:
    wide = HEAD._replace(gasket_land=HEAD.gasket_land._replace(od_mm=land))
    narrow = HEAD._replace(gasket_land=HEAD.gasket_land._replace(od_mm=land - less))
    assert judge(CAN, narrow).overall.rank >= judge(CAN, wide).overall.rank


@given(elements, housings)
def test_a_wrong_thread_never_improves_a_fit(element: Element, housing: Housing) -> None:
    can = element._replace(kind=Kind.SPIN_ON, thread=thread_size("3/4-16"))
    head = housing._replace(thread=thread_size("3/4-16"))
    wrong = head._replace(thread=thread_size("M20x1.5"))
    assert judge(can, wrong).overall is Grade.DOES_NOT
    assert judge(can, wrong).overall.rank >= judge(can, head).overall.rank


@given(st.floats(110, 160), st.floats(0, 30))
def test_further_from_the_right_depth_never_fits_better(depth: float, further: float) -> None:
    """Deeper or shallower than the spring's travel: the middle is 136.5 mm for a 120 mm element."""
    middle = 136.5
    away = depth + further if depth >= middle else depth - further
    before = judge(CARTRIDGE, HOUSING._replace(depth_mm=depth)).overall
    assert judge(CARTRIDGE, HOUSING._replace(depth_mm=away)).overall.rank >= before.rank


@given(st.floats(0.05, 10), st.floats(1, 10))
def test_a_bypass_further_from_the_asked_pressure_never_fits_better(opens: float, times: float) -> None:
    away = opens * times if opens >= 1.0 else opens / times
    before, after = (
        line(judge(CAN._replace(bypass=CAN.bypass._replace(opens_bar=one) if CAN.bypass else None), HEAD), "bypass")
        for one in (opens, away)
    )
    assert after.grade.rank >= before.grade.rank


@given(st.floats(1, 200), st.floats(1, 10))
def test_a_medium_further_from_the_asked_one_never_fits_better(size: float, times: float) -> None:
    away = size * times if size >= 25 else size / times
    before, after = (line(judge(CAN._replace(medium=rated(one, 75)), HEAD), "medium") for one in (size, away))
    assert after.grade.rank >= before.grade.rank


@given(st.floats(0, 200), st.floats(0, 100))
def test_less_flow_never_fits_better(flow: float, less: float) -> None:
    before, after = (line(judge(CAN._replace(flow_l_min=one), HEAD), "flow") for one in (flow, max(flow - less, 0)))
    assert after.grade.rank >= before.grade.rank


def _by_inch(value: float | None) -> float | None:
    """The same length as it comes back from inches: its last digits may differ."""
    return None if value is None else value / 25.4 * 25.4


@given(
    st.integers(1170, 1400), st.integers(1180, 1600), st.integers(290, 340), st.sampled_from(EndSeal),
    st.integers(560, 760),
)  # fmt: skip
def test_the_same_readings_in_mm_and_inch_give_the_same_table(
    length: int, depth: int, bore: int, seal: EndSeal, wide: int
) -> None:
    """Tenths of a millimetre, so that limits are hit exactly."""
    element = CARTRIDGE._replace(length_mm=length / 10, od_mm=wide / 10, first=End(EndForm.OPEN, bore / 10, seal))
    housing = HOUSING._replace(depth_mm=depth / 10)
    inch = element._replace(
        length_mm=_by_inch(length / 10),
        od_mm=_by_inch(wide / 10),
        first=End(EndForm.OPEN, _by_inch(bore / 10), seal),
    )
    here, there = judge(element, housing), judge(inch, housing._replace(depth_mm=_by_inch(depth / 10)))
    assert [(one.name, one.grade) for one in here.criteria] == [(one.name, one.grade) for one in there.criteria]


# Each at its limit, reached by subtraction, where floats come out a hair beyond it.
@pytest.mark.parametrize(
    ("bore", "spigot", "seal", "grade"),
    [
        (30.9, 30.6, EndSeal.BARE, Grade.FITS),  # loose by 0.3 mm of 0.3
        (31.8, 30.8, EndSeal.BARE, Grade.WITH_CARE),  # loose by 1.0 mm of 1.0
        (30.5, 30.8, EndSeal.BARE, Grade.WITH_CARE),  # tight by 0.3 mm of 0.3
        (30.7, 30.8, EndSeal.GROMMET, Grade.FITS),  # grips by 0.1 mm of 0.1
        (27.8, 30.8, EndSeal.GROMMET, Grade.FITS),  # 3.0 mm too small of 3.0
    ],
)
def test_a_bore_at_its_limit_is_inside_it(bore: float, spigot: float, seal: EndSeal, grade: Grade) -> None:
    element = CARTRIDGE._replace(first=End(EndForm.OPEN, bore, seal), medium=rated(400))
    fit = judge(element, HOUSING._replace(head=Seat(SeatForm.SPIGOT, spigot)))
    assert line(fit, "seal at the head end").grade is grade


def test_no_two_threads_of_the_table_pass_for_one_another() -> None:
    """The look-alikes too: M20 × 1.5 and 3/4-16, 1-12 and 1-14, 11/16-16 and M18 × 1.5."""
    threads = [thread for thread, _, _ in spin_on_threads()]
    assert len(threads) >= 28
    assert [(one.label, other.label) for one, other in combinations(threads, 2) if same_thread(one, other)] == []
    for one, other in combinations(threads, 2):
        fit = judge(CAN._replace(thread=one), HEAD._replace(thread=other))
        assert line(fit, "thread").grade is not Grade.FITS, (one.label, other.label)


@given(st.floats(-5, 5), st.floats(-5, 5))
def test_a_shown_figure_lies_on_its_own_side_of_the_limit(value: float, limit: float) -> None:
    shown = float(figure(value, limit))
    if abs(value - limit) > 1e-5:
        assert (shown < limit) == (value < limit)
        assert (shown > limit) == (value > limit)


@given(elements, housings)
def test_because_holds_what_decided(element: Element, housing: Housing) -> None:
    fit = judge(element, housing)
    assert fit.because
    for one in fit.because:
        assert one.source
        assert ": " in one.rule
