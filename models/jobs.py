"""Jobs: open, list, close."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType
from typing import Final

from sqlmodel import Session, col, select

from models import hour_meter, row_snapshots
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.inventory.ledger import Entries
from models.job_rows import JobRow
from models.kitting import closing, promises
from models.kitting import sat as where_sat
from models.kitting.closing import Became
from models.kitting.progress import states
from models.rows import find, hold, live_row
from models.tables import Action, Job, KitLine, Machine, Need
from models.text import clean
from models.words import KitState, LineState

__all__ = ["JobRow", "close", "get", "listed", "open_job", "set_due"]

NOTHING_TOLD: Final[Mapping[int, Became]] = MappingProxyType({})
NOTHING_SAID: Final[Mapping[int, int]] = MappingProxyType({})


def open_job(
    session: Session,
    act: Act,
    *,
    title: str,
    machine_id: int | None = None,
    due_on: date | None = None,
    meter_hundredths_h: int | None = None,
    meter_changed: bool = False,
) -> JobRow:
    """Open a job, on a machine or on the bench, with what the machine's hour meter shows (`models.hour_meter`).

    Raises `NotFoundError`, `InvalidInputError`.
    """
    label = clean(title, "title")
    if machine_id is not None:
        live_row(session, Machine, machine_id, "machine")
    made = claim(session, act, "jobs.open", label)
    if made.first:
        row = Job(action_id=made.action_id, machine_id=machine_id, title=label, opened_at=act.at, due_on=due_on)
        if meter_hundredths_h is not None:
            hour_meter.accept(session, machine_id, meter_hundredths_h, changed=meter_changed)
            row.meter_hundredths_h, row.meter_read_at = meter_hundredths_h, act.at
        session.add(row)
        session.flush()
    else:
        row = session.exec(select(Job).where(Job.action_id == made.action_id)).one()
    assert row.id is not None
    return get(session, row.id)


def get(session: Session, job_id: int) -> JobRow:
    """One job. Raises `NotFoundError`."""
    job = find(session, Job, job_id, "job")
    return _rows(session, [job])[0]


def listed(session: Session, *, closed: bool = False, limit: int = 200, offset: int = 0) -> tuple[JobRow, ...]:
    """Open jobs, the most urgent first (no due day last); with `closed`, closed ones, latest first.

    One whose opening was taken back was no job, and is in neither list.
    """
    query = select(Job)
    if closed:
        back = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
        query = query.where(col(Job.closed_at).is_not(None), col(Job.action_id).not_in(back))
        query = query.order_by(col(Job.closed_at).desc(), col(Job.id).desc())
    else:
        query = query.where(col(Job.closed_at).is_(None)).order_by(
            col(Job.due_on).is_(None), col(Job.due_on), col(Job.id)
        )
    return _rows(session, list(session.exec(query.limit(limit).offset(offset)).all()))


def set_due(session: Session, act: Act, job_id: int, due_on: date | None = None) -> JobRow:
    """Say by which day a job must be done; None: by no day. Raises `NotFoundError`, `InvalidInputError`."""
    title = find(session, Job, job_id, "job").title
    made = claim(session, act, "jobs.set_due", title, subject_id=job_id)
    if made.first:
        job = hold(session, Job, job_id, "job")
        if job.closed_at is not None:
            raise InvalidInputError(f"The job “{job.title}” is closed.", "Open a new job.")
        if job.due_on != due_on:
            row_snapshots.write_over(session, made.action_id, job, due_on=due_on)
    return get(session, job_id)


def close(
    session: Session,
    act: Act,
    job_id: int,
    became: Mapping[int, Became] = NOTHING_TOLD,
    *,
    sat: Mapping[int, int] = NOTHING_SAID,
    meter_hundredths_h: int | None = None,
    meter_changed: bool = False,
) -> JobRow:
    """Close a job. What was promised but not picked goes back to free; what was picked was used, is back or scrapped.

    `became`: by line, where that is not as planned (`models.kitting.closing`). `sat`: the position of rings by need,
    where the need names none (`models.kitting.sat`). `meter_hundredths_h`: what the machine's hour meter shows
    (`models.hour_meter`); None leaves what was noted. Raises `NotFoundError`, `InvalidInputError`.
    """
    title = find(session, Job, job_id, "job").title
    made = claim(session, act, "jobs.close", title, subject_id=job_id)
    if made.first:
        job = hold(session, Job, job_id, "job")
        if job.closed_at is not None:
            raise InvalidInputError(f"The job “{job.title}” is closed already.", "Refresh the list.")
        said: dict[str, object] = {}
        if meter_hundredths_h is not None:
            hour_meter.accept(session, job.machine_id, meter_hundredths_h, changed=meter_changed)
            said = {"meter_hundredths_h": meter_hundredths_h, "meter_read_at": act.at}
        where_sat.say(session, job, sat)
        if said or sat:
            row_snapshots.write_over_beside(session, made.action_id, job, {where_sat.KEPT: sorted(sat)}, said)
        lines = session.exec(
            select(KitLine)
            .join(Need, col(Need.id) == col(KitLine.need_id))
            .where(col(Need.job_id) == job_id, col(KitLine.state) == LineState.HAVE)
            .order_by(col(KitLine.stock_id), col(KitLine.id))
        ).all()
        entries = Entries(session, made.action_id)
        closing.settle(session, entries, job_id, became, lines)
        promises.release_all(session, entries, lines, "job closed")
        job.closed_at = max(act.at, job.opened_at)
        session.add(job)
        session.flush()
    return get(session, job_id)


def _rows(session: Session, jobs: list[Job]) -> tuple[JobRow, ...]:
    names = dict(
        session.exec(
            select(Machine.id, Machine.name).where(col(Machine.id).in_([job.machine_id for job in jobs]))
        ).all()
    )
    standing = states(session, [job.id for job in jobs if job.id is not None])
    return tuple(
        JobRow(
            job.id or 0,
            job.title,
            job.machine_id,
            names.get(job.machine_id, ""),
            job.opened_at,
            job.due_on,
            job.closed_at,
            KitState.DONE if job.closed_at else standing[job.id or 0],
            job.meter_hundredths_h,
        )
        for job in jobs
    )
