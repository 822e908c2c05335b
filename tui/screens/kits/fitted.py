"""Once a job is closed: whether the rings it used fitted, so that the next service starts from the record."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tui.ring_words import ring_words
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.fits.fitted import Fitted
    from tui.kitting import Kitting
    from tui.screens.area import Area

MOST = 6
"""Rings named one by one; of more only the number is said."""


async def ask_what_fitted(area: Area, kitting: Kitting, job_id: int) -> None:
    """Ask, and put on record what a person says did fit. Silent where nothing of it is new."""
    from tui.screens.ask_yes import AskYes

    found = await area.ask(kitting.fitted, job_id)
    if not found or not await area.app.push_screen_wait(AskYes(*question(found))):
        return
    noted = await area.ask(kitting.note_fitted, job_id)
    if noted:
        area.say(f"On record: {len(noted)} {'ring' if len(noted) == 1 else 'rings'}. F9 takes it back.")


def question(found: Sequence[Fitted]) -> tuple[str, str]:
    """The question, and beneath it each ring with what is on record in its place."""
    machines = {one.machine_name for one in found}
    on = f" on {clean(machines.pop(), 30)}" if len(machines) == 1 else ""
    lines = []
    for one in found[:MOST]:
        place = clean(one.position_name if on else f"{one.machine_name}, {one.position_name}", 60)
        before = f", in place of {ring_words(one.record)}" if one.record is not None else ""
        lines.append(f"{place}: {clean(ring_words(one.ring))}{clean(before)}")
    if len(found) > MOST:
        lines.append(f"and {len(found) - MOST} more")
    many = len(found) > 1
    lines += ["", f"Yes puts {'them' if many else 'it'} on record: the next service starts from there."]
    return f"Did {'these rings' if many else 'this ring'} fit{on}?", "\n".join(lines)
