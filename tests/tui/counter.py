"""The app on a seeded workshop, and waiting for it to come to rest, for the screens' tests."""

from __future__ import annotations

import asyncio
import re
from importlib import import_module
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.screen import ModalScreen, Screen
from textual.widgets import Input

from tests.tui.seed import seed
from tui.app import KitwrightApp

# A screen asks the database once the cursor has rested; `settle` waits for that anyway, so tests need no long rest.
for module, rest in (
    ("tui.screens.measure.screen", "SHELF_REST"),
    ("tui.host", "WARM_REST"),
    ("tui.screens.groove.screen", "SHELF_REST"),
    ("tui.screens.shelf.screen", "LEDGER_REST"),
):
    setattr(import_module(module), rest, 0.01)
# The tests' fingers are quick.
import_module("tui.bounce").REST = 0.0  # type: ignore[attr-defined]
import_module("tui.app").DIGIT_REST = 0.0  # type: ignore[attr-defined]

# Brackets read as markup, an unclosed tag, a quote that ends nothing, wide and combining letters, right-to-left,
# an emoji, a NUL, a line break, an escape sequence, and length.
HOSTILE = (
    "[/foo] x",
    '[b 3/8"',
    "[red]r[/red]",
    "漢字の缶",
    "e\u0301\u0301",
    "עברית",
    "🔧🔧",
    "a\x00b",
    "a\nb",
    "\x1b[31m",
    "w" * 5000,
)
# What a database takes: no control characters, a bounded length.
STORABLE = tuple(text for text in HOSTILE if text.isprintable() and len(text) < 200)


class Shown(KitwrightApp):
    """The app, whose pictures name no outside font host, and in which a page that never stands is a failure."""

    def waited_in_vain(self, page: Screen[Any]) -> None:
        raise AssertionError(f"{page} never had its parts: {list(self.workers)}")

    def export_screenshot(self, *, title: str | None = None, simplify: bool = False) -> str:
        svg = super().export_screenshot(title=title, simplify=simplify)
        return re.sub(r"@font-face\s*\{[^}]*\}|<!--.*?-->", "", svg)


def make_app(folder: Path, unit: str = "mm") -> KitwrightApp:
    """The app over a fresh seeded workshop."""
    return Shown(data=str(seed(folder / "workshop.sqlite3")), unit=unit)


async def settle(pilot: Pilot[Any]) -> None:
    """Wait until nothing is being worked out; a question on screen counts as rest."""
    app = pilot.app
    assert isinstance(app, KitwrightApp)
    for _ in range(500):
        await pilot.pause()
        asked = isinstance(app.screen, ModalScreen)
        busy = [w for w in app.workers if not w.is_finished and not (asked and w.group in ("accept", "change", "list"))]
        if app.fields_ready and not busy:
            await pilot.pause()
            return
        await asyncio.sleep(0.01)
    raise AssertionError(f"the app never came to rest: {list(app.workers)}")


async def keys(pilot: Pilot[Any], *pressed: str) -> None:
    """Press keys as a person does: each once the screen stands still. An area must be read before a key moves in it."""
    for key in pressed:
        await pilot.press(key)
        await settle(pilot)


async def write(pilot: Pilot[Any], text: str) -> None:
    """Put text into the focused field at once, then wait."""
    focused = pilot.app.screen.focused
    assert isinstance(focused, Input), focused
    focused.value = text
    await settle(pilot)


def shown(pilot: Pilot[Any]) -> str:
    """Every line of the screen as plain text."""
    app = pilot.app
    return "\n".join("".join(segment.text for segment in strip) for strip in app.screen._compositor.render_strips())


def toasts(pilot: Pilot[Any]) -> str:
    """All messages the app has given, newest last."""
    said = pilot.app.said if isinstance(pilot.app, KitwrightApp) else ()
    return "\n".join([*(note.message for note in pilot.app._notifications), *said])
