"""When a joint was sealed, noted over the kit by keys; what the finish, the sheet and the tally say of it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from textual.widgets import Input, Static

from models import kits, shelf
from models.inventory import bins, items
from models.kitting.needs import NeedSpec
from models.words import Kind
from tests.tui.counter import keys, settle, shown, toasts, write
from tests.tui.seed import NOON, act
from tests.tui.test_kits_lines import said
from tests.tui.test_kits_sheet import with_fluid
from tui.app import KitwrightApp


@pytest.fixture(autouse=True)
def _wall_in_utc(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "UTC")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def _with_sealant(folder: Path) -> KitwrightApp:
    """The second job needs a fluid with marks and gasket maker, which lies on the shelf and cures a day."""
    app = with_fluid(folder)
    with app.workshop.open().write() as session:
        place = bins.add(session, act(), code="S1").bin_id
        tube = items.add(
            session, act(), kind=Kind.SEALANT, name="Gasket maker, tube", spec_class="gasket maker", cure_minutes=1440
        )
        shelf.receive(session, act(), item_id=tube.item_id, bin_id=place, quantity=2)
        kits.add_need(session, act(), 2, NeedSpec(Kind.SEALANT, spec_class="gasket maker", title="gasket maker"))
        kits.allocate(session, act(), 2)
    app.workshop.open().clock = lambda: NOON
    return app


async def test_the_cure_counts_from_the_time_that_was_noted(tmp_path: Path) -> None:
    app = _with_sealant(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "r")
        assert "no fluid with marks, and no sealant." in toasts(pilot)
        # The last row is the tube's line, the one before it its need.
        await keys(pilot, "down", "enter", "end", "r")
        assert "gasket maker is not picked yet. P on its line picks it." in toasts(pilot)
        await keys(pilot, "p")
        assert "R: sealed when" in said(app, "#line-keys")
        await keys(pilot, "r")
        assert app.screen.query_one("#sealed-at", Input).value == "now"
        assert said(app, "#sealed-at-says") == "Sealed today 12:00, cured tomorrow 12:00."
        for typed, problem in (("12:01", "Today 12:01 is still to come; it is 12:00 now."), ("noon", "is not a time")):
            await write(pilot, typed)
            await keys(pilot, "enter")
            assert problem in said(app, "#sealed-at-says")
        await write(pilot, "9:30")
        await keys(pilot, "enter")
        assert "Noted: gasket maker is sealed today 09:30. F9 takes it back." in toasts(pilot)
        assert "Gasket maker: sealed today 09:30, may be filled tomorrow 09:30." in said(app, "#kit-finish")
        await keys(pilot, "up")
        assert "sealed Wed 25 Nov 09:30, noted by" in said(app, "#line-detail")
        # The sheet has the time in place of the blanks.
        await keys(pilot, "v")
        text = " ".join(said(app, "#sheet-text").split())
        assert "Gasket maker, tube: sealed 2026-11-25 09:30, may be filled 2026-11-26 09:30." in text
        assert "Sealed at" not in text
        # Who pours before it has cured is warned, not stopped.
        await keys(pilot, "escape", "home", "r")
        warned = "Gasket maker cures until tomorrow 09:30; the sealant's own data sheet decides."
        assert said(app, "#tally-curing") == f"! {warned}"
        assert warned not in toasts(pilot)
        await write(pilot, "6 qt")
        await keys(pilot, "enter")
        assert "1. poured 6 US qt" in shown(pilot)
        assert warned in toasts(pilot)
        await keys(pilot, "escape", "x")
        assert f"{warned} What is promised" in " ".join(str(one.content) for one in app.screen.query(Static))
        # Sealed again with the default, now; F9 lets the first note count again, an empty field takes that back too.
        await keys(pilot, "escape", "end", "r", "enter")
        assert "Gasket maker: sealed today 12:00, may be filled tomorrow 12:00." in said(app, "#kit-finish")
        await keys(pilot, "f9")
        assert "sealed today 09:30" in said(app, "#kit-finish")
        app.workshop.open().clock = lambda: NOON + timedelta(days=1)
        await keys(pilot, "y")
        assert "sealed yesterday 09:30, cured since today 09:30." in said(app, "#kit-finish")
        await keys(pilot, "r")
        assert "Noted before: sealed yesterday 09:30" in said(app, "#sealed-before")
        await write(pilot, "")
        await keys(pilot, "enter")
        assert "The last note on gasket maker is taken back." in toasts(pilot)
        assert "Gasket maker: if sealed today 12:00, may be filled tomorrow 12:00." in said(app, "#kit-finish")
