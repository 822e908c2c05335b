"""Bin labels: a decoder that had no part in making the QR codes reads them off the page; grids fit their paper."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw

from tests.tui.sheets import drawn
from tests.tui.sheets.examples import HOSTILE, bins
from tui.sheets import labels
from tui.sheets.bin_code import bin_code, bin_scanned
from tui.sheets.label_grids import EDGE, GRIDS, LONGEST, ROLLS, Grid, grid, grid_named
from tui.sheets.paper import A4, LETTER
from tui.sheets.qr import FINEST, code_for
from tui.sheets.records import BinLabel

GRID = pytest.mark.parametrize("of", GRIDS, ids=lambda one: one.name)
ROLL = pytest.mark.parametrize("of", ROLLS, ids=lambda one: one.name)


def scanned(pdf: bytes, dots_per_mm: int = 12) -> list[str]:
    """What a scanner reads off each page: the filled boxes of the PDF drawn as pixels, then decoded."""
    found: list[str] = []
    for page in drawn.read(pdf):
        picture = Image.new("L", (int(page.width * dots_per_mm), int(page.height * dots_per_mm)), 255)
        pen = ImageDraw.Draw(picture)
        for box in page.shapes:
            if box.kind == "box" and box.filled:
                across = [round(box.left * dots_per_mm), round(box.right * dots_per_mm) - 1]
                down = [
                    round((page.height - box.top) * dots_per_mm),
                    round((page.height - box.bottom) * dots_per_mm) - 1,
                ]
                pen.rectangle((across[0], down[0], across[1], down[1]), fill=0)
        read = zxingcpp.read_barcodes(picture)
        found += [
            one.text for one in sorted(read, key=lambda one: (one.position.top_left.y // 60, one.position.top_left.x))
        ]
    return found


@GRID
def test_a_scanner_reads_every_label(of: Grid) -> None:
    given_bins = [BinLabel(f"Box {n}", "rings") for n in range(of.per_page + 3)]
    assert sorted(scanned(labels.as_pdf(given_bins, of))) == sorted(f"KITBIN Box {n}" for n in range(of.per_page + 3))


@pytest.mark.parametrize("code", ["R-02-17", "Drawer F1", "Ölfaß 3", "油圧 7", "a" * 100, 'x "y" \\ z'])
def test_any_bin_code_comes_back_from_the_scanner(code: str) -> None:
    (read,) = scanned(labels.as_pdf([BinLabel(code)], grid_named("a4 8")))
    assert read == f"KITBIN {code}"
    assert bin_scanned(read) == code


def test_the_decoder_reads_the_standards_own_example() -> None:
    """ISO/IEC 18004 encodes 01234567 as its worked example, in a version 1 symbol of 21 × 21 modules."""
    code = code_for("01234567", 30.0)
    assert code is not None
    assert len(code.rows) == 21
    assert _decoded(code.rows) == "01234567"
    # Finder patterns (ISO/IEC 18004, 6.3.3): 7 × 7 dark ring, light ring, 3 × 3 dark, in three corners.
    finder = [(r in {0, 6} or c in {0, 6} or (2 <= r <= 4 and 2 <= c <= 4)) for r in range(7) for c in range(7)]
    for down, across in ((0, 0), (0, 14), (14, 0)):
        assert [code.rows[down + r][across + c] for r in range(7) for c in range(7)] == finder


@GRID
def test_codes_keep_their_quiet_zone_and_words_keep_inside_the_label(of: Grid) -> None:
    """ISO/IEC 18004, 9.1: four modules of white on every side."""
    (page,) = drawn.read(labels.as_pdf([BinLabel("Box 1", "inch rings, NBR")], of))
    left, top = of.corner(0)
    black = [box for box in page.shapes if box.kind == "box"]
    module = min(box.height for box in black)
    assert module >= FINEST - 0.001
    low, high = min(box.left for box in black), max(box.right for box in black)
    assert low - left >= 4 * module
    for word in page.words:
        assert word.left >= high + 4 * module
        assert word.right <= left + of.width - 1.0
        assert page.height - word.top >= top
        assert page.height - word.bottom <= top + of.height


@GRID
@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
def test_nothing_runs_off_a_label_whatever_the_text(of: Grid, words: str) -> None:
    for page in drawn.read(labels.as_pdf(bins(words), of)):
        for mark in (*page.words, *(box for box in page.shapes if box.kind == "box")):
            at = [
                (x, y) for x, y in map(of.corner, range(of.per_page))
                if x <= mark.left and mark.right <= x + of.width
                and y <= page.height - mark.top + 0.3 and page.height - mark.bottom <= y + of.height + 0.3
            ]  # fmt: skip
            assert len(at) == 1, mark


def test_a_code_too_long_for_a_qr_says_so_and_is_still_a_label() -> None:
    pdf = labels.as_pdf([BinLabel("W" * 10_000, "what lies there"), BinLabel("Box 1")])
    assert labels.TOO_FINE in drawn.text(pdf)
    assert scanned(pdf) == ["KITBIN Box 1"]


def test_a_label_says_when_a_letter_is_missing() -> None:
    assert labels.LOST in drawn.text(labels.as_pdf([BinLabel("油圧 7", "x")]))
    assert labels.LOST in drawn.text(labels.as_pdf([BinLabel("Box 1", "油圧")]))
    assert labels.LOST not in drawn.text(labels.as_pdf(bins()))


@ROLL
@pytest.mark.parametrize("words", [None, *HOSTILE], ids=range(len(HOSTILE) + 1))
def test_on_a_roll_each_label_is_a_page_with_nothing_near_its_edge(of: Grid, words: str | None) -> None:
    pages = drawn.read(labels.as_pdf(bins(words), of))
    assert len(pages) == len(bins(words))
    for page in pages:
        assert page.width == pytest.approx(of.width, abs=0.01)
        assert page.height == pytest.approx(of.height, abs=0.01) or (
            of.endless and of.height < page.height < LONGEST + 0.01
        )
        for mark in (*page.words, *page.shapes):
            assert mark.kind != "line", "a roll is cut by its printer"
            assert mark.left >= 1.9
            assert mark.right <= page.width - 1.4
            assert mark.bottom >= 1.4
            assert mark.top <= page.height - 1.4


@ROLL
def test_a_scanner_reads_every_label_of_a_roll(of: Grid) -> None:
    given_bins = [BinLabel(code, "inch rings, NBR") for code in ("Box 1", "Drawer F1", "R-02-17")]
    assert scanned(labels.as_pdf(given_bins, of)) == [f"KITBIN {one.code}" for one in given_bins]


def test_an_endless_roll_is_cut_as_long_as_the_longest_note_needs() -> None:
    endless = grid_named("roll 62 mm")
    note = "O-rings 25 x 3.5 in four rubbers, bags as bought; the opened ones to the front, " * 3
    pages = drawn.read(labels.as_pdf([BinLabel("Box 1", note), BinLabel("Box 2")], endless))
    assert " ".join(note.split()) in " ".join(pages[0].text.split())
    assert pages[0].height == pages[1].height > endless.height + 5


def test_a_roll_has_no_labels_used_before() -> None:
    with pytest.raises(ValueError, match="A roll has no labels used before"):
        labels.as_pdf([BinLabel("Box 1")], ROLLS[0], skip=1)


@GRID
def test_cut_marks_stand_at_the_corners_of_the_labels(of: Grid) -> None:
    (page,) = drawn.read(labels.as_pdf(bins(), of))
    lines = [shape for shape in page.shapes if shape.kind == "line"]
    for index in (0, of.per_page - 1):
        x, y = of.corner(index)
        for across, down in ((x, y), (x + of.width, y + of.height)):
            level = [one for one in lines if abs(page.height - one.top - down) < 0.02 and one.left < across < one.right]
            upright = [
                one for one in lines if abs(one.left - across) < 0.02 and one.bottom < page.height - down < one.top
            ]
            assert level
            assert upright
    assert all(one.thick < 0.1 for one in lines)
    assert all(
        one.left >= 0 and one.right <= page.width and one.bottom >= 0 and one.top <= page.height for one in lines
    )


@GRID
def test_grids_lie_on_their_paper_and_labels_never_overlap(of: Grid) -> None:
    again = grid(
        of.paper, columns=of.columns, rows=of.rows, width=of.width, height=of.height, left=of.left, top=of.top,
        gap_x=of.gap_x, gap_y=of.gap_y,
    )  # fmt: skip
    assert again.per_page == of.per_page == len({of.corner(n) for n in range(of.per_page)})
    right, bottom = of.corner(of.per_page - 1)
    assert right + of.width <= of.paper.width - EDGE
    assert bottom + of.height <= of.paper.height - EDGE
    for one, two in combinations(map(of.corner, range(of.per_page)), 2):
        assert abs(one[0] - two[0]) >= of.width - 1e-9 or abs(one[1] - two[1]) >= of.height - 1e-9


def test_a_partly_used_sheet_starts_further_on() -> None:
    of = GRIDS[0]
    (page,) = drawn.read(labels.as_pdf([BinLabel("Box 1")], of, skip=4))
    left, top = of.corner(4)
    assert all(word.left > left and page.height - word.top > top for word in page.words)
    assert len(drawn.read(labels.as_pdf([BinLabel(f"B {n}") for n in range(20)], of, skip=2))) == 2
    with pytest.raises(ValueError, match="type 0 to 20 to leave out"):
        labels.as_pdf([BinLabel("Box 1")], of, skip=21)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"columns": 0}, "at least one column"),
        ({"width": 10.0}, "at least 30 mm wide"),
        ({"width": float("nan")}, "at least 30 mm wide"),
        ({"gap_x": -1.0}, "below zero"),
        ({"left": 1.0}, "keep 4 mm clear"),
        ({"rows": 8}, "keep 4 mm clear"),
    ],
)
def test_a_grid_that_does_not_fit_is_refused_in_a_sentence(change: dict[str, float], says: str) -> None:
    fits: dict[str, float] = {"columns": 2, "rows": 7, "width": 90.0, "height": 38.0, "left": 10.0, "top": 10.0}
    assert grid(LETTER, **{**fits, "rows": 6}).per_page == 12  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=says):
        grid(A4, **{**fits, **change})  # type: ignore[arg-type]


def test_grids_are_found_by_name() -> None:
    assert grid_named(" letter  30 ").per_page == 30
    assert grid_named("Roll 50 × 25 mm") is grid_named("roll 50x25") is ROLLS[0]
    with pytest.raises(ValueError, match="type one of: A4 21"):
        grid_named("A5")


@given(st.text(max_size=60))
def test_what_was_not_a_bin_label_is_not_taken_for_one(typed: str) -> None:
    back = bin_scanned(typed)
    assert back is None or typed[:7].upper() == "KITBIN "
    if typed.strip():
        assert bin_scanned(bin_code(typed)) == typed.strip()
        assert bin_scanned(bin_code(typed).lower()) == typed.strip().lower() or not typed.isascii()


@pytest.mark.parametrize("typed", ["", "KITBIN ", "KITBIN    ", "KITBINBox 1", "4006381333931", "BIN Box 1"])
def test_no_bin_no_code(typed: str) -> None:
    assert bin_scanned(typed) is None


def test_a_bin_without_a_code_has_no_label() -> None:
    with pytest.raises(ValueError, match="give the bin a code first"):
        labels.as_pdf([BinLabel("  ")])


def test_the_lead_word_survives_a_scanner_set_to_another_keyboard() -> None:
    """Letters that German (QWERTZ) and French (AZERTY) keyboards place elsewhere: common practice, no source."""
    assert not set("AQZWMY") & set(bin_code("1")[:6])


def test_the_text_copy_lists_what_each_code_says() -> None:
    text = labels.as_text(bins())
    assert "KITBIN Drawer F1" in text
    assert "elements, spin-on" in text
    assert "100 %" in text
    assert "No bins." in labels.as_text(())


def _decoded(rows: tuple[tuple[bool, ...], ...]) -> str:
    """The code read by the decoder, at ten pixels a module."""
    side = len(rows) + 2 * 4
    picture = Image.new("L", (side, side), 255)
    for down, row in enumerate(rows):
        for across, dark in enumerate(row):
            if dark:
                picture.putpixel((4 + across, 4 + down), 0)
    large = picture.resize((side * 10, side * 10), Image.Resampling.NEAREST)
    (read,) = zxingcpp.read_barcodes(large)
    return str(read.text)


def test_runs_of_modules_leave_no_seams_between_boxes() -> None:
    (page,) = drawn.read(labels.as_pdf([BinLabel("Box 1")]))
    rows = sorted({round(box.bottom, 3) for box in page.shapes if box.kind == "box"})
    module = min(box.height for box in page.shapes if box.kind == "box")
    assert all(high - low == pytest.approx(module, abs=0.002) for low, high in pairwise(rows))
