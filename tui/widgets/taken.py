"""Keys that come in a burst, from a scanner or over a slow line: Enter waits for the letters before it."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.widget import Widget

# No field needs this long; one that is going away never answers.
PATIENCE = 1.0


async def taken(field: Widget | None) -> None:
    """Return once the field has taken the keys that were sent to it.

    A priority key is handled by the app while the letters before it still wait in the field's own queue.
    """
    if field is None:
        return
    done = asyncio.Event()
    field.call_later(done.set)
    try:
        await asyncio.wait_for(done.wait(), PATIENCE)
    except TimeoutError:
        return
