"""The app on a real pty: it paints, keys walk it, a reading gives a size, and it leaves the terminal as it was."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.end_to_end.conftest import Opener
from tests.end_to_end.terminal import Terminal

SIZES = [(80, 24), (120, 40)]
AREAS = ("Measure", "Catalog", "Kits", "Shelf")


def stands_open(area: str) -> Callable[[Terminal], bool]:
    """The area's name stands between the marks of the open one in the top line."""
    return lambda terminal: re.search(rf"▐[^▌]*{area}[^▌]*▌", terminal.lines[0]) is not None


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_the_first_frame_names_every_area(open_app: Opener, columns: int, rows: int) -> None:
    app = open_app("--demo", columns=columns, rows=rows)
    app.wait_for(*AREAS)


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_function_keys_walk_the_areas(open_app: Opener, columns: int, rows: int) -> None:
    app = open_app("--demo", columns=columns, rows=rows)
    app.wait(stands_open("Measure"), "Measure")
    for key, area in (("f3", "Catalog"), ("f4", "Kits"), ("f5", "Shelf"), ("f2", "Measure")):
        app.press(key)
        app.wait(stands_open(area), area)


# SAE AS568: size 214 is 0.984 in inside and 0.139 in wide, 24.99 × 3.53 mm.
@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_readings_typed_give_a_size(open_app: Opener, columns: int, rows: int) -> None:
    app = open_app("--demo", columns=columns, rows=rows)
    app.wait(stands_open("Measure"), "Measure")
    app.type("24.99")
    app.wait_for("= 24.99 mm")
    app.press("tab", "tab")
    app.type("3.53")
    app.wait_for("= 3.53 mm", "AS568-214")


def test_an_unfinished_reading_is_told_and_survives_a_resize(open_app: Opener) -> None:
    app = open_app("--demo", columns=120, rows=40)
    app.wait(stands_open("Measure"), "Measure")
    app.type("2 nuts")
    app.wait_for("2 nuts")
    app.resize(80, 24)
    app.wait_for("2 nuts", "F10")
    app.resize(120, 40)
    app.wait_for("2 nuts")


@pytest.mark.parametrize("key", ["ctrl+q", "f10"])
def test_both_keys_quit_with_0(open_app: Opener, key: str) -> None:
    app = open_app("--demo")
    app.wait(stands_open("Measure"), "Measure")
    app.press(key)
    assert app.wait_end() == 0


def test_leaving_restores_the_terminal(open_app: Opener) -> None:
    app = open_app("--demo")
    before = app.line_discipline
    app.wait(stands_open("Measure"), "Measure")
    assert app.line_discipline != before
    app.press("ctrl+q")
    app.wait_end_of_output()
    assert app.line_discipline == before
    # Main screen back, cursor shown, mouse and focus reports and bracketed paste off (xterm control sequences).
    for on, off in (
        (b"?1049h", b"?1049l"),
        (b"?25l", b"?25h"),
        (b"?1000h", b"?1000l"),
        (b"?1003h", b"?1003l"),
        (b"?1004h", b"?1004l"),
        (b"?2004h", b"?2004l"),
    ):
        assert app.raw.rfind(b"\x1b[" + off) > app.raw.rfind(b"\x1b[" + on) >= 0, off


def test_the_keyboard_protocol_is_given_back(open_app: Opener) -> None:
    app = open_app("--demo")
    app.wait(stands_open("Measure"), "Measure")
    app.press("ctrl+q")
    assert app.wait_end() == 0
    assert app.raw.count(b"\x1b[<u") == len(re.findall(rb"\x1b\[>\d+u", app.raw)) > 0


def test_no_color_paints_no_colour(open_app: Opener) -> None:
    app = open_app("--demo", NO_COLOR="1")
    app.wait(stands_open("Measure"), "Measure")
    app.type("24.99")
    app.wait_for("AS568-214")
    colours = {
        (int(red), int(green), int(blue)) for red, green, blue in re.findall(rb"[34]8;2;(\d+);(\d+);(\d+)", app.raw)
    }
    assert all(max(colour) - min(colour) == 0 for colour in colours), colours
