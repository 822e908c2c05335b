"""After a run the joint was dry, wept or leaked: said of the ring on record there. What is said last holds."""

from __future__ import annotations

from collections.abc import Mapping

from sqlmodel import Session, col, select

from catalog.orings.ran import Outcome
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.fits import fit_records, fitted
from models.fits.fit_records import FitRow, Saying
from models.rows import find, hold, live_row
from models.tables import FitOutcome, FitRecord, Job, Position


def say(session: Session, act: Act, position_id: int, outcome: Outcome) -> FitRow:
    """Say how the ring on record at a position went.

    Raises `NotFoundError`, or `InvalidInputError` where no ring is on record there.
    """
    name = live_row(session, Position, position_id, "position").name
    made = claim(session, act, "fit_records.went", f"{name}: {outcome.value}", subject_id=position_id)
    if made.first:
        hold(session, Position, position_id, "position")
        record = fit_records.for_position(session, position_id)
        if record is None:
            raise InvalidInputError(f"No ring is on record at “{name}”.", "Note first which ring fitted there.")
        fit_records.add_outcome(session, made.action_id, record.fit_record_id, Saying(outcome))
    return _said_by(session, made.action_id)[0]


def say_of(session: Session, act: Act, job_id: int, said: Mapping[int, Outcome]) -> tuple[FitRow, ...]:
    """Say how rings on record went that a job took out, by the number of their record, all in one.

    Raises `NotFoundError`, or `InvalidInputError` where one is no longer what waits to be told of.
    """
    job = find(session, Job, job_id, "job")
    made = claim(session, act, "fit_records.went", job.title, subject_id=job_id)
    if made.first:
        hold(session, Job, job_id, "job")
        waiting = {row.fit_record_id: row for row in unsaid(session, job_id)}
        for record_id in sorted(said):
            if record_id not in waiting:
                raise InvalidInputError("What is on record there has changed meanwhile.", "Say it at the position.")
            fit_records.add_outcome(session, made.action_id, record_id, Saying(said[record_id]))
    return _said_by(session, made.action_id)


def unsaid(session: Session, job_id: int) -> tuple[FitRow, ...]:
    """The rings on record where a job needs one, from before it was opened, of which nobody said how they went."""
    opened = find(session, Job, job_id, "job").action_id
    held = [fit_records.for_position(session, number) for number in fitted.positions_of(session, job_id)]
    return tuple(
        row
        for row in held
        if row is not None
        and row.went is None
        and find(session, FitRecord, row.fit_record_id, "fit record").action_id < opened
    )


def _said_by(session: Session, action_id: int) -> tuple[FitRow, ...]:
    records = select(FitRecord).join(FitOutcome).where(FitOutcome.action_id == action_id).order_by(col(FitRecord.id))
    return fit_records.rows_of(session, session.exec(records).all())
