"""Geometry, read back out of the PDF: true scale, standard paper, nothing over the margin whatever the text."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from tests.tui.sheets import drawn
from tests.tui.sheets.examples import DAY, FLOWING, HOSTILE, PICTURE, job
from tui.sheets import job_sheet, ring_sheet
from tui.sheets.paper import A4, LETTER, MARGIN, Paper, paper_named
from tui.sheets.records import JobSheet, PickLine, Ring

PAPERS = pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda paper: paper.name)


def circles(page: drawn.Drawn) -> list[drawn.Extent]:
    return [shape for shape in page.shapes if shape.kind == "curve"]


@PAPERS
@pytest.mark.parametrize("diameter", [25.4, 2.9, 100.0, 150.0])
def test_a_circle_on_paper_is_its_size_within_a_tenth_of_a_millimetre(paper: Paper, diameter: float) -> None:
    (page,) = drawn.read(ring_sheet.as_pdf([Ring("circle", diameter)], paper))
    (circle,) = circles(page)
    assert circle.width == pytest.approx(diameter, abs=0.005)
    assert circle.height == pytest.approx(diameter, abs=0.005)
    middle = (circle.left + circle.right) / 2, (circle.bottom + circle.top) / 2
    across = [2 * math.dist(point, middle) for point in circle.points]
    # The ink goes half the pen beyond the line on each side; with it the circle is still its size within the tenth.
    assert max(across) + circle.thick == pytest.approx(diameter, abs=0.06)
    assert min(across) == pytest.approx(diameter, abs=0.005)


def test_the_published_ring_as568_214_is_drawn_at_its_published_size() -> None:
    """SAE AS568: dash 214 is 0.984 in inside, 0.139 in wide; an inch is 25.4 mm (NIST SP 811)."""
    (page,) = drawn.read(ring_sheet.as_pdf([Ring("AS568 214", 0.984 * 25.4, 0.139 * 25.4)]))
    outer, inner = sorted(circles(page), key=lambda one: -one.width)
    assert inner.width == pytest.approx(24.9936, abs=0.01)
    assert outer.width == pytest.approx(24.9936 + 2 * 3.5306, abs=0.01)
    assert (outer.left + outer.right) == pytest.approx(inner.left + inner.right, abs=0.01)


@PAPERS
def test_every_ring_page_has_bars_of_a_hundred_millimetres_and_four_inches(paper: Paper) -> None:
    found = drawn.read(ring_sheet.as_pdf([Ring(f"r{n}", 60.0 + n, 3.53) for n in range(20)], paper))
    assert len(found) > 2
    for page in found:
        lines = [shape for shape in page.shapes if shape.kind == "line"]
        assert [one for one in lines if one.width == pytest.approx(100.0, abs=0.01) and one.height < 0.01]
        assert [one for one in lines if one.height == pytest.approx(100.0, abs=0.01) and one.width < 0.01]
        # Four inches of 25.4 mm (NIST SP 811).
        assert [one for one in lines if one.width == pytest.approx(4 * 25.4, abs=0.01) and one.height < 0.01]
        assert "Print at 100 %; check the bar with a rule." in page.text
    assert sum(len(circles(page)) for page in found) == 40


def test_rings_never_overlap_and_a_ring_too_large_is_named() -> None:
    given = [Ring(f"ring {n}", 5.0 + 9 * n, 2.0) for n in range(30)]
    pdf = ring_sheet.as_pdf(given, A4)
    for page in drawn.read(pdf):
        outer = [one for one in circles(page) if one.filled and one.thick]
        bands = [one for one in outer if not any(two is not one and _inside(one, two) for two in outer)]
        for index, one in enumerate(bands):
            for two in bands[index + 1 :]:
                middles = math.dist(_middle(one), _middle(two))
                assert middles > (one.width + two.width) / 2
    large = [ring for ring in given if ring.outside > ring_sheet.largest(A4)]
    assert large
    assert f"Too large for A4, not drawn: {large[0].name}" in drawn.text(pdf)
    assert large[-1].name in ring_sheet.as_text(given)


@pytest.mark.parametrize(("inside", "width"), [(0.0, 2.0), (-3.0, 2.0), (5.0, -1.0), (math.nan, 1.0), (math.inf, 1.0)])
def test_no_ring_of_no_size(inside: float, width: float) -> None:
    with pytest.raises(ValueError, match="type an inside diameter above zero"):
        ring_sheet.as_pdf([Ring("bad", inside, width)])


def test_the_ring_sheet_asks_not_to_be_scaled() -> None:
    """ISO 32000-1, table 150: PrintScaling None."""
    assert drawn.preferences(ring_sheet.as_pdf([Ring("one", 25.4)]))["/PrintScaling"] == "/None"


def test_paper_sizes_are_the_standards() -> None:
    """ISO 216: A4 is 210 × 297 mm. ANSI/ASME Y14.1: size A is 8.5 × 11 in."""
    (a4,) = drawn.read(ring_sheet.as_pdf([], A4))
    (letter,) = drawn.read(ring_sheet.as_pdf([], LETTER))
    assert (a4.width, a4.height) == pytest.approx((210, 297), abs=0.01)
    assert (letter.width, letter.height) == pytest.approx((8.5 * 25.4, 11 * 25.4), abs=0.01)
    assert paper_named(" letter ") is LETTER
    with pytest.raises(ValueError, match="type A4 or Letter"):
        paper_named("foolscap")


@PAPERS
@pytest.mark.parametrize("sheet", list(FLOWING))
def test_nothing_crosses_the_margin(sheet: str, paper: Paper) -> None:
    _within_the_margin(FLOWING[sheet](None, paper))


@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
@pytest.mark.parametrize("sheet", list(FLOWING))
def test_nothing_crosses_the_margin_whatever_the_text(sheet: str, words: str) -> None:
    _within_the_margin(FLOWING[sheet](words, LETTER if len(words) % 2 else A4))


@pytest.mark.parametrize("words", ["W" * 10_000, "a note that never ends, on and on " * 300])
def test_ten_thousand_letters_go_on_overleaf(words: str) -> None:
    pdf = job_sheet.as_pdf(JobSheet("long", words, "Ilse", DAY, picks=(PickLine("Box 1", words, "1"),)))
    assert len(_within_the_margin(pdf)) > 3


def _within_the_margin(pdf: bytes) -> tuple[drawn.Drawn, ...]:
    found = drawn.read(pdf)
    assert found
    for page in found:
        assert page.words
        for mark in (*page.shapes, *page.words):
            assert mark.left >= MARGIN - 0.5, mark
            assert mark.right <= page.width - MARGIN + 0.5, mark
            assert mark.bottom >= MARGIN - 0.5, mark
            assert mark.top <= page.height - MARGIN + 0.5, mark
    return found


def test_boxes_to_tick_are_big_enough_for_a_glove() -> None:
    """8 mm a side: common practice, no source."""
    found = drawn.read(FLOWING["job sheet"](None, A4))
    ticks = [
        one for page in found for one in page.shapes
        if one.kind == "box" and one.thick and abs(one.width - one.height) < 0.01
    ]  # fmt: skip
    # 3 picks, 3 steps, 1 torque, 1 thing to measure again.
    assert len(ticks) == 8
    assert all(one.width == pytest.approx(8.0, abs=0.01) for one in ticks)


def test_no_two_lines_of_words_lie_on_each_other() -> None:
    for words in (None, HOSTILE[6], HOSTILE[7]):
        for page in drawn.read(FLOWING["job sheet"](words, A4)):
            by_line = sorted((round(one.bottom, 2), one.left, one.right) for one in page.words)
            for (low, _, right), (also_low, left, _) in pairwise(by_line):
                assert low != also_low or left >= right - 0.01
            lines = sorted(
                {(round(one.bottom, 2), round(one.left, 1)) for one in page.words}, key=lambda one: one[::-1]
            )
            for (low, left), (high, also_left) in pairwise(lines):
                assert left != also_left or high - low > 2.5


def _middle(one: drawn.Extent) -> tuple[float, float]:
    return (one.left + one.right) / 2, (one.bottom + one.top) / 2


def _inside(one: drawn.Extent, two: drawn.Extent) -> bool:
    return math.dist(_middle(one), _middle(two)) < 0.01 and one.width < two.width


def test_the_pours_of_one_fluid_stay_on_one_page() -> None:
    for count in range(2, 20, 3):
        lines = tuple(PickLine(f"Box {n}", "ring", "1") for n in range(count))
        bare = job()._replace(picks=lines, steps=(), needed=())
        texts = [page.text for page in drawn.read(job_sheet.as_pdf(bare))]
        (text,) = (text for text in texts if "Fluid: Transmission sump" in text)
        assert "Level at the end" in text


def test_every_font_used_is_in_the_file() -> None:
    """ISO 32000-1, 9.9: an embedded TrueType font program stands under FontFile2."""
    for fonts in drawn.fonts(FLOWING["job sheet"](None, A4)):
        assert fonts
        assert all("/FontFile2" in font["/FontDescriptor"] for font in fonts)


def test_pictures_keep_their_shape_and_each_has_its_name_beneath() -> None:
    pages = drawn.read(job_sheet.as_pdf(job()))
    found = [(page, one) for page in pages for one in page.shapes if one.kind == "picture"]
    assert len(found) == 5
    for page, one in found:
        assert one.width / one.height == pytest.approx(PICTURE.width / PICTURE.height, abs=0.01)
        assert 20 < one.height < 33
        beneath = [word for word in page.words if abs(word.left - one.left) < 0.1 and 0 < one.bottom - word.top < 3]
        assert len(beneath) == 1
