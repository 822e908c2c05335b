"""The pictures hold their proportions: counted in dots against the ring's own dimensions."""

from __future__ import annotations

from math import pi

import pytest
from rich.cells import cell_len

from tui.widgets.canvas import Canvas
from tui.widgets.pictures import Band, Ring, Span, Spot, band_line, plane_lines, ring_lines


def dots(canvas: Canvas) -> set[tuple[int, int]]:
    """The dots that are set, read back from the Unicode braille patterns (U+2800 block, ISO 11548-1 dot numbers)."""
    order = {
        0x01: (0, 0),
        0x02: (0, 1),
        0x04: (0, 2),
        0x40: (0, 3),
        0x08: (1, 0),
        0x10: (1, 1),
        0x20: (1, 2),
        0x80: (1, 3),
    }
    found = set()
    for row, line in enumerate(canvas.lines()):
        for column, char in enumerate(line):
            bits = ord(char) - 0x2800 if char != " " else 0
            found |= {(column * 2 + x, row * 4 + y) for bit, (x, y) in order.items() if bits & bit}
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
        ring_lines(Ring(24.99, 3.53), columns, rows, "mm", plain=plain),
        ring_lines(None, columns, rows, "in", plain=plain),
        plane_lines(spots, Span(24.9, 0.1, 3.5, 0.05), columns, rows, "mm", plain=plain),
        plane_lines(spots, Span(None, 0.0, None, 0.0), columns, rows, "in", plain=plain),
        plane_lines([], Span(None, 0.0, None, 0.0), columns, rows, "in", plain=plain),
    ):
        assert len(lines) == rows
        assert all(cell_len(line) == columns for line in lines)
        if plain:
            assert all(char < "\u2800" or char > "\u28ff" for line in lines for char in line)


def test_the_ring_says_its_dimensions_in_the_session_unit() -> None:
    # SAE AS568-214: 0.984 in × 0.139 in, OD 1.262 in.
    text = "\n".join(ring_lines(Ring(24.9936, 3.5306), 60, 20, "in"))
    assert "ID 0.984" in text
    assert "OD 1.262" in text
    assert "width 0.139" in text


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
