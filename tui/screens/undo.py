"""Undo from anywhere: the last change of this session, said in words, and the open screen refreshed."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import tui
from models.errors import WorkshopError

if TYPE_CHECKING:
    from tui.host import Host

NOTHING = "Nothing to undo yet."


def _undo(app: Host, since: int) -> str:
    tui.workshop.load()
    return app.workshop.undo(since)


async def undo_last(app: Host) -> None:
    """Take back the last change and say so."""
    screen = app.screen
    # A window may keep undo to what was done in it.
    since = getattr(screen, "undo_since", 0)
    try:
        what = await asyncio.to_thread(_undo, app, since)
    except WorkshopError as refused:
        app.tell(f"{refused.title}. {refused}", trouble=True)
        return
    nothing = "Nothing to undo here. Esc, then F9 undoes earlier changes." if since else NOTHING
    app.tell(f"Undone: {what}." if what else nothing)
    changed = getattr(screen, "workshop_changed", None)
    if what and changed is not None:
        changed()
