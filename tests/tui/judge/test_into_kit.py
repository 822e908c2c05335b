"""What a judgement was asked for goes on a job's kit, by keys; what was offered plays no part."""

from __future__ import annotations

from pathlib import Path
from typing import cast

from sqlmodel import col, select
from textual.widgets import Input

from catalog.filters.housing import Housing
from models.kitting.kit_view import NeedView
from models.storage.check import check
from models.stored_text import from_text
from models.tables import Need
from tests.tui.counter import toasts
from tests.tui.judge.opened import fill, judging, panel, screen_text, settle
from tests.tui.seed import seed
from tui.app import KitwrightApp
from tui.screens.choose_job import ChooseJob


async def test_what_is_asked_for_goes_on_a_kit_and_is_undone(tmp_path: Path) -> None:
    seed(tmp_path / "workshop.sqlite3")
    async with judging(tmp_path, "fluid") as pilot:
        app = cast("KitwrightApp", pilot.app)
        job = app.workshop.jobs()[0].job_id

        async def press(*names: str) -> None:
            await pilot.press(*names)
            await settle(pilot)

        def last() -> NeedView:
            return app.workshop.kit(job).needs[-1]

        assert "F7 Into a kit" in screen_text(pilot)
        await press("f7")
        assert "Type what the machine asks for first." in toasts(pilot)
        # The drum in hand is a STOU; the machine asks for UTTO, and so does the kit. SAE J300 has 10W-30.
        await fill(pilot, have="STOU, 15W-40", need="10w-30, utto, API GL-4")
        await press("f7")
        assert isinstance(app.screen, ChooseJob)
        assert "UTTO 10w-30: for which job?" in screen_text(pilot)
        assert not app.screen.query("#pieces")
        # A mark in a length's unit is refused in a sentence, and what was typed stays.
        low, full = (app.screen.query_one(f"#detail-{key}", Input) for key in ("low", "full"))
        low.value = "4 ft"
        await press("enter")
        assert "! Low mark: 'ft' is a unit of length" in screen_text(pilot)
        assert app.screen.focused is low
        low.value, full.value = "2 qt", "2.5 qt"
        await press("enter")
        need = last()
        assert (need.spec_class, need.spec_grade, need.asks) == ("UTTO", "10w-30", ("API GL-4",))
        # 2.5 US quarts of 0.946352946 L (NIST Handbook 44, Appendix C).
        assert (need.low_ul, need.full_ul) == (1_892_706, 2_365_882)
        # The seeded drum is a UTTO 10W-30, but nothing says that it is a GL-4: what the machine asks besides counts.
        assert need.missing == need.wanted
        assert "SHORT 2.37 L" in toasts(pilot)

        await press("alt+e", "f7")
        assert "Measure the housing first" in toasts(pilot)
        await fill(pilot, kind="cartridge", line="cartridge, 60 × 120, open 30 at one end", depth="1x", bore="75")
        await press("f7")
        assert "A field of the housing can't be read" in toasts(pilot)
        await fill(pilot, depth="130", h_medium="100 mesh")
        await press("f7", "enter")
        need = last()
        assert need.title == "cartridge, room 75 × 130 mm, 100 mesh"
        # Nothing of the element that was offered is asked for.
        rows = app.workshop.read(lambda session: session.exec(select(Need.housing).order_by(col(Need.id))).all())
        housing = from_text(Housing, rows[-1] or "")
        assert (housing.takes, housing.depth_mm, housing.bore_mm) == ("cartridge", 130, 75)

        await press("alt+r", "f7")
        assert "No thread was found." in toasts(pilot)
        await press("insert")
        assert panel(pilot).ruling.word == "M8"
        await press("escape", "i")
        assert app.screen.query_one("#detail-class", Input).value == "M8"
        app.screen.query_one("#detail-class", Input).value = "M8 × 1.25 × 30"
        app.screen.query_one("#detail-grade", Input).value = "8.8"
        app.screen.query_one("#pieces", Input).value = "4"
        await press("enter")
        need = last()
        assert (need.title, need.pieces, need.spares) == ("M8 × 1.25 × 30 8.8", 4, 0)
        # Nothing is asked for by a torque.
        await press("alt+t")
        assert "Into a kit" not in screen_text(pilot)
        for left in (4, 3, 2):
            await press("f9")
            assert len(app.workshop.kit(job).needs) == left
        assert app.workshop.read(check).ok
