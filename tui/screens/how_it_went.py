"""How did the ring on record go, after its run: dry, wept or leaked? Space says it of the highlighted ring."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from catalog.orings.ran import Outcome
from tui.ring_words import ring_words
from tui.screens.ask import Ask, Choices, Key, Words, gives
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.fits.fit_records import FitRow
    from tui.kitting import Kitting
    from tui.screens.area import Area


async def ask_how_they_went(area: Area, kitting: Kitting, job_id: int) -> str:
    """Ask of the rings that were on record before a job where it needs one; what is to be said of that, or nothing."""
    before = await area.ask(kitting.unsaid, job_id)
    if not before:
        return ""
    said = await area.app.push_screen_wait(how_it_went(before))
    if not said:
        return ""
    noted = await area.ask(kitting.say_how_they_went, job_id, said)
    if not noted:
        return ""
    rings = "1 old ring" if len(noted) == 1 else f"{len(noted)} old rings"
    return f"Noted how {rings} held up. F9 takes that back."


def how_it_went(records: Sequence[FitRow]) -> Ask[Mapping[int, Outcome]]:
    """The rings on record; Space or ← → say how the highlighted one went, Enter notes what is said, Esc nothing.

    Hands back what was said, by the number of the record.
    """
    said: dict[int, Outcome] = {}

    def row(at: int) -> Row:
        one = records[at]
        went = said.get(one.fit_record_id)
        return Row((f"{one.position_name}, {one.machine_name}", ring_words(one), went.value if went else "–"), "")

    def words(at: int) -> list[str]:
        one = records[at]
        whole = f"{one.machine_name}, {one.position_name}: {ring_words(one)}, noted by {one.who} on {one.at:%Y-%m-%d}"
        return [clean(whole, 200)]

    def turned(step: int) -> Callable[[Ask[Mapping[int, Outcome]]], str]:
        def say(ask: Ask[Mapping[int, Outcome]]) -> str:
            """The next word of the highlighted ring, or the one before: not known, dry, wept, leaked."""
            number = records[ask.at()].fit_record_id
            ways = (None, *Outcome)
            way = ways[(ways.index(said.get(number)) + step) % len(ways)]
            said.pop(number, None)
            if way is not None:
                said[number] = way
            return ""

        return say

    return Ask(
        f"How did the old {'ring' if len(records) == 1 else 'rings'} hold up?",
        Choices(
            [Column("Place", 26, grow=True), Column("On record", 18), Column("It went", 8)],
            len(records),
            row,
            words=words,
            click="mark",
        ),
        Words("What leaked is not put first there again; what stayed dry counts."),
        keys=(
            Key(
                "mark after", "Dry, wept, leaked", "The next word: dry, wept, leaked, not known", turned(1), first=True
            ),
            Key("before", "The word before", "The word before", turned(-1)),
            Key("take", "Note", "Note what is said", gives(said)),
            Key("leave", "Not known", "Say nothing", gives({})),
        ),
        line="Space: dry, wept, leaked · Enter notes it · Esc: not known",
        name="how-it-went",
        looks="sheet wide",
    )
