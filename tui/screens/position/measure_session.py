"""What is on the bench besides the ring's readings: the groove as typed and the machine's position it came from."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual.content import Content

from models.errors import NotFoundError, WorkshopError
from tui.ring_words import ring_words
from tui.screens.area import in_thread
from tui.screens.groove.draft import Draft
from tui.screens.position.records import Place, place
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from catalog.orings.evidence import Evidence
    from tui.workshop import ChosenRing, Workshop


class MeasureSession:
    """One ring's case. Measure keeps it; the groove's and the position's screens write to it."""

    def __init__(self) -> None:
        self.draft = Draft()
        self.place: Place | None = None
        self.question = ""
        self._seen: tuple[Place | None, object] = (None, None)

    def new_ring(self) -> None:
        """The next ring comes from another groove, if from the same machine."""
        self.draft = Draft()

    def moved(self) -> bool:
        """Whether the place or the groove is another since the last time this was asked."""
        now = (self.place, self.draft.groove)
        changed, self._seen = now != self._seen, now
        return changed

    def chosen_ring(self, chosen_ring: ChosenRing) -> ChosenRing:
        """What is wanted, with the groove that was measured and the position it goes to."""
        place = self.place
        at = chosen_ring._replace(groove=self.draft.groove)
        if place is None:
            return at
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

    def above(self, said: Content) -> Content:
        """The answer with the place above it, and beneath it whether a groove waits."""
        groove = [Content("The groove that was measured counts (^G).")] if self.draft.groove is not None else []
        if self.place is None:
            return Content("\n").join([*groove, said])
        at = f"{self.place.machine}, {self.place.position}{' (critical)' if self.place.critical else ''}"
        lines = [Content.assemble(("At: ", "bold"), clean(at))]
        record = self.place.record
        if record is not None:
            lines.append(Content.assemble(("Fitted last: ", "bold"), clean(ring_words(record))))
        if self.question:
            lines.append(Content.styled("! Differs from the record: see ^O.", "bold $text-warning"))
        return Content("\n").join([*lines, *groove, said])


def differs(place: Place, evidence: Evidence | None, groove: object, size_key: str | None = None) -> str:
    """The question where new readings, an accepted size or the groove do not agree with the record; else ""."""
    from catalog.orings.groove import Groove
    from models.fits.fit_question import compare

    if place.record is None:
        return ""
    found = compare(
        place.record,
        evidence=evidence,
        size_key=size_key,
        groove=groove if isinstance(groove, Groove) else None,
        prior=place.prior,
        own=place.sizes,
    )
    return found.text if found else ""
