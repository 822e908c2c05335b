"""The curve as characters."""

from __future__ import annotations

from tui.widgets.buy.trade_off import Point, curve_lines

POINTS = [Point(0, 0.0), Point(1, 0.5), Point(2, 0.75), Point(4, 1.0)]


def test_the_chosen_point_stands_at_its_share_and_its_number() -> None:
    lines = curve_lines(POINTS, POINTS[2], 50, 14, plain=True)
    assert [len(line) for line in lines[:-1]] == [50] * 13
    (row,) = [line for line in lines if "O" in line]
    assert row.startswith(" 75 %|")
    # Two of four kept: half way along the 44 cells right of the axis.
    assert abs(row.index("O") - (6 + 43 / 2)) <= 1
    assert lines[-1].split() == ["0", "2", "4"]
    # 75 % of the way up twelve rows.
    assert abs(lines.index(row) - 0.25 * 11) <= 1


def test_it_rises_from_the_left_foot_to_the_right_top() -> None:
    lines = curve_lines(POINTS, None, 50, 14)
    assert lines[0].startswith("100 %│")
    assert lines[0].rstrip() != "100 %│"
    assert lines[11][6] != " "
    assert "●" not in "".join(lines)


def test_no_room_or_nothing_to_draw_draws_nothing() -> None:
    assert curve_lines(POINTS, None, 17, 14) == []
    assert curve_lines(POINTS, None, 50, 4) == []
    assert curve_lines([], None, 50, 14) == []
    assert curve_lines([Point(0, 0.0)], None, 50, 14)
