"""Once a job is closed: whether the rings it used fitted, so that the next service starts from the record."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.keys import key
from tui.ring_words import record_words, ring_words
from tui.screens.ask import Ask, Choices, Given, Key, Words, gives
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.fits.fitted import Fitted, Used
    from tui.kitting import Kitting
    from tui.screens.area import Area

BY_HAND = f"{key('machine')} on Measure, then {key('record')}, notes one by hand."


async def ask_what_fitted(area: Area, kitting: Kitting, job_id: int) -> str:
    """Ask, and put on record what a person says did fit; what is to be said of it, "" where nothing of it is new."""
    used = await area.ask(kitting.used, job_id)
    if used is None:
        return ""
    if not used.waiting:
        where = clean(", ".join(place.position_name for place in used.mixed), 100)
        return f"Several kinds of ring went in at {where}: it is not known which one fitted. {BY_HAND}" if where else ""
    chosen = await area.app.push_screen_wait(what_fitted(used))
    noted = await area.ask(kitting.note_fitted, job_id, chosen) if chosen else ()
    if noted:
        return f"On record: {len(noted)} {'ring' if len(noted) == 1 else 'rings'}. F9 takes that back first."
    return "" if noted is None else f"No ring was put on record. {BY_HAND}"


def what_fitted(used: Used) -> Ask[tuple[Fitted, ...]]:
    """The rings a job used, each ticked; Space takes a tick off, Enter hands back what is ticked, Esc nothing.

    No letter answers: the one that closed the job may still bounce.
    """
    waiting = used.waiting
    out: set[int] = set()
    machines = {one.machine_name for one in waiting}
    on = f" on {clean(next(iter(machines)), 40)}" if len(machines) == 1 else ""

    def row(at: int) -> Row:
        one = waiting[at]
        place = one.position_name if len(machines) == 1 else f"{one.position_name}, {one.machine_name}"
        before = record_words(one.record) if one.record is not None else "–"
        return Row((" " if at in out else "✓", place, ring_words(one.ring), before), "dim" if at in out else "")

    def words(at: int) -> list[str]:
        one = waiting[at]
        before = f", on record before {record_words(one.record)}" if one.record is not None else ""
        return [clean(f"{one.machine_name}, {one.position_name}: {ring_words(one.ring)}{before}", 200)]

    def tick(ask: Ask[tuple[Fitted, ...]]) -> str:
        """Take the highlighted ring's tick off, or set it again."""
        out.symmetric_difference_update({ask.at()})
        return ""

    def ticked(ask: Ask[tuple[Fitted, ...]]) -> Given[tuple[Fitted, ...]]:
        return Given(tuple(one for at, one in enumerate(waiting) if at not in out))

    mixed = clean(", ".join(place.position_name for place in used.mixed), 100)
    return Ask(
        f"Did {'this ring' if len(waiting) == 1 else 'these rings'} fit{on}?",
        Choices(
            [
                Column("", 1),
                Column("Place", 26, grow=True),
                Column("Went in", 18),
                Column("On record before", 19, yields=1),
            ],
            len(waiting),
            row,
            room="some",
            words=words,
            click="mark",
        ),
        Words("What is ticked goes on record: the next service starts from there."),
        *([Words(f"Several kinds went in at {mixed}: note by hand which fitted.")] if mixed else []),
        keys=(
            # Before the list, which would page on.
            Key("mark", "Tick", "Whether this one fitted", tick, first=True),
            Key("take", "On record", "Put what is ticked on record", ticked),
            Key("leave", "None", "Put none on record", gives(())),
        ),
        line="Enter: on record · Space: tick · Esc: none of them",
        name="what-fitted",
        looks="sheet wide",
    )
