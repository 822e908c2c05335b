"""The job sheet and the fluid tally over the kit, driven by keys."""

from __future__ import annotations

import sys
import threading
from fractions import Fraction
from pathlib import Path
from typing import Any

import pypdf
import pytest
from textual.widgets import Static

from models.kitting.fluid_tally import FluidTally
from models.tables import Filled
from tests.tui.counter import HOSTILE, STORABLE, keys, make_app, settle, shown, toasts, write
from tui.app import KitwrightApp
from tui.kitting import Kitting
from tui.screens.kits.tally import TallyScreen, VolumeInput
from tui.screens.kits.tally_words import stand

QUART = Fraction(231, 4) * Fraction(254, 10) ** 3
"""One US liquid quart in µL: 57.75 in³ with 1 in = 25.4 mm (NIST SP 811)."""


def with_fluid(folder: Path, title: str = "Transmission oil") -> KitwrightApp:
    """A workshop whose second job needs 11 to 12 US quarts."""
    from models import kits
    from models.kitting.needs import NeedSpec
    from models.words import Kind

    app = make_app(folder)
    low, full = round(11 * QUART), round(12 * QUART)
    spec = NeedSpec(Kind.FLUID, title=title, spec_class="UTTO", spec_grade="10W-30", low_ul=low, full_ul=full)
    app.workshop.change(lambda session, act: kits.add_need(session, act, 2, spec))
    return app


def says(app: KitwrightApp) -> str:
    return str(app.screen.query_one("#tally-says", Static).content)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_the_job_sheet_is_read_on_screen_and_written_as_a_pdf(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    monkeypatch.chdir(tmp_path)
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "v")
        assert app.screen.name == "job-sheet"
        text = shown(pilot)
        for words in ("JOB SHEET", "Reseal the spray pump", "Sprayer 2", "Enter writes a PDF", "Pick, bin by bin"):
            assert words in text
        # A rule 78 wide stands on one line (the sheet's text is 78 columns).
        assert "=" * 78 in text
        assert not [line for line in text.splitlines() if line.strip() in ("=", "-")]
        await keys(pilot, "e", "enter")
        assert app.screen.query_one("#ask-text").value == str(tmp_path / "job-1.pdf")  # type: ignore[attr-defined]
        await keys(pilot, "enter")
        assert "job-1.pdf" in toasts(pilot)
        page = pypdf.PdfReader(tmp_path / "job-1.pdf").pages[0]
        # The paper was changed to Letter, 8 1/2 in × 11 in (ANSI/ASME Y14.1, size A).
        assert [float(side) for side in page.mediabox[2:]] == pytest.approx([612, 792], abs=0.01)
        assert "O-ring AS568-214 NBR 70" in page.extract_text().replace("\n", " ")
        await keys(pilot, "escape")
        assert app.screen.name != "job-sheet"


async def test_where_the_pdf_cannot_go_is_told_and_the_sheet_stays(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "v", "enter")
        await write(pilot, str(tmp_path / "none" / "x.pdf"))
        await keys(pilot, "enter")
        assert "can't be written" in toasts(pilot)
        assert app.screen.name == "job-sheet"


async def test_without_the_printing_libraries_the_text_still_shows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tui.sheets.fonts import font

    font.cache_clear()
    monkeypatch.setitem(sys.modules, "reportlab", None)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "v")
        assert "JOB SHEET" in shown(pilot)
        await keys(pilot, "enter")
        assert "kitwright[print]" in toasts(pilot)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_each_pour_moves_the_level_and_an_over_fill_is_called(tmp_path: Path, size: tuple[int, int]) -> None:
    app = with_fluid(tmp_path)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        assert isinstance(app.screen, TallyScreen)
        for words in ("low 10.4", "full 11.3", "Enter notes it", "Nothing noted yet."):
            assert words in shown(pilot)
        # 6 + 5 = 11 quarts: at the low mark but for the half microlitre a mark is rounded by; 12 the full one.
        for typed, said in (
            ("6 qt", "Below the low mark. Pour"),
            ("5.5 qt", "Between the marks. Up to 0.47 L"),
            ("1 qt", "OVER-FILLED by 0.47 L"),
        ):
            await write(pilot, typed)
            await keys(pilot, "enter")
            assert said in says(app)
        assert "OVER" in shown(pilot)
        await write(pilot, "-")
        await keys(pilot, "enter")
        assert "Between the marks." in says(app)
        await keys(pilot, "escape", "r")
        assert "Between the marks." in says(app)


