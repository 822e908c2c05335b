"""What is on the bench besides the ring's readings: the groove as typed and the machine's position it came from."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING

from textual.content import Content

from catalog import orings
from models import fits
from models.errors import NotFoundError, WorkshopError
from tui.keys import key
from tui.ring_words import ring_words
from tui.screens.area import in_thread
from tui.screens.groove.draft import Draft
from tui.screens.position.records import Place, place
from tui.screens.ring_list.listed import RingList
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from catalog.orings.evidence import Evidence
    from tui.answers.to_fit import Met
    from tui.workshop import ChosenRing, Workshop


class MeasureSession:
    """One ring's case. Measure keeps it; the groove's and the position's screens write to it.

    `met`: what the ring meets at work, as Measure's fields say; it decides the rubbers of the kit's need. Kept for the
    next ring: `bar`, how long the bar of the sheet for pictures is, as it was typed, and `pictures`, their folder.
    """

    def __init__(self) -> None:
        self.draft = Draft()
        self.place: Place | None = None
        self.question = ""
        self.met: Met | None = None
        self.rings = RingList()
        self.bar = ""
        self.pictures: Path | None = None
        self._seen: tuple[Place | None, object] = (None, None)

    def new_ring(self, draft: Draft | None = None, hand: int | None = None) -> None:
        """The next ring comes from another groove, if from the same machine. `hand`: its place in the list of rings."""
        self.draft = draft or Draft()
        self.rings.hand = hand

    @property
    def meets_there(self) -> tuple[str, str]:
        """The fluid and the hottest on record at the place, as Measure's fields have them."""
        if self.place is None or not self.place.meets:
            return "", ""
        return self.place.meets, "" if self.place.hottest_c is None else f"{self.place.hottest_c} °C"

    def no_rubber(self, ring: ChosenRing) -> str:
        """Why a ring can't be taken to a kit where no rubber may meet what was said; "" where one may."""
        return self.met.none_may if self.met is not None and not ring.rubbers else ""

    def moved(self) -> bool:
        """Whether the place or the groove is another since the last time this was asked."""
        now = (self.place, self.draft.groove)
        changed, self._seen = now != self._seen, now
        return changed

    def chosen_ring(self, chosen_ring: ChosenRing) -> ChosenRing:
        """What is wanted, with the groove that was measured and the position it goes to."""
        place = self.place
        rubbers = () if self.met is None else self.met.rubbers(chosen_ring.lying)
        at = chosen_ring._replace(groove=self.draft.groove, rubbers=rubbers)
        if place is None:
            return at
        if self.met is not None:
            meets = (self.met.fluid, round(self.met.hottest_c))
            at = at._replace(meets=None if meets == (place.meets, place.hottest_c) else meets)
        return at._replace(
            position_id=place.position_id, machine_id=place.machine_id, machine=place.machine, critical=place.critical
        )

    async def read_again(self, workshop: Workshop) -> None:
        """Read the picked position again: a fit was noted or taken back there, or adding the position was."""
        picked = self.place
        if picked is None:
            return
        try:
            fresh = await in_thread(place, workshop, picked.position_id, picked.machine_id)
        except NotFoundError:
            fresh = None
        except WorkshopError:
            return  # it can't be read now: what is known stays
        if self.place is picked:
            self.place = fresh

    async def compare(self, evidence: Evidence | None) -> None:
        """Ask whether the readings agree with the record; in a thread, and only where there is a record."""
        place, groove = self.place, self.draft.groove
        self.question = ""
        if place is not None and place.record is not None and (evidence is not None or groove is not None):
            self.question = await asyncio.to_thread(differs, place, evidence, groove)

    def place_line(self, room: int) -> Content:
        """Which machine and position, or which ring of the list, in one line; a machine without room is left out."""
        if (hand := self.rings.in_hand) is not None:
            which = f"{(self.rings.hand or 0) + 1} of {len(self.rings.rings)}, {hand.name}"
            return Content.assemble((f" {key('list')}: ring ", "bold"), clean(which))
        if self.place is None:
            return Content.styled(f" {key('machine')}: which machine is it from?", "dim")
        at = " At (critical): " if self.place.critical else " At: "
        whole = clean(f"{self.place.machine}, {self.place.position}")
        return Content.assemble((at, "bold"), whole if len(at + whole) <= room else clean(self.place.position))

    def above(self) -> list[Content]:
        """What stands on record at the place, and whether a groove waits, in lines."""
        groove = (
            [Content(f"The groove that was measured counts ({key('groove')}).")]
            if self.draft.groove is not None
            else []
        )
        record = None if self.place is None else self.place.record
        if record is None:
            return groove
        fitted = Content.assemble(("Fitted last: ", "bold"), clean(ring_words(record)))
        if self.question:
            fitted = Content.assemble(
                (f"! Differs from the record: see {key('machine')}. ", "bold $text-warning"), fitted
            )
        return [fitted, *groove]


def differs(place: Place, evidence: Evidence | None, groove: object, size_key: str | None = None) -> str:
    """The question where new readings, an accepted size or the groove do not agree with the record; else ""."""
    if place.record is None:
        return ""
    found = fits.fit_question.compare(
        place.record,
        evidence=evidence,
        size_key=size_key,
        groove=groove if isinstance(groove, orings.groove.Groove) else None,
        prior=place.prior,
        own=place.sizes,
    )
    return found.text if found else ""
