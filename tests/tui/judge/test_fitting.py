"""What do we have that fits this housing? From the element's fields to the ranked sheet, by keys."""

from __future__ import annotations

from pathlib import Path

from models.database import open_workshop
from tests.models.supplier_lists import lists
from tests.models.test_elements import LINES, fill
from tests.tui.counter import toasts
from tests.tui.judge.opened import fill as fill_fields
from tests.tui.judge.opened import judge_screen, judging, screen_text, settle


async def test_what_fits_is_ranked_with_bin_short_and_how_sure(tmp_path: Path) -> None:
    file = str(tmp_path / "workshop.sqlite3")
    fill(file)
    workshop = open_workshop(file)
    lists.take_over(workshop, lists.supplier(workshop), lists.written(tmp_path / "list.csv", LINES))
    workshop.close()
    async with judging(tmp_path) as pilot:
        assert "^S In the shop" in screen_text(pilot)
        # By likeness while nothing of the housing is known.
        await fill_fields(pilot, line="cartridge, 60 × 120, open 30 at one end")
        await pilot.press("ctrl+s")
        await settle(pilot)
        assert pilot.app.screen.name == "fitting"
        text = screen_text(pilot)
        assert "What do we have that is like this element?" in text
        assert "Of 5: 3 fit, or fit with care, 2 do not fit." in text
        first = next(line for line in text.splitlines() if "▸" in line)
        assert "fits" in first
        assert "Short cartridge" in first
        assert "SHORT: none on the shelf" in first
        assert "Never measured, so not searched: Odd filter." in text
        await pilot.press("down", "down")
        await settle(pilot)
        assert "80 % sure" in screen_text(pilot)
        await pilot.press("enter")
        await settle(pilot)
        assert pilot.app.screen.name == "reasons"
        await pilot.press("escape", "escape")
        await settle(pilot)

        # Common practice, no source: what is longer than its housing is deep does not close.
        await fill_fields(pilot, depth="121", bore="75", outlet="head", head="spigot", head_diameter="30.5")
        await pilot.press("escape", "o")
        await settle(pilot)
        text = screen_text(pilot)
        assert "What do we have that fits this housing?" in text
        assert next(line for line in text.splitlines() if "60X128" in line).count("does not") == 1
        await pilot.press("escape", "f8", "ctrl+s")
        await settle(pilot)
        assert "Measure the housing first, or describe the element." in toasts(pilot)
        # The key belongs to elements only.
        await pilot.press("alt+s")
        await settle(pilot)
        assert "In the shop" not in screen_text(pilot)
        await pilot.press("ctrl+s")
        await settle(pilot)
        assert judge_screen(pilot).panel is not None
