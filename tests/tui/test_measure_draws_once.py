"""One typed character draws each part of Measure once. Counted as requests, so that a slow machine changes nothing."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from textual.screen import Screen
from textual.scrollbar import ScrollBar
from textual.widget import Widget
from textual.widgets import Input

from tests.tui.counter import keys, make_app, settle


async def test_a_typed_character_draws_each_part_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    drawn: Counter[str] = Counter()
    refresh, lay_out = Widget.refresh, Screen._refresh_layout

    def noted(self: Widget, *regions: Any, **given: Any) -> Widget:
        # A field and a scroll bar are Textual's own; it asks several times for what it draws once.
        if not isinstance(self, Input | ScrollBar) and self.is_mounted:
            drawn[f"{type(self).__name__} {self.id}"] += 1
        return refresh(self, *regions, **given)

    def laid_out(self: Screen[Any], *given: Any, **more: Any) -> None:
        drawn["layout"] += 1
        lay_out(self, *given, **more)

    monkeypatch.setattr(Widget, "refresh", noted)
    monkeypatch.setattr(Screen, "_refresh_layout", laid_out)
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, *"24.9", "tab", "tab", *"3.5")
        before = app.screen.chosen  # type: ignore[attr-defined]
        drawn.clear()
        await keys(pilot, "3")
        assert app.screen.chosen is not before  # type: ignore[attr-defined]
        # The size was highlighted before, so where it lies is known: nothing comes later.
        assert drawn["Rows matches"] == 1
        assert {part: times for part, times in drawn.items() if times > 1} == {}
