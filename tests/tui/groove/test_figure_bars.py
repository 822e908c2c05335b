"""Bars of squeeze, stretch and fill: what is within a limit is drawn within its bracket, and the word says so too."""

from __future__ import annotations

import pytest

from tui.widgets.groove.figure_bars import FigureBar, head_line, track_line


def bar(least: float, nominal: float, most: float) -> FigureBar:
    return FigureBar("squeeze", least, nominal, most, (5, 30), (18, 25), "✓", "ok")


@pytest.mark.parametrize("columns", [30, 37, 38, 60, 90])
@pytest.mark.parametrize("figures", [(14.2, 18.0, 21.6), (5.0, 17.0, 30.0), (5.01, 5.02, 5.03), (29.98, 29.99, 30)])
def test_worst_cases_within_the_band_stand_between_the_brackets(
    columns: int, figures: tuple[float, float, float]
) -> None:
    line = track_line(bar(*figures), columns, plain=False)
    inside = line[line.index("[") + 1 : line.index("]")]
    assert "●" in inside
    for mark in "├┤":
        assert mark in inside or mark not in line  # the nominal may stand where a worst case does
    assert len(line) == columns


@pytest.mark.parametrize("columns", [37, 60])
@pytest.mark.parametrize(
    ("figures", "left", "right"),
    [((4.9, 17.0, 25.0), True, False), ((7.0, 17.0, 30.1), False, True), ((-40.0, 17.0, 80.0), True, True)],
)
def test_a_worst_case_beyond_the_band_stands_outside(
    columns: int, figures: tuple[float, float, float], left: bool, right: bool
) -> None:
    line = track_line(bar(*figures), columns, plain=False)
    before, after = line[5 : line.index("[")], line[line.index("]") + 1 :]
    assert any(mark in before for mark in "├◀") == left
    assert any(mark in after for mark in "┤▶") == right


def test_figures_the_band_and_the_word_are_written_out() -> None:
    assert head_line(bar(14.2, 18.0, 21.6), 38).split() == ["squeeze", "14.2", "/", "18.0", "/", "21.6", "%", "✓", "ok"]
    line = track_line(bar(14.2, 18.0, 21.6), 38, plain=False)
    assert line.split()[0] == "5"
    assert line.split()[-1] == "30"


def test_plain_characters_only_where_asked() -> None:
    shown = track_line(bar(-40, 18.0, 80), 38, plain=True)
    assert shown.isascii()
    assert "O" in shown
    assert "<" in shown
    assert ">" in shown


def test_long_figures_keep_the_word() -> None:
    long = FigureBar("stretch", -103.4, -100.2, -101.6, (-2, 8), (0, 5), "✗", "NO")
    assert head_line(long, 37).endswith("✗ NO")
