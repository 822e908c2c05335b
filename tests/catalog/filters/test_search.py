"""Search by measurement, and the line of words it starts from. The shelf is invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.filters.describe import describe
from catalog.filters.element import Bypass, Element, End, EndForm, Gasket, Kind, thread_size
from catalog.filters.grade import Grade, Way
from catalog.filters.media import mesh, rated
from catalog.filters.screwed import spin_on_threads
from catalog.filters.search import Described, Dimension, compare, rank

OPEN_30, CLOSED = End(EndForm.OPEN, 30), End(EndForm.CLOSED)
SHELF = (
    Element(Kind.CARTRIDGE, "right", 60, 120, OPEN_30, CLOSED),
    Element(Kind.CARTRIDGE, "turned", 60.5, 120, CLOSED, OPEN_30),
    Element(Kind.CARTRIDGE, "a little long", 60, 122.5, OPEN_30, CLOSED),
    Element(Kind.CARTRIDGE, "bore unknown", 60, 120, End(EndForm.OPEN), CLOSED),
    Element(Kind.CARTRIDGE, "open at both ends", 60, 120, OPEN_30, OPEN_30),
    Element(Kind.CARTRIDGE, "too small a bore", 60, 120, End(EndForm.OPEN, 25), CLOSED),
    Element(Kind.SPIN_ON, "a can", 60, 120),
)


def test_the_example_of_the_trade() -> None:
    found = rank(describe("cartridge, 60 × 120, open 30 at one end"), SHELF)
    assert [one.element.name for one in found] == ["right", "turned", "a little long", "bore unknown"]
    assert [one.fit.overall for one in found] == [Grade.FITS, Grade.FITS, Grade.WITH_CARE, Grade.MEASURE]
    assert found[1].fit.way is Way.TURNED
    everything = rank(describe("cartridge, 60 × 120, open 30 at one end"), SHELF, misses=True)
    assert len(everything) == len(SHELF)
    assert everything[-1].fit.overall is Grade.DOES_NOT
    assert len(rank(describe("cartridge"), SHELF, keep=2)) == 2


def test_inches_mean_the_same() -> None:
    """1 in = 25.4 mm exactly (NIST SP 811)."""
    inch = describe("cartridge, 2 3/8 x 4.75, open 1 3/16 at one end", "in")
    assert inch.od is not None
    assert inch.length is not None
    assert inch.od.value_mm == pytest.approx(60.325)
    assert inch.length.value_mm == pytest.approx(120.65)
    assert inch.first.id_mm == pytest.approx(30.1625)
    assert rank(inch, SHELF)[0].element.name in {"right", "turned"}


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("spin-on, M20x1,5", Described(Kind.SPIN_ON, thread=thread_size("M20x1.5"))),
        (
            "Spin on; thread 3/4-16; gasket 62 x 71",
            Described(Kind.SPIN_ON, thread=thread_size("3/4-16"), gasket=Gasket(62, 71)),
        ),
        ("gasket 71 × 62 × 6", Described(gasket=Gasket(62, 71, 6))),
        ("suction strainer, 60 mesh", Described(Kind.SUCTION_STRAINER, medium=mesh(60))),
        ("in-line, 10 micron", Described(Kind.IN_LINE, medium=rated(10))),
        ("10 µm beta 200", Described(medium=rated(10, 200))),
        ("od 60 ± 0.2, 118 long", Described(od=Dimension(60, 0.2), length=Dimension(118, 0.5))),
        ("24,9 × 50", Described(od=Dimension(24.9), length=Dimension(50))),
        ("open both ends", Described(first=End(EndForm.OPEN), second=End(EndForm.OPEN))),
        ("open 30, closed at the other end", Described(first=OPEN_30, second=CLOSED)),
        ("closed at one end, open 30 at the other end", Described(first=CLOSED, second=OPEN_30)),
        ("screened 20 at one end", Described(first=End(EndForm.SCREENED, 20), second=CLOSED)),
        ("sprung at one end", Described(first=End(EndForm.SPRUNG))),
        ("bore 30", Described(first=OPEN_30)),
        ("gasket 62/71", Described(gasket=Gasket(62, 71))),
        ("gasket 62,5 / 71 / 6 mm", Described(gasket=Gasket(62.5, 71, 6))),
        ("bypass 1.5 bar", Described(bypass=Bypass(True, 1.5))),
        ("bypass valve opens at 1,5", Described(bypass=Bypass(True, 1.5))),
        ("no bypass", Described(bypass=Bypass(False))),
        ("thread 3/4-16 UNF-2B", Described(thread=thread_size("3/4-16 UNF"))),
        ("3/4-16 UNF", Described(thread=thread_size("3/4-16 UNF"))),
        ("1-12 UN", Described(thread=thread_size("1-12"))),
        (
            "spin-on 3/4-16 UNF gasket 62/71 bypass 1.5 bar",
            Described(Kind.SPIN_ON, thread=thread_size("3/4-16"), gasket=Gasket(62, 71), bypass=Bypass(True, 1.5)),
        ),
    ],
)
def test_words_and_measures_are_read(typed: str, expected: Described) -> None:
    assert describe(typed) == expected


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Nothing to search by"),
        (" , ;", "Nothing to search by"),
        ("purple", "not understood"),
        ("60 x 30 x 120", "three sizes"),
        ("thread M99", "No thread called"),
        ("90 mesh", "the nearest are 80"),
        ("bypass 0 bar", "bypass 1.5 bar"),
        ("no bypass 1.5 bar", "no bypass"),
        ("gasket 62", "inside × outside"),
        ("0 x 120", "is zero"),
        ("60 x banana", "banana"),
        ("\x1b[31m", "not understood"),
        ("[bold]x[/bold]", "bold"),
        ("x" * 400, "400 characters"),
        ("10 micron beta 0.5", "starts at 1"),
        ("1.2.3 micron", "not a number"),
    ],
)
def test_what_cannot_be_read_says_which_phrase(typed: str, says: str) -> None:
    with pytest.raises(ValueError, match=says) as caught:
        describe(typed)
    assert "\x1b" not in str(caught.value)


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused_in_a_sentence(text: str) -> None:
    try:
        answer: Described | str = describe(text)
    except ValueError as refused:
        answer = str(refused)
    assert answer != Described()
    assert answer != ""


def test_nothing_described_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one measure"):
        rank(Described(), SHELF)


def test_a_description_can_be_judged_in_a_housing() -> None:
    element = describe("60 × 120, open 30 at one end").as_element(Kind.CARTRIDGE)
    assert (element.kind, element.od_mm, element.length_mm, element.first.id_mm) == (Kind.CARTRIDGE, 60, 120, 30)


@given(st.floats(20, 150), st.floats(0, 20), st.floats(0, 20))
def test_further_off_never_ranks_better(od: float, off: float, more: float) -> None:
    sought = Described(od=Dimension(od, 0.5))
    near = compare(sought, Element(Kind.CARTRIDGE, od_mm=od + off))
    far = compare(sought, Element(Kind.CARTRIDGE, od_mm=od + off + more))
    assert far.fit.overall.rank >= near.fit.overall.rank
    assert far.off >= near.off


def test_the_readings_own_error_is_allowed_for() -> None:
    """A length may be 1 mm off and still fit (our rule), and the reading's own ± comes on top."""
    item = Element(Kind.CARTRIDGE, length_mm=121.8)
    assert compare(Described(length=Dimension(120, 1.0)), item).fit.overall is Grade.FITS
    assert compare(Described(length=Dimension(120, 0.1)), item).fit.overall is Grade.WITH_CARE


