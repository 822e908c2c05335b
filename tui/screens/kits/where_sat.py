"""Before a job closes: where each ring sat whose need names no place, so that the next service finds it on record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from tui.screens.ask import Ask, Choices, Given, Key, Words, gives
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kitting.sat import Unplaced
    from models.machines import PositionRow
    from tui.fields.became import WhatBecame
    from tui.kitting import Kitting
    from tui.screens.area import Area

NOT_KNOWN = "don't know: it goes on no record"


async def ask_where_they_sat(
    area: Area, kitting: Kitting, job: JobRow, values: Mapping[str, Any]
) -> dict[int, PositionRow]:
    """Ask of each ring that went in; the places that were said, by the need's number. `values`: how the job closes."""
    became: WhatBecame | None = values.get("became")
    unused = {one.line_id for one, said in became.told if not said.used} if became is not None else set()
    rings = [one for one in await area.ask(kitting.unplaced, job.job_id) or () if one.left(unused)]
    said: dict[int, PositionRow] = {}
    for at, one in enumerate(rings):
        places = await area.ask(kitting.ring_places, job.machine_id)
        if places is None:
            break
        of = f" ({at + 1} of {len(rings)})" if len(rings) > 1 else ""
        answer = await area.app.push_screen_wait(where_it_sat(one, job.machine_name, places, of))
        if isinstance(answer, str):
            answer = await area.ask(kitting.add_place, job.machine_id, answer)
        if answer is not None:
            said[one.need_id] = answer
    return said


def where_it_sat(
    ring: Unplaced, machine: str, places: tuple[PositionRow, ...], of: str
) -> Ask[PositionRow | str | None]:
    """The machine's places for a ring; Enter hands back the highlighted one, or the name of a new one that is typed.

    Esc, or the first row, hands back None: nobody knows.
    """

    def row(at: int) -> Row:
        return Row((places[at - 1].name, places[at - 1].note)) if at else Row((NOT_KNOWN, ""), "dim")

    def taken(ask: Ask[PositionRow | str | None]) -> Given[PositionRow | str | None]:
        at = ask.at()
        return Given(ask.letters() or None) if at < 0 else Given(places[at - 1] if at else None)

    return Ask(
        f"Where did {clean(ring.item_name, 40)} sit on {clean(machine, 40)}?{of}",
        *([Words(f"It was needed as: {clean(ring.title)}")] if ring.title != ring.item_name else []),
        Choices(
            [Column("Place", 24, grow=True), Column("Note", 20, yields=1)],
            1 + len(places),
            row,
            label="Place; type to find it, or the name of a new one",
            room="some",
            narrows=True,
            adds="new place: {typed}",
            click="take",
        ),
        Words("The next service at that place starts from this ring."),
        keys=(
            Key("take", "It sat there", "It sat at the highlighted place", taken),
            Key("leave", "Don't know", "Where it sat is not known", gives(None)),
        ),
        line="↑ ↓ choose or type · Enter: it sat there · Esc: don't know",
        name="where-it-sat",
    )
