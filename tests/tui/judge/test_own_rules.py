"""The shop's own rules in Judge: said by keys, used at once, undone."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import Input

from tests.tui.counter import toasts
from tests.tui.judge.opened import fill, judging, panel, screen_text, settle
from tui.screens.judge.own_rules import OwnRulesScreen
from tui.widgets.judge.marks import Mark


async def test_own_rules_are_said_used_withdrawn_and_undone_by_keys(tmp_path: Path) -> None:
    async with judging(tmp_path, "fluid") as pilot:
        await fill(pilot, have="orchard-1", need="UTTO")
        assert panel(pilot).ruling.mark is Mark.BAD
        assert "^S In the shop" in screen_text(pilot)
        await pilot.press("ctrl+s")
        await settle(pilot)
        assert isinstance(pilot.app.screen, OwnRulesScreen)
        assert "Nothing yet." in screen_text(pilot)

        async def typed(have: str, need: str, steps: int, condition: str) -> None:
            have_field, need_field, if_field = pilot.app.screen.query(Input)
            have_field.value, need_field.value, if_field.value = have, need, condition
            need_field.focus()
            await pilot.press("tab", *["right"] * steps, "tab", "enter")
            await settle(pilot)

        # A caution without its condition is refused with a sentence, and nothing typed is lost.
        await typed("ORCHARD-1", "UTTO", 1, "")
        assert "A caution needs its condition" in toasts(pilot)
        assert pilot.app.screen.query(Input).first().value == "ORCHARD-1"
        await typed("ORCHARD-1", "UTTO", 0, "sprayers only")
        text = screen_text(pilot)
        assert "caution    ORCHARD-1          UTTO" in text
        assert "this shop's own: ORCHARD-1 where UTTO is asked: caution, if sprayers only." in toasts(pilot)
        # From caution it is six words on to a class of the shop's own.
        await typed("ORCHARD-1", "", 6, "the co-op's own mix")
        assert "a class    ORCHARD-1" in screen_text(pilot)
        await typed("[b]x", "API GL-4", 1, "\x1b[31m")
        assert "[b]x" in screen_text(pilot)

        await pilot.press("escape")
        await settle(pilot)
        ruling = panel(pilot).ruling
        assert ruling.mark is Mark.CARE
        assert "This rests on this shop's own rule" in " ".join(ruling.says)
        assert any(line.source == "this shop's own class" for line in ruling.lines)
        assert "entered by this shop" in next(line.source for line in ruling.lines if "for UTTO" in line.name)

        await pilot.press("ctrl+s")
        await settle(pilot)
        await pilot.press("shift+tab", "d")
        await settle(pilot)
        await pilot.press("escape")
        await settle(pilot)
        assert panel(pilot).ruling.mark is Mark.BAD
        await pilot.press("f9")
        await settle(pilot)
        assert panel(pilot).ruling.mark is Mark.CARE
