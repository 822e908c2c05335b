"""A keyboard-wedge scanner for tests, and hands: keys with the moments they were pressed at."""

from __future__ import annotations

import asyncio
import time
from typing import Any

from textual import events
from textual.pilot import Pilot

from tests.tui.counter import settle
from tui.scanning import HOLD

SCANNER_S = 0.008
"""Between two keys: a scanner on a USB port that is asked every 8 ms."""
HANDS_S = 0.06
"""200 words a minute, faster than anybody types figures."""


async def type_at(pilot: Pilot[Any], text: str, every_s: float, *, enter: bool = True) -> None:
    """Post the keys, each stamped as pressed `every_s` after the one before."""
    at = time.monotonic()
    for letter in [*text, *("\r" if enter else "")]:
        event = events.Key("enter" if letter == "\r" else {" ": "space"}.get(letter, letter), letter)
        event.time = at = at + every_s
        pilot.app.post_message(event)
    await asyncio.sleep(at - time.monotonic())  # what comes next is pressed after these, on a quick machine too
    await settle(pilot)


async def scan(pilot: Pilot[Any], text: str) -> None:
    """What a scanner types."""
    await type_at(pilot, text, SCANNER_S)
    await asyncio.sleep(HOLD)  # what was held is let go, and the code looked up in a thread
    await settle(pilot)