async def test_escape_right_after_enter_closes_once_every_entry_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    note, go_on = Kitting.note, threading.Event()

    def slow(self: Kitting, *given: Any) -> FluidTally:
        assert go_on.wait(30)
        return note(self, *given)

    monkeypatch.setattr(Kitting, "note", slow)
    app = with_fluid(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        await pilot.press(*"6 qt", "enter", *"5 qt", "enter")
        threading.Timer(0.3, go_on.set).start()
        await pilot.press("escape")
        await settle(pilot)
        assert not isinstance(app.screen, TallyScreen)
        await keys(pilot, "r")
        assert "1. poured 6 US qt" in shown(pilot)
        assert "2. poured 5 US qt" in shown(pilot)


async def test_several_volumes_go_in_together_or_not_at_all(tmp_path: Path) -> None:
    app = with_fluid(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        await write(pilot, "6 qt, 5 qt")
        await keys(pilot, "enter")
        assert "1. poured 6 US qt" in shown(pilot)
        assert "2. poured 5 US qt" in shown(pilot)
        assert isinstance(app.screen, TallyScreen)
        back = app.screen.query_one("#reused", VolumeInput)
        back.focus()
        back.value = "1 qt, 2 qt"
        await keys(pilot, "enter")
        assert "More was poured back than was drained" in str(app.screen.query_one("#pour-error", Static).content)
        assert "3. " not in shown(pilot)
        assert back.value == "1 qt, 2 qt", "what was refused stands in its field again"


async def test_what_is_no_pour_gets_a_sentence_and_is_not_added(tmp_path: Path) -> None:
    app = with_fluid(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        for text in (*(one for one in HOSTILE if one.isprintable()), "0", "-1 L", "3 mm"):
            await write(pilot, text)
            await keys(pilot, "enter")
            assert "! " in shown(pilot), text
            assert "Nothing noted yet." in shown(pilot)


async def test_a_kit_without_a_fluid_says_so(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "r")
        assert "needs no fluid" in toasts(pilot)


@pytest.mark.parametrize("title", STORABLE)
async def test_hostile_titles_show_as_they_are(tmp_path: Path, title: str) -> None:
    app = with_fluid(tmp_path, title)
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        assert isinstance(app.screen, TallyScreen)
        await keys(pilot, "escape", "v")
        assert app.screen.name == "job-sheet"


async def test_the_sheet_is_read_and_written_in_the_customer_s_language(tmp_path: Path) -> None:
    app = with_fluid(tmp_path)
    file = tmp_path / "sheet.pdf"
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "v")
        assert "T language: English" in shown(pilot)
        assert "ARBEITSBLATT" not in shown(pilot)
        await keys(pilot, "t")
        assert "T language: German" in shown(pilot)
        assert "ARBEITSBLATT" in shown(pilot)
        await keys(pilot, "enter")
        await write(pilot, str(file))
        await keys(pilot, "enter")
    assert "ARBEITSBLATT" in pypdf.PdfReader(file).pages[0].extract_text().upper()


def test_the_marks_themselves() -> None:
    low, full = 11_000_000, 12_000_000
    for litres, said in (
        (11, "At the low mark. Up to 1.00 L"),
        (12, "At the full mark. Nothing more"),
        (13, "OVER-FILLED by 1.00 L"),
    ):
        assert said in stand(low, full, [(Filled.POURED, Fraction(litres * 1_000_000))], "L").says
