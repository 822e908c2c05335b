"""Undo from anywhere: the last change of this session, said in words, and the open screen refreshed."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from models.errors import WorkshopError

if TYPE_CHECKING:
    from tui.app import KitwrightApp


def _undo(app: KitwrightApp) -> str:
    from tui.workshop import load

    load()
    return app.workshop.undo()


async def undo_last(app: KitwrightApp) -> None:
    """Take back the last change and say so."""
    screen = app.screen
    try:
        what = await asyncio.to_thread(_undo, app)
    except WorkshopError as refused:
        app.notify(str(refused), title=refused.title, severity="warning", markup=False)
        return
    app.notify(f"Undone: {what}." if what else "Nothing to undo yet.", markup=False)
    changed = getattr(screen, "workshop_changed", None)
    if what and changed is not None:
        changed()
