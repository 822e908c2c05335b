"""Kits for screens: each method is one unit of work on the workshop, called from a worker's thread."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.acts import Act
    from models.fits.fit_records import FitRow
    from models.fits.fitted import Fitted, Used
    from models.jobs import JobRow
    from models.kitting.finish import Finish
    from models.kitting.fluid_tally import Filled, FluidTally
    from models.kitting.kit_offers import NeedOffers
    from models.kitting.kit_view import KitView
    from models.kitting.sealing import Seal
    from models.templates import TemplateRow
    from models.undoing.undo import Undone
    from tui.workshop import Workshop


class Standing(NamedTuple):
    """A kit, its earliest finish, and the moment that was asked at, in the zone of the clock on the wall."""

    kit: KitView
    finish: Finish
    now: datetime


class Kitting:
    """What could fill a need, and all that is done with a line. Raises `WorkshopError`, as the workshop does."""

    def __init__(self, workshop: Workshop) -> None:
        self._workshop = workshop

    @property
    def done(self) -> int:
        """How many changes of this session undo still knows."""
        return self._workshop.done

    def standing(self, job_id: int) -> Standing:
        """A job's kit and when it can be finished by what is there and on order."""
        from models import kits
        from models.kitting import kit_offers

        database, now = self._workshop.open(), self.now()
        with database.read() as session:
            kit = kits.view(session, job_id, on=now.date())
            return Standing(kit, kit_offers.finish(session, kit, now), now)

    def now(self) -> datetime:
        """The moment, in the zone of the clock on the wall."""
        from models.moments import WALL

        return self._workshop.open().clock().astimezone(WALL)

    def sealed(self, need_id: int, at: datetime | None) -> Seal:
        """Note that a joint was sealed at that moment, or now."""
        from models.kitting import sealing

        return self._workshop.change(lambda session, act: sealing.note(session, act, need_id, at))

    def not_sealed(self, need_id: int) -> Undone:
        """Take the note that stands back."""
        from models.kitting import sealing
        from models.undoing import undo

        return self._workshop.change(lambda session, act: undo.undo(session, act, sealing.last_key(session, need_id)))

    def curing(self, job_id: int) -> tuple[str, ...]:
        """A sentence for each joint of the job that was sealed and has not cured."""
        from models import kits
        from models.kitting import finish

        return finish.still_curing(self._workshop.read(lambda session: kits.view(session, job_id)), self.now())

    def offers(self, need_id: int) -> NeedOffers:
        """What could fill a need, the shelf first."""
        from models.kitting import kit_offers

        database = self._workshop.open()
        with database.read() as session:
            return kit_offers.look(session, need_id, database.clock().date())

    def pin(self, need_id: int, stock_id: int, quantity: int) -> KitView:
        """Choose by hand what serves a need."""
        from models import kits

        return self._workshop.change(lambda session, act: kits.pin(session, act, need_id, stock_id, quantity))

    def unpin(self, line_id: int) -> KitView:
        """Let go of a line pinned by hand."""
        from models import kits

        return self._workshop.change(lambda session, act: kits.unpin(session, act, line_id))

    def pick(self, line_ids: Sequence[int], taken: Mapping[int, int] | None = None) -> KitView:
        """Take promised stock off the shelf; `taken` where that is not what was promised."""
        from models import kits

        return self._workshop.change(lambda session, act: kits.pick(session, act, line_ids, taken=taken))

    def give_back(self, line_id: int, quantity: int) -> KitView:
        """Put what the job did not use back on the shelf."""
        from models import kits

        return self._workshop.change(lambda session, act: kits.give_back(session, act, line_id, quantity))

    def put_back(self, line_id: int) -> KitView:
        """Put a whole picked line back: its need is open again."""
        from models import kits

        return self._workshop.change(lambda session, act: kits.put_back(session, act, line_id))

    def scrap(self, line_id: int, quantity: int, reason: str) -> KitView:
        """Throw away what turned out bad of a promise; the need is looked for again."""
        from models import kits

        return self._workshop.change(lambda session, act: kits.scrap(session, act, line_id, quantity, reason))

    def look_again(self, job_id: int) -> KitView:
        """Let go of every promise nobody pinned, and look for all needs afresh."""
        from models import kits

        return self._workshop.change(lambda session, act: kits.look_again(session, act, job_id))

    def tally(self, need_id: int) -> FluidTally:
        """A fluid's tally as it stands."""
        from models.kitting import fluid_tally

        return self._workshop.read(lambda session: fluid_tally.of_need(session, need_id))

    def note(self, need_id: int, what: Filled, volume: Fraction, typed: str) -> FluidTally:
        """Note one volume (µL) of a tally."""
        from models.kitting import fluid_tally

        return self._workshop.change(lambda session, act: fluid_tally.note(session, act, need_id, what, volume, typed))

    def take_back(self, need_id: int) -> FluidTally:
        """Take a tally's last entry back."""
        from models.kitting import fluid_tally

        return self._workshop.change(lambda session, act: fluid_tally.take_back(session, act, need_id))

    def used(self, job_id: int) -> Used:
        """The rings a job used at positions where they are not on record."""
        from models.fits import fitted

        return self._workshop.read(lambda session: fitted.used(session, job_id))

    def note_fitted(self, job_id: int, chosen: Sequence[Fitted] | None = None) -> tuple[FitRow, ...]:
        """Put those chosen on record, or all that wait."""
        from models.fits import fitted

        return self._workshop.change(lambda session, act: fitted.note(session, act, job_id, chosen))

    def templates(self) -> tuple[TemplateRow, ...]:
        """The job templates, by name."""
        from models import templates

        return self._workshop.read(templates.listed)

    def keep_as_template(self, job_id: int, name: str, template_id: int | None) -> TemplateRow:
        """A job's needs as a new template, or as the next version of one."""
        from models import templates

        def change(session: Session, act: Act) -> TemplateRow:
            needs = templates.from_job(session, job_id)
            if template_id is not None:
                return templates.edit(session, act, template_id, needs)
            return templates.add(session, act, name, needs)

        return self._workshop.change(change)

    def open_job(self, title: str, template_id: int | None, machine_id: int | None) -> JobRow:
        """Open a job, bare or with a template's needs, which are looked for on the shelf at once."""
        from models import jobs, kits
        from models.acts import by

        def change(session: Session, act: Act) -> JobRow:
            if template_id is None:
                return jobs.open_job(session, act, title=title, machine_id=machine_id)
            row = jobs.open_from_template(session, act, template_id, machine_id=machine_id, title=title)
            kits.resolve(session, by(act.who, clock=lambda: act.at), row.job_id)
            return jobs.get(session, row.job_id)

        return self._workshop.change(change)

    def machines(self) -> tuple[tuple[int, str], ...]:
        """Every machine's number and name."""
        from models import machines

        return tuple((row.machine_id, row.name) for row in self._workshop.read(machines.listed))
