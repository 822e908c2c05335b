"""The drawings as text: to scale, marked where they leak, and in plain characters where asked."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.joints import Seen
from tui.screens.judge.element import ElementPanel
from tui.screens.judge.panel import Panel
from tui.seal_sections import SECTIONS, sections
from tui.widgets.judge.ask_field import AskField, PickField
from tui.widgets.judge.element_in_housing import EndShape, InHousing, SeatShape, housing_lines, pair_lines, place
from tui.widgets.judge.load_bars import LoadBar, bar_line
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.section_text import Drawn, drawn_lines
from tui.widgets.judge.sight_glass import Glass, glass_lines
from tui.widgets.judge.step_path import Step, path_lines
from tui.widgets.judge.temperature_bars import TemperatureBar
from tui.widgets.judge.temperature_bars import bar_line as temperature_line
from tui.widgets.judge.thread_profile import Profile, profile_lines
from tui.widgets.judge.viscosity_plot import Dot, Plot, plot_lines

IN_PLACE = InHousing(
    60, 120, EndShape("open", 30, Mark.GOOD), EndShape("closed", None, Mark.GOOD), SeatShape("spigot", 30.5),
    SeatShape("none"), 130, 75, 18, "head", length_mark=Mark.GOOD, sizes="element 60 × 120",
)  # fmt: skip
HOUSINGS = [
    None,
    IN_PLACE,
    IN_PLACE._replace(outlet="cover", head=EndShape("?"), depth_mm=None),
    IN_PLACE._replace(bore_mm=None, cover_seat=SeatShape("flat", 20, 50), head=EndShape("screened", 30, Mark.CARE)),
    InHousing(93, 142, screwed=True, thread_mm=19, gasket_mm=(62, 71, 5), land_mm=(60, 73), depth_mm=160, bore_mm=120),
    InHousing(0.1, 5000),
    InHousing(5000, 0.1, depth_mm=1, bore_mm=1),
]


def dots(lines: list[str]) -> set[tuple[int, int]]:
    """Every dot set, as (across, down) in dots."""
    bits = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
    found = set()
    for row, text in enumerate(lines):
        for column, letter in enumerate(text):
            code = ord(letter) - 0x2800
            if 0 < code < 256:
                found |= {
                    (column * 2 + x, row * 4 + y) for x in range(2) for y in range(4) if code & bits[x][y]
                }  # fmt: skip
    return found


@pytest.mark.parametrize(("columns", "rows"), [(38, 14), (68, 14), (100, 30)])
def test_a_housing_is_drawn_to_scale(columns: int, rows: int) -> None:
    found = dots(housing_lines(IN_PLACE, columns, rows, plain=False)[1:-1])
    across = max(x for x, _ in found) - min(x for x, _ in found)
    down = max(y for _, y in found) - min(y for _, y in found)
    # The housing is 130 long and 75 across; a dot of rounding at each edge.
    assert across / down == pytest.approx(130 / 75, abs=2.5 * 130 / 75 / down)


def test_a_spring_that_reaches_holds_it_on_the_seat_at_the_outlet() -> None:
    assert place(IN_PLACE) == (0, 120, 130)
    assert place(IN_PLACE._replace(outlet="cover")) == (10, 0, 10)


def test_a_spring_too_short_leaves_the_gap_at_the_outlet() -> None:
    short = IN_PLACE._replace(spring_mm=4, length_mark=Mark.BAD)
    assert place(short) == (6, 126, 130)
    assert place(short._replace(outlet="cover")) == (4, 0, 4)
    assert "length" in housing_lines(short, 60, 12, plain=False)[-1]


def test_the_end_that_leaks_says_so_in_a_word_and_a_sign() -> None:
    leaky = IN_PLACE._replace(head=EndShape("open", 30, Mark.BAD))
    lines = housing_lines(leaky, 60, 12, plain=False)
    assert lines[0].startswith("head ✗ LEAKS")
    assert lines[0].rstrip().endswith("cover ✓ seals")
    assert sum(line.count("✗") for line in lines[1:-1]) == 2, "at both edges of the opening"
    assert "◂ out" in "\n".join(lines)
    assert "✗" not in "\n".join(housing_lines(IN_PLACE, 60, 12, plain=False))


@pytest.mark.parametrize("picture", HOUSINGS)
@pytest.mark.parametrize(("columns", "rows"), [(0, 0), (5, 2), (24, 5), (38, 12), (68, 14), (200, 60)])
def test_a_housing_of_any_size_in_a_box_of_any_size(picture: InHousing | None, columns: int, rows: int) -> None:
    lines = housing_lines(picture, columns, rows, plain=False)
    assert all(len(line) == columns for line in lines)
    assert len(lines) in (1, rows)


@pytest.mark.parametrize("picture", HOUSINGS)
def test_plain_characters_where_asked(picture: InHousing | None) -> None:
    assert "\n".join(housing_lines(picture, 60, 14, plain=True)).isascii()


@given(st.floats(20, 120), st.floats(20, 120), st.integers(60, 110), st.integers(8, 20), st.booleans())
def test_two_elements_are_drawn_to_one_scale_in_their_room(
    one: float, other: float, columns: int, rows: int, plain: bool
) -> None:
    old, new = (IN_PLACE._replace(length_mm=length, depth_mm=None, sizes="element") for length in (one, other))
    lines = pair_lines(old, new, columns, rows, "mm", plain=plain)
    assert len(lines) == rows
    assert all(len(line) == columns for line in lines)
    half = (columns - 3) // 2
    ends = []
    for part in ([line[:half] for line in lines[2:-2]], [line[half + 3 :] for line in lines[2:-2]]):
        inked = [at for at in range(half) if any(line[at : at + 1].strip() for line in part)]
        ends.append(inked[-1] - inked[0] + 1)
    # The longer one is drawn longer, in the proportion of their lengths, to a cell at each end.
    if abs(one - other) < 0.05:
        assert lines[-1].startswith("Both are as long")
    else:
        assert ("longer" if other > one else "shorter") in lines[-1]
    assert abs(ends[0] * other - ends[1] * one) <= 2.5 * max(one, other)


GLASS = Glass(10 / 12, 11 / 12, 0, "10 qt", "11 qt", "12 qt")


def row_with(lines: list[str], text: str) -> int:
    return next(i for i, line in enumerate(lines) if text in line)


def test_the_level_stands_between_the_marks_in_their_order() -> None:
    lines = glass_lines(GLASS, 40, 26, plain=False)
    assert row_with(lines, "full 12 qt") < row_with(lines, "low 11 qt") < row_with(lines, "now 10 qt")
    over = glass_lines(GLASS._replace(level=13 / 12, over=True, level_label="13 qt"), 40, 26, plain=False)
    assert row_with(over, "now 13 qt OVER") < row_with(over, "full 12 qt")


@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 0.75, 1.0])
def test_the_fluid_is_as_high_as_its_share(share: float) -> None:
    lines = glass_lines(GLASS._replace(level=share), 40, 72, plain=True)[1:-1]
    filled = sum("###" in line for line in lines)
    # A sixth of the glass is room for an over-fill.
    assert filled / len(lines) == pytest.approx(share / (7 / 6), abs=1 / len(lines))


def test_marks_that_fall_together_are_all_named() -> None:
    text = "\n".join(glass_lines(GLASS._replace(low=0.999, level=0.998), 40, 8, plain=False))
    assert all(word in text for word in ("full", "low", "now"))
    assert "low 11 qt = now" in "\n".join(glass_lines(GLASS._replace(level=GLASS.low), 40, 20, plain=False))
    assert "full 12 qt = now" in "\n".join(glass_lines(GLASS._replace(level=1.0), 40, 20, plain=False))


CURVE = Plot(
    [Dot(temp, 10000 / (temp + 50) ** 1.5 + 3, 0 <= temp <= 80) for temp in range(-40, 121, 2)],
    [Dot(40, 15, True), Dot(100, 8, True)], 5, 500, 0, 80, -10,
)  # fmt: skip


def test_the_curve_falls_from_left_to_right_and_the_limits_are_named() -> None:
    lines = plot_lines(CURVE, 70, 20, plain=False)
    text = "\n".join(lines)
    assert "most 500" in text
    assert "least 5" in text
    measured = sorted((line.index("o"), row) for row, line in enumerate(lines[:-1]) if "o " in line.replace("most", ""))
    assert measured == sorted(measured, key=lambda one: one[1]), "the hotter point is lower"
    assert "^" in lines[-2]
    assert all(str(temp) in lines[-1] for temp in (-40, 0, 40, 100))


@pytest.mark.parametrize(("columns", "rows"), [(0, 0), (10, 3), (24, 5), (36, 14), (120, 40)])
def test_a_plot_fits_any_box(columns: int, rows: int) -> None:
    for plot in (None, CURVE, Plot([], []), CURVE._replace(min_cst=None, max_cst=None)):
        assert all(len(line) == columns for line in plot_lines(plot, columns, rows, plain=False))


@pytest.mark.parametrize(("columns", "rows"), [(0, 0), (10, 3), (36, 14), (120, 40)])
@pytest.mark.parametrize(
    "thread", [None, Profile(8, 1.25, "M8"), Profile(64, 6, "M64"), Profile(26, 2.3, "R 3/4", True)]
)
def test_a_thread_fits_any_box(thread: Profile | None, columns: int, rows: int) -> None:
    assert all(len(line) == columns for line in profile_lines(thread, columns, rows, plain=False))


def test_a_thread_has_its_crests_a_pitch_apart() -> None:
    found = dots(profile_lines(Profile(8, 1.25, "M8"), 80, 20, plain=False)[:-2])
    top = min(y for _, y in found)
    crests = sorted(x for x, y in found if y == top and x > 4)
    starts = [x for x in crests if x - 1 not in crests]
    gaps = [b - a for a, b in pairwise(starts)]
    rule = next(
        i for i, line in enumerate(profile_lines(Profile(8, 1.25, "M8"), 80, 20, plain=False)) if "10 mm" in line
    )
    ends = [x for x, y in dots(profile_lines(Profile(8, 1.25, "M8"), 80, 20, plain=False)) if y // 4 == rule]
    ten_mm = max(ends) - min(ends)
    assert sum(gaps) / len(gaps) / ten_mm == pytest.approx(1.25 / 10, rel=0.03)


def test_a_bar_says_its_figure_and_marks_an_overload() -> None:
    bar = LoadBar("oiled", 0.8, 1.1, 1.3, chosen=True)
    line = bar_line(bar, 60, 1.4, plain=False)
    assert line.startswith("▸ oiled")
    assert line.endswith("110%!")
    assert line.index("●") > line.index("┃"), "past the proof load"
    assert bar_line(bar, 60, 1.4, plain=True).isascii()


def test_a_rubber_is_drawn_with_what_is_asked_of_it() -> None:
    """NBR serves -30 to 100 °C, 120 for a short time (S21, S22); 80 °C is inside, 110 in the short part."""
    inside = TemperatureBar("NBR", -30, 100, 120, -20, 80, True)
    line = temperature_line(inside, 70, plain=False)
    assert line.startswith("  NBR")
    assert line.count("┃") == 2
    assert line.rindex("┃") < line.index("╌")
    hot = temperature_line(inside._replace(hot=110, offered=False), 70, plain=False)
    assert hot.startswith("✗ NBR")
    assert hot.rindex("┃") > hot.index("╌")
    assert temperature_line(inside._replace(cold=-300, hot=900), 20, plain=True).isascii()


def test_a_path_names_each_step() -> None:
    lines = path_lines([Step(("A", "B", "C"), (Mark.GOOD, Mark.BAD))], 40, plain=True)
    assert [line.strip() for line in lines] == ["A", "| + may be used for", "B", "| x must not be used for", "C", ""]


def test_every_mark_has_its_own_sign() -> None:
    for plain in (False, True):
        assert len({mark.glyph(plain=plain) for mark in Mark}) == len(Mark)


@pytest.mark.parametrize("columns", [12, 24, 36, 37, 60, 80, 120])
def test_the_five_looks_of_a_seal_are_plain_and_named(columns: int) -> None:
    lines = sections(columns, "cone")
    text = "\n".join(lines)
    assert text.isascii()
    assert max(map(len, lines)) <= columns
    heads = " ".join(lines[::6]).split()
    assert heads == ["[cone]" if name == "cone" else name for name in SECTIONS]
    # A ring is drawn where a ring seals, and nowhere else.
    assert [name for name, drawn in SECTIONS.items() if "o" in "".join(drawn)] == ["chamfer", "face"]
    assert set(SECTIONS) == {str(one) for one in Seen}
    for kind in ("port", "washer", "shaft seal"):
        assert max(map(len, drawn_lines(Drawn(kind), 36))) <= 36


def test_the_fields_of_a_panel_fit_their_labels() -> None:
    assert issubclass(ElementPanel, Panel)
    from tui.widgets.judge.ask_field import LABEL

    assert all(len(ask.label) < LABEL - 1 for panel in Panel.__subclasses__() for ask in panel.ASKS)
    assert AskField("a", "b").can_focus is False
    assert PickField("a", ("?", "b")).can_focus
