"""The groove cut through: areas and proportions counted in dots."""

from __future__ import annotations

import math

import pytest

from tui.widgets.groove.groove_picture import Section, section_lines

# Braille: the dots of a cell are the low bits of its code point (Unicode, block 2800).
PISTON = Section(3.53, 3.47, 2.84, 4.81, free_words="free", closed_words="closed")


def dots(lines: list[str]) -> list[list[bool]]:
    """The picture as rows of dots."""
    bits = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
    return [
        [bool(ord(cell) & bit) if 0x2800 <= ord(cell) < 0x2900 else False for cell in line for bit in pair]
        for line in lines
        for pair in bits
    ]


def halves(section: Section, columns: int, rows: int) -> tuple[list[list[bool]], list[list[bool]]]:
    lines = section_lines(section, columns, rows, plain=False)[:-1]
    half = (columns - 2) // 2
    return dots([line[:half] for line in lines]), dots([line[half + 2 :] for line in lines])


def solid(picture: list[list[bool]]) -> set[tuple[int, int]]:
    """Dots all of whose neighbours are set: the rubber without its rim; lines and hatching are too thin."""
    return {
        (i, j)
        for j in range(1, len(picture) - 1)
        for i in range(1, len(picture[j]) - 1)
        if all(picture[j + dy][i + dx] for dy in (-1, 0, 1) for dx in (-1, 0, 1))
    }


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (160, 50)])
def test_the_free_ring_is_round_and_the_squeezed_one_flatter_and_wider(size: tuple[int, int]) -> None:
    free, closed = (solid(picture) for picture in halves(PISTON, *size))

    def extent(places: set[tuple[int, int]], axis: int) -> int:
        values = [place[axis] for place in places]
        return max(values) - min(values) + 1

    assert abs(extent(free, 0) - extent(free, 1)) <= 1
    assert extent(closed, 1) < extent(free, 1)
    assert extent(closed, 0) > extent(closed, 1)
    # Height over height is gap over free width, 2.84 / 3.53, to a dot on either side.
    assert abs((extent(closed, 1) + 2) / (extent(free, 1) + 2) - 2.84 / 3.53) < 2.5 / extent(free, 1)


@pytest.mark.parametrize("size", [(120, 40), (160, 50)])
def test_squeezing_keeps_the_area(size: tuple[int, int]) -> None:
    free, closed = (len(solid(picture)) for picture in halves(PISTON._replace(stretched=3.53), *size))
    assert math.isclose(free, closed, rel_tol=0.1)


def test_a_ring_too_wide_for_its_groove_fills_it_and_stays_in_it() -> None:
    closed = solid(halves(PISTON._replace(width=3.0), 120, 40)[1])
    left, right = min(i for i, _ in closed), max(i for i, _ in closed)
    top, bottom = min(j for _, j in closed), max(j for _, j in closed)
    assert len(closed) == (right - left + 1) * (bottom - top + 1)
    # Width over depth of the groove, to a dot on either side.
    assert abs((right - left + 2) / (bottom - top + 2) - 3.0 / 2.84) < 0.15


def test_a_bore_opens_downwards() -> None:
    up = solid(halves(PISTON, 80, 24)[0])
    down = solid(halves(PISTON._replace(down=True), 80, 24)[0])
    assert {(i, j) for i, j in down} == {(i, 23 * 4 - 1 - j) for i, j in up}


def test_a_face_ring_rests_on_the_wall_the_pressure_pushes_it_to() -> None:
    places = {seat: solid(halves(PISTON._replace(seat=seat), 80, 24)[0]) for seat in ("inner", "middle", "outer")}
    middles = {seat: sum(i for i, _ in found) / len(found) for seat, found in places.items()}
    assert middles["inner"] < middles["middle"] < middles["outer"]


def test_a_port_is_drawn_with_its_chamfer() -> None:
    port = Section(2.2, 2.15, 1.75, None, chamfer=12.0, free_words="ring 2.20 mm")
    free, closed = halves(port, 80, 24)
    assert solid(free)
    assert solid(closed)
    assert solid(free) != solid(closed)


def test_words_stand_beneath_and_no_picture_is_wider_than_its_room() -> None:
    for columns, rows in ((26, 5), (37, 8), (41, 9), (120, 40), (10, 3), (80, 2)):
        lines = section_lines(PISTON, columns, rows, plain=True)
        assert all(len(line) <= columns for line in lines)
        assert not any(0x2800 <= ord(cell) < 0x2900 for line in lines for cell in line)
    assert "free" in section_lines(PISTON, 40, 9, plain=False)[-1]
    assert section_lines(None, 40, 9, plain=False)[0].strip() == "The groove is drawn here."
