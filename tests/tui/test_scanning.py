"""A scan works from every screen, leaves nothing behind, and hands are never taken for one."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from models.inventory import bar_codes
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.scanner import HANDS_S, scan, type_at
from tui.app import KitwrightApp
from tui.scanning import could_be_code, is_code, read
from tui.sheets.bin_code import bin_code

GTIN = "6291041500213"
"""The example of the GS1 General Specifications' check digit table."""
WRONG = "6291041500214"


def tied(folder: Path) -> KitwrightApp:
    """The seeded workshop, where the rags' pack has the bar code."""
    app = make_app(folder)
    (rags,) = app.workshop.stock("rags").rows
    app.workshop.change(lambda session, act: bar_codes.tie(session, act, GTIN, rags.item_id))
    return app


def listed(app: KitwrightApp) -> list[tuple[str, str]]:
    """Bin and item of each row the Shelf shows."""
    return [(row.bin_code, row.item_name) for row in app.screen._stock]  # type: ignore[attr-defined]


async def test_from_every_area_a_scan_opens_the_shelf_there_and_leaves_fields_as_they_were(tmp_path: Path) -> None:
    app = tied(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        rags = [("C1", "Rags")]
        in_c1 = [("C1", "O-ring JIS P25 FKM"), ("C1", "Rags")]
        # Measure: the first field has the focus and half a reading in it.
        await write(pilot, "24.")
        for text, found in ((GTIN, rags), (bin_code("c1"), in_c1), (f"]E0{GTIN}", rags), (f"]C1010{GTIN}10AB", rags)):
            await keys(pilot, "f2")
            assert isinstance(app.focused, Input)
            app.focused.cursor_position = 2
            await scan(pilot, text)
            assert app.current_mode == "shelf"
            assert listed(app) == found
        await keys(pilot, "f2")
        assert isinstance(app.focused, Input)
        assert (app.focused.value, app.focused.cursor_position) == ("24.", 2)
        # Areas whose lists have the focus: no figure of the code opens another area, no letter does anything.
        for area in ("f3", "f4", "f11", "ctrl+y", "ctrl+f"):
            await keys(pilot, area)
            before = app.workshop.stock("").rows
            await scan(pilot, bin_code("C1"))
            assert app.current_mode == "shelf", area
            assert listed(app) == in_c1
            await keys(pilot, area)
            await scan(pilot, GTIN)
            assert app.current_mode == "shelf", area
            assert listed(app) == rags
            assert app.workshop.stock("").rows == before
        await keys(pilot, "f8")
        assert len(listed(app)) == 4
        assert app.screen.query_one("#search", Input).value == ""


async def test_a_wrong_check_digit_says_so_and_hands_are_no_scanner(tmp_path: Path) -> None:
    app = tied(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        # Digits that do not check (by the table above) are what was typed: they stay, and Enter is the screen's.
        await scan(pilot, WRONG)
        assert "ID can't be used:" in toasts(pilot)
        assert app.current_mode == "measure"
        assert app.focused.value == WRONG  # type: ignore[union-attr]
        # No field takes them here: they are told to be wrong, and no digit opens an area.
        await keys(pilot, "f3")
        app.screen.set_focus(None)
        await scan(pilot, WRONG)
        assert f"{WRONG} does not check: the last digit would be 3." in toasts(pilot)
        assert app.current_mode == "catalog"
        # By hand the same figures are a search, even right ones, and Enter is the list's.
        await keys(pilot, "ctrl+f")
        await type_at(pilot, GTIN, HANDS_S, enter=False)
        await type_at(pilot, "", HANDS_S)
        assert app.current_mode == "find"
        assert app.focused.value == GTIN  # type: ignore[union-attr]
        # Fast, but no code: a part number scanned into the search is what is searched for.
        app.focused.value = ""  # type: ignore[union-attr]
        await scan(pilot, "Q-77")
        assert app.focused.value == "Q-77"  # type: ignore[union-attr]
        # In a list a figure alone still opens its area, an unknown number opens none.
        await keys(pilot, "f4", "4")
        assert app.current_mode == "shelf"
        await keys(pilot, "f4")
        await scan(pilot, "1234567")
        assert app.current_mode == "kits"
        assert "has 7 digits; a GTIN has 8, 12, 13 or 14" in toasts(pilot)
        # Nor do letters: D would strike the need, X close the job.
        await keys(pilot, "enter")
        kit = app.screen._kit  # type: ignore[attr-defined]
        await scan(pilot, "DX-12D")
        assert "is not a row of digits" in toasts(pilot)
        assert app.workshop.kit(kit.job_id) == kit
        await type_at(pilot, "31", HANDS_S, enter=False)
        assert app.current_mode == "measure"
        await scan(pilot, bin_code("Z 99"))
        assert "There is no bin “Z 99” here." in toasts(pilot)


async def test_an_unknown_code_is_kept_for_an_item_and_a_question_takes_a_scan_or_stays(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await scan(pilot, GTIN)
        assert f"No item has the bar code {GTIN} yet." in toasts(pilot)
        assert app.current_mode == "shelf"
        await keys(pilot, "end", "n")
        assert app.focused.value == GTIN  # type: ignore[union-attr]
        await write(pilot, WRONG)
        await keys(pilot, "enter")
        assert "the last digit would be 3" in shown(pilot)
        await scan(pilot, GTIN)
        assert "is Tractor fluid, drum." in toasts(pilot)
        await scan(pilot, GTIN)
        assert listed(app) == [("F2", "Tractor fluid, drum")]
        assert f"bar code {GTIN}" in shown(pilot)
        # Receive takes a bin's label; a form that has no use for it stays as it is.
        await keys(pilot, "ctrl+r")
        app.screen.query_one("#quantity", Input).focus()
        await settle(pilot)
        # A lot is kept as typed, whatever it looks like, and Enter after it is the form's.
        app.screen.query_one("#lot", Input).focus()
        for lot in ("20260301", GTIN):
            await write(pilot, "")
            await scan(pilot, lot)
            assert app.screen.query_one("#lot", Input).value == lot
            assert app.focused.id == "quantity"  # type: ignore[union-attr]
            app.screen.query_one("#lot", Input).focus()
        # Digits that are no known code stay in any field: 96385074 checks (from memory, the usual example of 8).
        app.screen.query_one("#bin", Input).focus()
        await write(pilot, "")
        await scan(pilot, "96385074")
        assert app.screen.query_one("#bin", Input).value == "96385074"
        app.screen.query_one("#quantity", Input).focus()
        await settle(pilot)
        await write(pilot, "20")
        await scan(pilot, bin_code("B3"))
        assert [app.screen.query_one(f"#{name}", Input).value for name in ("bin", "quantity")] == ["B3", "20"]
        await scan(pilot, GTIN)
        assert "Close this first, then scan again." in toasts(pilot)
        assert app.screen.query_one("#quantity", Input).value == "20"
        await keys(pilot, "escape", "f9")
        assert "Undone: the bar code." in toasts(pilot)
        assert app.workshop.read(lambda session: bar_codes.look(session, GTIN)).item_id is None


@pytest.mark.parametrize(
    ("text", "in_field", "outside"),
    [
        (GTIN, True, True),
        (GTIN[:8], True, True),
        (GTIN[:9], False, True),
        ("12345", False, True),
        ("123", False, False),
        ("KITBIN B3", True, True),
        ("kitbin b3", True, True),
        ("KITBIN ", False, True),
        ("]E0" + GTIN, True, True),
        ("(01)" + GTIN, True, True),
    ],
)
def test_what_is_a_code(text: str, in_field: bool, outside: bool) -> None:
    assert could_be_code(text)
    assert (is_code(text, in_field=True), is_code(text, in_field=False)) == (in_field, outside)


def test_what_can_never_become_one() -> None:
    for text in ("24.9", "KK", "kb", "a", "12a", "(02)", "]", "1 1/8", "KITBOX 1"):
        assert could_be_code(text) == (text == "]"), text
    assert read("KITBIN Drawer F1").bin_code == "Drawer F1"
