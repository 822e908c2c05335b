"""The pictures hold their proportions: counted in dots against the ring's own dimensions."""

from __future__ import annotations

import re
from math import pi

import pytest
from rich.cells import cell_len

from catalog.orings.evidence import Dimension, Tool
from catalog.orings.instruments import reading
from catalog.orings.read_limits import ReadLimits, read_limits
from tui.widgets.canvas import Canvas
from tui.widgets.pictures import Band, Span, Spot, band_line, plane_lines
from tui.widgets.ring_drawing import ring_lines

BRAILLE = {
    0x01: (0, 0), 0x02: (0, 1), 0x04: (0, 2), 0x40: (0, 3),
    0x08: (1, 0), 0x10: (1, 1), 0x20: (1, 2), 0x80: (1, 3),
}  # fmt: skip


def read(**mm: tuple[float, float]) -> ReadLimits:
    """Readings with a stated ±, as the drawing takes them."""
    return read_limits([reading(Dimension(name), at, Tool.STATED, error) for name, (at, error) in mm.items()])


def dots(canvas: Canvas) -> set[tuple[int, int]]:
    """The dots that are set, read back from the Unicode braille patterns (U+2800 block, ISO 11548-1 dot numbers)."""
    found = set()
    for row, line in enumerate(canvas.lines()):
        for column, char in enumerate(line):
            bits = ord(char) - 0x2800 if char != " " else 0
            found |= {(column * 2 + x, row * 4 + y) for bit, (x, y) in BRAILLE.items() if bits & bit}
    return found


@pytest.mark.parametrize("at", [(0, 0), (1, 0), (0, 3), (1, 3), (7, 6), (19, 19)])
def test_a_dot_lands_where_it_was_set(at: tuple[int, int]) -> None:
    canvas = Canvas(10, 5)
    canvas.dot(*at)
    assert dots(canvas) == {at}


def test_dots_off_the_surface_are_left_out() -> None:
    canvas = Canvas(4, 2)
    for at in ((-1, 0), (0, -1), (8, 0), (0, 8), (1e9, -1e9)):
        canvas.dot(*at)
    canvas.write(-3, 0, "ab")
    canvas.write(3, 1, "long text")
    assert dots(canvas) - {(6, 4)} == set() or canvas.lines() == ["    ", "   l"]


@pytest.mark.parametrize(("inside", "width"), [(24.99, 3.53), (5.28, 1.78), (100.0, 5.33), (2.9, 1.78)])
def test_a_ring_is_drawn_to_scale(inside: float, width: float) -> None:
    canvas = Canvas(60, 30)
    outer = 55.0
    inner = outer * inside / (inside + 2 * width)
    canvas.ring(60, 60, outer, inner)
    across = sorted(x for x, y in dots(canvas) if y == 60)
    left = [x for x in across if x < 60]
    # The wall's share of the OD, within a dot either side.
    wall = max(left) - min(left)
    assert wall == pytest.approx((outer * 2) * width / (inside + 2 * width), abs=1.6)
    assert max(across) - min(across) == pytest.approx(outer * 2, abs=1)
    # Area of an annulus: π(R² − r²).
    # Its outlines may stand half a dot over either edge.
    true = pi * (outer**2 - inner**2)
    widest = pi * ((outer + 0.6) ** 2 - (inner - 0.6) ** 2)
    assert 0.97 * true <= len(dots(canvas)) <= 1.03 * widest


@pytest.mark.parametrize("columns", [16, 38, 45, 90])
@pytest.mark.parametrize("rows", [3, 5, 7, 20])
@pytest.mark.parametrize("plain", [False, True])
def test_pictures_fill_exactly_their_room(columns: int, rows: int, plain: bool) -> None:
    spots = [Spot("1", 24.99, 0.25, 3.53, 0.1), Spot("2", 25.2, 0.22, 3.5, 0.1)]
    for lines in (
        ring_lines(read(id=(24.9, 0.13), width=(3.5, 0.04)), columns, rows, "mm", plain=plain),
        ring_lines(None, columns, rows, "in", plain=plain),
        plane_lines(spots, Span(24.9, 0.1, 3.5, 0.05), columns, rows, "mm", plain=plain),
        plane_lines(spots, Span(None, 0.0, None, 0.0), columns, rows, "in", plain=plain),
        plane_lines([], Span(None, 0.0, None, 0.0), columns, rows, "in", plain=plain),
    ):
        assert len(lines) == rows
        assert all(cell_len(line) == columns for line in lines)
        if plain:
            assert all(char < "\u2800" or char > "\u28ff" for line in lines for char in line)


