"""Machines, positions and fit records for the screen: each function is one unit of work in a worker's thread."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

import models
from catalog import orings
from models import fits, pictures

if TYPE_CHECKING:
    from sqlmodel import Session

    from catalog.orings.evidence import Evidence
    from catalog.orings.groove import Groove
    from catalog.orings.prior import Built, Prior
    from catalog.orings.ran import Ran
    from catalog.orings.size_book import SizeBook
    from catalog.orings.sizes import Series
    from models.acts import Act
    from models.fits.fit_records import FitRow
    from models.machines import MachineRow, PositionRow
    from tui.workshop import Workshop


class Place(NamedTuple):
    """A position with what fitted there: `record` holds, `earlier` were superseded. `confirmed`: sizes of this shop.

    `on_machine`: how many rings on record at the machine's other positions are of each series. `sizes`: the sizes there
    are, the shop's own among them. `meets`, `hottest_c`: the fluid that a ring there meets, "" where nobody said, and
    the hottest it gets, °C.
    """

    position_id: int
    position: str
    machine_id: int
    machine: str
    built: Built
    note: str
    record: FitRow | None
    earlier: tuple[FitRow, ...]
    confirmed: Mapping[str, int]
    critical: bool = False
    on_machine: Mapping[Series, int] = MappingProxyType({})
    sizes: SizeBook | None = None
    meets: str = ""
    hottest_c: int | None = None

    @property
    def here(self) -> tuple[Ran, ...]:
        """How the rings went that are on record here, newest first."""
        held = (() if self.record is None else (self.record,)) + self.earlier
        return tuple(
            orings.ran.Ran(
                one.size_key, one.rubber, one.went.outcome, one.went.at.date(), one.hardness_shore_a, reworked
            )
            for one, reworked in zip(held, orings.ran.since_reworked(one.groove for one in held), strict=True)
            if one.went is not None
        )

    @property
    def prior(self) -> Prior:
        """What is known of a ring at this machine before it is measured."""
        return self._prior(self.on_machine)

    @property
    def prior_alone(self) -> Prior:
        """The same without the machine's other rings."""
        return self._prior({})

    def _prior(self, on_machine: Mapping[Series, int]) -> Prior:
        return orings.prior.prior_for(
            self.built,
            Counter(self.confirmed) + Counter(orings.ran.confirmed_by_run(self.here, self.sizes)),
            on_machine,
        )


# No machine has more repairs of one joint than this on a screen; older ones stay in the workshop.
MOST_EARLIER = 20


class Fit(NamedTuple):
    """What is noted at a position: the ring with its readings and groove, its rubber, a word on it."""

    size_key: str
    rubber: str
    hardness_shore_a: int | None
    note: str
    evidence: Evidence | None
    groove: Groove | None


class Listed(NamedTuple):
    """A position that takes a ring, and the record that holds there."""

    position: PositionRow
    record: FitRow | None

    @property
    def called(self) -> tuple[models.notes.What, int]:
        """Its kind and number."""
        return models.notes.What.POSITION, self.position.position_id

    @property
    def annotated(self) -> bool:
        """Whether there is a note on it."""
        return bool(self.position.note)


class Head(NamedTuple):
    """A machine's own line above its positions."""

    machine: MachineRow

    @property
    def called(self) -> tuple[models.notes.What, int]:
        """Its kind and number."""
        return models.notes.What.MACHINE, self.machine.machine_id

    @property
    def annotated(self) -> bool:
        """Whether there is a note on it."""
        return bool(self.machine.note)


Pictured = frozenset[tuple["models.notes.What", int]]
"""Which machines and positions have a picture, by kind and number."""


def positions(workshop: Workshop) -> tuple[tuple[Listed, ...], Mapping[int, MachineRow], Pictured]:
    """Every position that takes a ring, by machine and name; the machines by number; which of these have a picture."""

    def look(session: Session) -> tuple[tuple[Listed, ...], Mapping[int, MachineRow], Pictured]:
        known = models.machines.listed(session)
        holding = {row.position_id: row for row in fits.fit_records.all_holding(session)}
        found = [
            Listed(one, holding.get(one.position_id))
            for machine in known
            for one in models.machines.positions(session, machine.machine_id)
            if one.takes is models.words.Kind.RING
        ]
        shown = pictures.keeping.pictured(session, models.notes.What.MACHINE, models.notes.What.POSITION)
        return tuple(found), {machine.machine_id: machine for machine in known}, shown

    return workshop.read(look)


def place(workshop: Workshop, position_id: int, machine_id: int) -> Place:
    """A position with everything that fitted there. Raises `NotFoundError` where adding it was taken back."""

    def look(session: Session) -> Place:
        machine = models.machines.get(session, machine_id)
        others = [
            one.size_key
            for one in fits.fit_records.at_machine(session, machine_id)
            if one.position_id != position_id and (one.went is None or one.went.outcome is orings.ran.Outcome.DRY)
        ]
        here = models.machines.position(session, position_id)
        records = fits.fit_records.history(session, position_id, limit=MOST_EARLIER)
        return Place(
            position_id, here.name, machine_id, machine.name, machine.built, here.note,
            records[0] if records else None, records[1:], fits.fit_records.confirmed_counts(session), here.critical,
            orings.of_machine.counted(others), models.own_sizes.size_book(session), here.meets, here.hottest_c,
        )  # fmt: skip

    return workshop.read(look)


def record(workshop: Workshop, position_id: int, fit: Fit) -> FitRow:
    """Note that this ring fitted. Nothing is overwritten: what held before stays readable."""

    def change(session: Session, act: Act) -> FitRow:
        return fits.fit_records.record(
            session, act, position_id, fit.size_key, evidence=fit.evidence, rubber=fit.rubber,
            hardness_shore_a=fit.hardness_shore_a, note=fit.note, groove=fit.groove,
        )  # fmt: skip

    return workshop.change(change)


def add_position(workshop: Workshop, machine_name: str, name: str) -> PositionRow:
    """Name a place that takes a ring, on a machine that is there or is made with it."""
    known = {row.name.casefold(): row.machine_id for row in workshop.read(_machines)}
    machine_id = known.get(machine_name.strip().casefold())

    def add_machine(session: Session, act: Act) -> int:
        return models.machines.add(session, act, name=machine_name).machine_id

    if machine_id is None:
        machine_id = workshop.change(add_machine)

    def add(session: Session, act: Act) -> PositionRow:
        return models.machines.add_position(session, act, machine_id=machine_id, name=name)

    return workshop.change(add)


def _machines(session: Session) -> tuple[MachineRow, ...]:
    return models.machines.listed(session)


def set_built(workshop: Workshop, machine_id: int, built: Built) -> MachineRow:
    """Say where a machine was built."""

    def change(session: Session, act: Act) -> MachineRow:
        return models.machines.set_built(session, act, machine_id, built)

    return workshop.change(change)
