"""What is typed is kept through every change of size and place; hostile text neither crashes nor shows as markup."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events
from textual.widgets import Input

from tests.tui.counter import HOSTILE, toasts
from tests.tui.judge.opened import LARGE, LETTERS, SMALL, bench, fill, judging, panel, screen_text, settle
from tui.screens.judge.screen import JudgeScreen

JUDGEMENTS = ("element", "fluid", "viscosity", "fill", "thread", "port", "torque", "seal")


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_hostile_text_in_every_field(tmp_path: Path, size: tuple[int, int]) -> None:
    async with judging(tmp_path, size=size) as pilot:
        for name in JUDGEMENTS:
            await pilot.press(f"alt+{LETTERS[name]}")
            await settle(pilot)
            typed = [ask.key for ask in panel(pilot).ASKS if not ask.words]
            for shift in range(0, len(HOSTILE) if size == SMALL else 1, 4):
                await fill(pilot, **{key: HOSTILE[(shift + i) % len(HOSTILE)] for i, key in enumerate(typed)})
                text = screen_text(pilot)
                assert "\x1b" not in text
                assert "\x00" not in text
            await pilot.press("question_mark")
            await settle(pilot)
            await pilot.press("escape")
            await settle(pilot)
            assert isinstance(pilot.app.screen, JudgeScreen)
        assert not toasts(pilot)


async def test_hostile_text_in_the_tables(tmp_path: Path) -> None:
    async with judging(tmp_path, "tables") as pilot:
        for text in HOSTILE:
            bench(pilot).query_one(Input).value = text
            await settle(pilot)
            assert " of 186 fluids" in screen_text(pilot)


async def test_nothing_is_lost_on_resize_or_on_a_way_round_the_areas(tmp_path: Path) -> None:
    async with judging(tmp_path) as pilot:
        before = {}
        for name in JUDGEMENTS:
            await pilot.press(f"alt+{LETTERS[name]}", "insert")
            await settle(pilot)
            before[name] = panel(pilot).values
            assert any(before[name].values())
        focused = pilot.app.focused
        for size in (LARGE, (50, 20), (30, 10), SMALL):
            await pilot.resize_terminal(*size)
            await settle(pilot)
        assert pilot.app.focused is focused
        await pilot.press("f3")
        await settle(pilot)
        await pilot.press("f11")
        await settle(pilot)
        for name in JUDGEMENTS:
            await pilot.press(f"alt+{LETTERS[name]}")
            await settle(pilot)
            assert bench(pilot).id == name
            assert panel(pilot).values == before[name]


async def test_fields_that_do_not_apply_are_hidden_and_keep_their_text(tmp_path: Path) -> None:
    async with judging(tmp_path, "element") as pilot:
        await fill(pilot, kind="spin-on", thread="M20x1.5", gasket_id="62")
        assert panel(pilot).field("thread").display
        assert not panel(pilot).field("outlet").display
        await fill(pilot, kind="cartridge")
        assert not panel(pilot).field("thread").display
        assert "thread" not in panel(pilot).values, "what does not apply is not judged"
        await fill(pilot, kind="spin-on")
        assert panel(pilot).values["thread"] == "M20x1.5"


async def test_an_error_stands_at_its_field_and_goes_with_it(tmp_path: Path) -> None:
    async with judging(tmp_path, "fill") as pilot:
        await fill(pilot, full="12 kg")
        assert "! " in screen_text(pilot)
        assert "volume" in screen_text(pilot)
        await fill(pilot, full="12 qt")
        assert "! '12 kg'" not in screen_text(pilot)
        assert "12 US qt=11.356 L" in screen_text(pilot)


async def test_the_caution_always_stands(tmp_path: Path) -> None:
    async with judging(tmp_path) as pilot:
        for size in (SMALL, (50, 20)):
            await pilot.resize_terminal(*size)
            for name in JUDGEMENTS:
                await pilot.press(f"alt+{LETTERS[name]}")
                await settle(pilot)
                flat = " ".join(screen_text(pilot).split())
                assert " ".join(panel(pilot).CAUTION.split()) in flat


async def test_without_colour_every_line_still_has_a_sign_and_a_word(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with judging(tmp_path, "element") as pilot:
        await pilot.press("insert")
        await fill(pilot, head_diameter="26", depth="")
        text = screen_text(pilot)
        for word in ("✗ DOES NOT FIT", "✗ does not", "? measure this", "✓ fits"):
            assert word in text


async def test_keys_in_one_burst_come_out_in_their_order(tmp_path: Path) -> None:
    """What empties a field is done on the way up; letters that came after it must not be there before it."""
    async with judging(tmp_path, "fluid") as pilot:
        await fill(pilot, have="UTTO", need="STOU", figures="wet 140 C")
        pressed = ("tab", "ctrl+u", *"DOT 4", "tab", "ctrl+u", *"dry=18", "backspace", *"9")
        for key in pressed:
            letter = key if len(key) == 1 else None
            pilot.app.post_message(events.Key({" ": "space", "=": "equals_sign"}.get(key, key), letter))
        await settle(pilot)
        assert panel(pilot).values == {"have": "UTTO", "need": "DOT 4", "figures": "dry=19"}
