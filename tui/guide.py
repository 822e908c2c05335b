"""The guided day: what to do next in a workshop one doesn't know yet, checked off by what is booked there."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, NamedTuple

import models
import tui
from models import orders

if TYPE_CHECKING:
    from tui.workshop import Workshop


class Step(NamedTuple):
    """One step: what it is for, the keys that do it, and the actions any of which shows that it was done."""

    title: str
    keys: str
    done_by: frozenset[str]


def _step(title: str, keys: str, *done_by: str) -> Step:
    return Step(title, keys, frozenset(done_by))


DAY = (
    _step(
        "Measure the strainer cover's ring and put it on the kit",
        "F2, ^O, strainer, Enter; 39.3, Tab Tab, 3.1, ^N ^N; Enter, 250, Enter",
        *("kits.accept_match", "kits.add_need"),
    ),
    _step("Plan what is short, look at what was read, keep it", "^Y, O; Enter, Enter", "orders.plan"),
    _step("Mark each planned order as sent", "Enter on it, ↓ to the next", "orders.order"),
    _step("The parcels are here: book each in", "Enter on its order, the bin's code, Enter", "orders.receive"),
    _step("Pick what the kit has", "F4, ↓ to the job, P", "kits.pick"),
    _step("Log the oil that is poured", "R, a volume and Enter, Esc", "tally.note"),
    _step("Close the job", "X, Enter", "jobs.close"),
    _step("Put on record which ring fitted", "Enter in the question that follows", "fit_records.record"),
)
"""A day in the demo workshop, from a ring without a name to its record."""
FIRST_HOUR = (
    _step("Put on record what lies on the shelf", "F5, ^R: name, bin, how many", "shelf.receive", "shelf.count"),
    _step("Open a job on a machine", "F4, N: what is to be done", "jobs.open"),
    _step(
        "Measure an old ring and put it on the job's kit",
        "F2: its ID, Tab Tab, its width; Enter, Enter",
        *("kits.accept_match", "kits.add_need"),
    ),
    _step("Pick what the shelf has", "F4, Enter; ↓ to the ring, P", "kits.pick"),
    _step("Close the job", "X, Enter", "jobs.close"),
)
"""An empty workshop's first hour, from an empty shelf to the first job that is done."""


class Progress(NamedTuple):
    """How far a guide is: the steps, each with whether it was done."""

    steps: tuple[tuple[Step, bool], ...]

    @property
    def next(self) -> tuple[int, Step] | None:
        """The first step that is not done, with its number from 1; None where all are."""
        return next(((number, step) for number, (step, done) in enumerate(self.steps, 1) if not done), None)

    def line(self) -> str:
        """The next step in one line: its number, what it is for, its keys."""
        if (found := self.next) is None:
            return f"All {len(self.steps)} steps are done. 0, “guide” ends the guide."
        number, step = found
        return f"{number}/{len(self.steps)} {step.title} ({step.keys})"


def progress(steps: Collection[Step], booked: Collection[str], left: Collection[str] = ()) -> Progress:
    """Which steps were done, by the names of the actions booked since the guide began, and of those still to be done.

    Who has booked in one of two parcels is not done with parcels.
    """
    return Progress(tuple((step, not step.done_by.isdisjoint(set(booked) - set(left))) for step in steps))


class Guide:
    """A guide under way in one workshop: it counts what is booked from its beginning on."""

    def __init__(self, workshop: Workshop, *, demo: bool) -> None:
        self._workshop = workshop
        self._steps = DAY if demo else FIRST_HOUR
        self._since: int | None = None

    def look(self) -> Progress:
        """How far it is by now; the first look is its beginning. Runs in a thread. Raises `WorkshopError`."""
        tui.workshop.load()

        if self._since is None:
            self._since = self._workshop.read(models.actions.newest_id)
        since = self._since
        booked, left = self._workshop.read(
            lambda session: (
                models.actions.booked_since(session, since),
                orders.progress.deeds_left(session, since),
            )
        )
        return progress(self._steps, booked, left)
