"""A printed sheet's text to read, and to write it or a picture to a file, or hand it to the browser."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

from textual.screen import Screen

import tui
from tui import sheets
from tui.screens.ask import Ask, gives
from tui.screens.asking import one_text
from tui.widgets.cells import clean

KINDS = {".pdf": "application/pdf", ".csv": "text/csv", ".txt": "text/plain", ".jpg": "image/jpeg"}
PAPER = "paper"
"""The looks of such a sheet."""
closes = gives(None)


def writes(question: str, name: str, make: Callable[[], bytes]) -> Callable[[Ask[None]], str]:
    """The answer of a key that writes what `make` makes: `question` asks for the file, `name` is the one proposed."""

    def begin(ask: Ask[None]) -> str:
        ask.run_worker(write(ask, question, name, make), group="change", exclusive=True)
        return ""

    return begin


async def write(page: Screen[None], question: str, name: str, make: Callable[[], bytes]) -> None:
    """Write it where the person says, or hand it to the browser."""

    def say(text: str, *, trouble: bool = False) -> None:
        page.notify(text, markup=False, timeout=10, severity="warning" if trouble else "information")

    try:
        made = await asyncio.to_thread(make)
    except sheets.fonts.PrintUnavailableError as missing:
        say(str(missing), trouble=True)
        return
    if page.app.is_web:
        page.app.deliver_binary(BytesIO(made), save_filename=name, mime_type=KINDS[Path(name).suffix])
        say(f"Sent {name} to the browser.")
        return
    target = await page.app.push_screen_wait(one_text(question, "A file there is replaced.", str(Path.cwd() / name)))
    if target is None:
        return
    try:
        file = await asyncio.to_thread(tui.saving.save, target, made)
    except tui.saving.SaveError as problem:
        say(str(problem), trouble=True)
    else:
        say(f"Wrote {clean(str(file))}")