def test_the_ring_says_its_readings_and_their_error_in_the_session_unit() -> None:
    # SAE AS568-214: 0.984 in × 0.139 in, so an OD of 1.262 in; ±0.13 mm is 0.005 in, ±0.05 mm 0.002 in.
    text = "\n".join(ring_lines(read(id=(24.9936, 0.13), width=(3.5306, 0.05)), 60, 20, "in"))
    assert "ID 0.984 ±0.005" in text
    assert "OD ~1.262 ±0.009" in text  # 0.13 + 2·0.05 = 0.23 mm; worked out, so with a ~
    assert "width 0.139 ±0.002" in text


def in_dots(lines: list[str]) -> set[tuple[int, int]]:
    """The dots of a drawing's left side, where the ring stands; letters apart."""
    found = set()
    for row, line in enumerate(lines):
        for column, char in enumerate(line[:42]):
            if "\u2800" <= char <= "\u28ff":
                bits = ord(char) - 0x2800
                found |= {(column * 2 + x, row * 4 + y) for bit, (x, y) in BRAILLE.items() if bits & bit}
    return found


@pytest.mark.parametrize("error", [0.05, 0.13, 0.4])
@pytest.mark.parametrize("inside", [24.9, 60.0, 8.0])
def test_one_reading_is_two_thin_circles_of_the_least_and_the_most_it_allows(inside: float, error: float) -> None:
    lines = ring_lines(read(id=(inside, error)), 70, 20, "mm")
    times = int(re.findall(r"± ×(\d+)", "\n".join(lines))[0])
    across = sorted({x for x, y in in_dots(lines) if y == 39})
    # Four crossings of the middle line, no more: both circles, at the left and at the right; each a dot or two wide.
    groups = [x for x, before in zip(across, [-9, *across], strict=False) if x - before > 1]
    assert len(groups) == 4
    least, most = groups[2] - groups[1], groups[3] - groups[0]
    # To scale: the circles' diameters are as the least and the most, the error drawn so many times its length.
    want = (inside - times * error) / (inside + times * error)
    assert least / most == pytest.approx(want, abs=3 / most)


def test_a_ring_read_whole_stands_between_two_thin_circles_and_is_to_scale() -> None:
    lines = ring_lines(read(id=(24.9, 0.13), width=(3.5, 0.04)), 70, 20, "mm")
    text = "\n".join(lines)
    times = int(re.findall(r"± ×(\d+)", text)[0])
    across = sorted({x for x, y in in_dots(lines) if y == 45})
    groups = [x for x, before in zip(across, [-9, *across], strict=False) if x - before > 1]
    ends = [x for x, after in zip(across, [*across[1:], 999], strict=True) if after - x > 1]
    # Thin outer circle; the wall with its least and its most left dark in it; thin inner circle; the same at the right.
    assert len(groups) == 10
    wall, whole = ends[3] - groups[1] + 1, ends[8] - groups[1] + 1
    # Beside the middle line a wall looks a little thicker than its 3.5 in 31.9 mm.
    assert wall / whole == pytest.approx(3.5 / 31.9, abs=0.03)
    assert (groups[9] - groups[0]) / whole == pytest.approx((31.9 + times * 0.21) / 31.9, abs=0.03)


@pytest.mark.parametrize(
    ("residual", "figure", "word"),
    [(0.0, "+0.0", "ok"), (0.9, "+0.9", "ok"), (-1.0, "-1.0", "ok"), (1.2, "+1.2", "OFF"), (-8.0, "-8.0", "OFF")],
)
def test_a_band_says_in_figures_and_in_a_word_where_the_reading_lies(residual: float, figure: str, word: str) -> None:
    line = band_line(Band("ID", residual), 50)
    assert line.split()[-2:] == [figure, word]
    box = line.index("["), line.index("]")
    mark = next(i for i, char in enumerate(line) if char in "◆◀▶")
    assert (box[0] < mark < box[1]) == (word == "ok")


def test_the_mark_moves_in_proportion() -> None:
    places = [band_line(Band("ID", value / 10), 80).index("◆") for value in range(-29, 30)]
    assert places == sorted(places)
    middle = band_line(Band("ID", 0.0), 80)
    half = (middle.index("]") - middle.index("[")) / 2
    assert places[-1] - places[0] == pytest.approx(5.8 * half, abs=2.5)


def test_the_plane_puts_larger_ids_right_and_larger_widths_up() -> None:
    spots = [Spot("1", 20.0, 0.1, 2.0, 0.05), Spot("2", 22.0, 0.1, 3.0, 0.05)]
    lines = plane_lines(spots, Span(None, 0.0, None, 0.0), 60, 14, "mm")
    at = {mark: (column, row) for row, line in enumerate(lines[:-1]) for column, mark in enumerate(line) if mark in "12"
          and not line.startswith(("width", "1.", "2."))}  # fmt: skip
    assert at["1"][0] < at["2"][0]
    assert at["1"][1] > at["2"][1]
