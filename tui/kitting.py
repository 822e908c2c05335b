"""Kits for screens: each method is one unit of work on the workshop, called from a worker's thread."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

import models
import tui
from models import fits, inventory, kitting
from tui import operations

if TYPE_CHECKING:
    from sqlmodel import Session

    from catalog.orings.ran import Outcome
    from models.fits.fit_records import FitRow
    from models.fits.fitted import Fitted, Used
    from models.job_history import Done
    from models.job_rows import JobRow
    from models.kitting.closing import Closing
    from models.kitting.finish import Finish
    from models.kitting.fluid_tally import Container, FluidTally
    from models.kitting.kit_offers import NeedOffers
    from models.kitting.kit_view import KitView
    from models.kitting.sat import Unplaced
    from models.machines import MachineRow, PositionRow
    from models.stock_rows import StockRow
    from models.templates import TemplateRow
    from tui.fields.fills import Volume
    from tui.workshop import Workshop


class KitNow(NamedTuple):
    """A kit, its earliest finish, and the moment that was asked at, in the zone of the clock on the wall."""

    kit: KitView
    finish: Finish
    now: datetime


class Known(NamedTuple):
    """What a form can offer: positions of the job's machine (kind, number, name), classes on the shelf by kind."""

    positions: tuple[tuple[str, int, str], ...]
    classes: Mapping[str, tuple[str, ...]]


class Kitting:
    """What the screens of a kit look at: what could fill a need, its tally, what a job used.

    Raises `WorkshopError`, as the workshop does.
    """

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop

    @property
    def done(self) -> int:
        """How many changes of this session undo still knows."""
        return self._workshop.done

    @property
    def who(self) -> str:
        """Who works here."""
        return self._workshop.who

    def standing(self, job_id: int) -> KitNow:
        """A job's kit and when it can be finished by what is there and on order."""
        database, now = self._workshop.open(), self.now()
        with database.read() as session:
            kit = models.kits.view(session, job_id, on=now.date())
            return KitNow(kit, kitting.kit_offers.finish(session, kit, now), now)

    def closed_jobs(self) -> tuple[JobRow, ...]:
        """The closed jobs, the latest first."""
        return self._workshop.read(
            lambda session: models.jobs.listed(session, closed=True, limit=tui.workshop.MOST_ROWS)
        )

    def closed(self, job_id: int) -> tuple[KitView, Done]:
        """A closed job's kit as it was left, and what it took and fitted."""

        def look(session: Session) -> tuple[KitView, Done]:
            return models.kits.view(session, job_id), models.job_history.of_job(session, job_id)

        return self._workshop.read(look)

    def now(self) -> datetime:
        """The moment, in the zone of the clock on the wall."""
        return self._workshop.now()

    def curing(self, job_id: int) -> tuple[str, ...]:
        """A sentence for each joint of the job that was sealed and has not cured."""
        return kitting.finish.still_curing(
            self._workshop.read(lambda session: models.kits.view(session, job_id)), self.now()
        )

    def offers(self, need_id: int) -> NeedOffers:
        """What could fill a need, the shelf first."""
        database = self._workshop.open()
        with database.read() as session:
            return kitting.kit_offers.look(session, need_id, database.clock().date())

    def tally(self, need_id: int) -> FluidTally:
        """A fluid's tally as it stands."""
        return self._workshop.read(lambda session: kitting.fluid_tally.of_need(session, need_id))

    def containers(self, need_id: int) -> tuple[Container, ...]:
        """What the next pour of a fluid may come from, the usual one first."""
        database = self._workshop.open()
        with database.read() as session:
            return kitting.fluid_tally.containers(session, need_id, database.clock().date())

    def note(
        self, need_id: int, what: str, volumes: Sequence[Volume], container: Container | None = None
    ) -> FluidTally:
        """Note volumes of a tally, all of them or none; `container`: what was poured from."""
        return self._workshop.change(
            lambda session, act: operations.kit.entries_noted(session, act, need_id, {what: volumes}, container)
        )

    def closing(self, job_id: int) -> Closing:
        """What a job took, and what is planned to become of it as it closes."""
        return self._workshop.read(lambda session: kitting.closing.look(session, job_id))

    def unplaced(self, job_id: int) -> tuple[Unplaced, ...]:
        """The rings a job used whose needs name no place."""
        return self._workshop.read(lambda session: kitting.sat.unplaced(session, job_id))

    def ring_places(self, machine_id: int) -> tuple[PositionRow, ...]:
        """The places of a machine that take a ring."""
        places = self._workshop.read(lambda session: models.machines.positions(session, machine_id))
        return tuple(one for one in places if one.takes == "ring")

    def add_place(self, machine_id: int, name: str) -> PositionRow:
        """A place for a ring that was missed."""
        return self._workshop.change(
            lambda session, act: models.machines.add_position(session, act, machine_id=machine_id, name=name)
        )

    def hours(self, machine_id: int) -> models.hour_meter.Reading | None:
        """What a machine's hour meter showed last, where anybody noted it."""
        return self._workshop.read(lambda session: models.hour_meter.last(session, machine_id))

    def take_back(self, need_id: int) -> FluidTally:
        """Take a tally's last entry back."""
        return self._workshop.change(lambda session, act: kitting.fluid_tally.take_back(session, act, need_id))

    def used(self, job_id: int) -> Used:
        """The rings a job used at positions where they are not on record."""
        return self._workshop.read(lambda session: fits.fitted.used(session, job_id))

    def note_fitted(self, job_id: int, chosen: Sequence[Fitted] | None = None) -> tuple[FitRow, ...]:
        """Put those chosen on record, or all that wait."""
        return self._workshop.change(lambda session, act: fits.fitted.note(session, act, job_id, chosen))

    def unsaid(self, job_id: int) -> tuple[FitRow, ...]:
        """The rings on record from before a job, where it needs one, of which nobody said how they went."""
        return self._workshop.read(lambda session: fits.how_it_went.unsaid(session, job_id))

    def say_how_they_went(self, job_id: int, said: Mapping[int, Outcome]) -> tuple[FitRow, ...]:
        """Say how those rings went, by the number of their record."""
        return self._workshop.change(lambda session, act: fits.how_it_went.say_of(session, act, job_id, said))

    def templates(self) -> tuple[TemplateRow, ...]:
        """The job templates, by name."""
        return self._workshop.read(models.templates.listed)

    def machines(self) -> tuple[MachineRow, ...]:
        """Every machine."""
        return self._workshop.read(models.machines.listed)

    def add_machine(self, name: str) -> MachineRow:
        """A machine that was missed while a job is opened on it."""
        return self._workshop.change(lambda session, act: models.machines.add(session, act, name=name))

    def stock(self, stock_id: int) -> StockRow:
        """One row of the shelf."""
        return self._workshop.read(lambda session: models.shelf.stock_row(session, stock_id))

    def known(self, machine_id: int | None) -> Known:
        """What a form can offer for a job on that machine."""

        def look(session: Session) -> Known:
            at = () if machine_id is None else models.machines.positions(session, machine_id)
            classes: dict[str, dict[str, None]] = {}
            for row in inventory.items.page(session, limit=tui.workshop.MOST_ROWS).rows:
                if row.spec_class:
                    classes.setdefault(row.kind.value, {})[row.spec_class] = None
            return Known(
                tuple((row.takes.value, row.position_id, row.name) for row in at),
                {kind: tuple(found) for kind, found in classes.items()},
            )

        return self._workshop.read(look)