def test_an_unknown_is_never_a_find_that_fits() -> None:
    for typed in ("60 × 120", "thread 3/4-16", "gasket 62 × 71", "open 30 at one end", "60 mesh"):
        assert compare(describe(typed), Element(Kind.CARTRIDGE)).fit.overall is not Grade.FITS


def test_every_spin_on_thread_of_the_table_is_a_thread_and_says_where_it_is_from() -> None:
    """M20 × 1.5 and 3/4-16 are published (engineerfix.com); the rest say that they are from memory."""
    standing = {thread.designation: stands for thread, _, stands in spin_on_threads()}
    assert len(standing) == 30
    assert standing["M20x1.5"] == standing["3/4-16 UNF"] == "published"
    assert standing["G 3/4"] == "memory"


@pytest.mark.parametrize(
    ("bare", "commas"),
    [
        ("cartridge 60 x 120", "cartridge, 60 x 120"),
        ("cartridge 60 x 120 open 30 at one end 60 mesh", "cartridge, 60 x 120, open 30 at one end, 60 mesh"),
        ("spin-on 93 x 142 3/4-16 gasket 62 x 71 20 micron", "spin-on, 93 x 142, 3/4-16, gasket 62 x 71, 20 micron"),
        ("spin-on 3/4-16 UNF 93 x 142", "spin-on, 3/4-16 UNF, 93 x 142"),
        ("M20x1.5 76 x 80", "M20x1.5, 76 x 80"),
        ("suction strainer od 90 length 140", "suction strainer, od 90, length 140"),
        ("cartridge open both", "cartridge, open both ends"),
        ("cartridge 2 3/8 in x 4 3/4 in open 1 in both ends", "cartridge, 2 3/8 in x 4 3/4 in, open 1 in both ends"),
    ],
)
def test_phrases_may_stand_without_commas(bare: str, commas: str) -> None:
    assert describe(bare) == describe(commas)


@pytest.mark.parametrize(
    "text", ["60 x 120 30", "cartridge sixty", "60 x 120 x 30 open", "thread M99", "cartridge 60 x"]
)
def test_what_is_not_wholly_understood_is_refused_whole(text: str) -> None:
    with pytest.raises(ValueError, match=r"type|tables"):
        describe(text)
