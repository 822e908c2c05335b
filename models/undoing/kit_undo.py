"""Undoing what was done to a job and its needs, beside the stock that goes back."""

from __future__ import annotations

import json
from typing import Final

from sqlmodel import Session, col, select

from models.errors import CannotUndoError, NotFoundError
from models.kitting import job_opening, sat
from models.kitting.locks import hold_need
from models.kitting.needs import withdraw
from models.rows import find, hold, hold_all, live_row
from models.tables import Action, Job, KitLine, Movement, Need, Position, RowSnapshot
from models.undoing import snapshot
from models.undoing.declaring import Reversal
from models.words import LineState

METER: Final = snapshot.Over(Job, ("meter_hundredths_h", "meter_read_at"), "job")
"""What closing a job writes over."""


def has_moved(session: Session, done: Action) -> bool:
    """Whether the action moved stock, other than for a job whose opening was taken back with all that it held."""
    jobs = session.exec(
        select(Need.job_id)
        .select_from(Movement)
        .outerjoin(KitLine, col(KitLine.id) == col(Movement.kit_line_id))
        .outerjoin(Need, col(Need.id) == col(KitLine.need_id))
        .where(Movement.action_id == done.id)
        .distinct()
    ).all()
    back = job_opening.taken_back(session, [job_id for job_id in jobs if job_id is not None])
    return bool(set(jobs) - back)


def is_asked(session: Session, done: Action) -> bool:
    """Whether a need that the action added stands."""
    added = select(Need.id).where(Need.action_id == done.id, col(Need.withdrawn_at).is_(None))
    return session.exec(added).first() is not None


def is_struck(session: Session, done: Action) -> bool:
    """Whether the need that the action struck is struck, on a job that stands."""
    need = session.get_one(Need, done.subject_id)
    return need.withdrawn_at is not None and not job_opening.taken_back(session, [need.job_id])


def hold_added(session: Session, reversal: Reversal) -> None:
    """Hold the needs that the action added, their jobs first."""
    added = session.exec(select(Need.id, Need.job_id).where(Need.action_id == reversal.done.id)).all()
    hold_all(session, Job, {job_id for _, job_id in added}, "job")
    hold_all(session, Need, {need_id or 0 for need_id, _ in added}, "need")


def strike_added(session: Session, reversal: Reversal) -> None:
    """Strike the needs that the action added. Raises `CannotUndoError` where stock was promised to one since."""
    active = col(KitLine.state).in_([LineState.HAVE, LineState.PICKED])
    for need in session.exec(select(Need).where(Need.action_id == reversal.done.id)).all():
        if session.exec(select(KitLine.id).where(KitLine.need_id == need.id, active)).first() is not None:
            raise CannotUndoError(f"Stock was promised to “{need.title}” since.", "Release its lines first.")
        if need.withdrawn_at is None:
            withdraw(session, need, reversal.act.at)


def reopen(session: Session, reversal: Reversal) -> None:
    """Open the job again that the action closed; where that noted the hours, those noted before it hold.

    Where it said at which places rings sat, that is not known any more.
    """
    job = hold(session, Job, reversal.done.subject_id or 0, "job")
    kept = session.get(RowSnapshot, reversal.done.id)
    if kept is not None:
        snapshot.put_back(session, reversal, METER, (reversal.done.what,))
        sat.forget(session, json.loads(kept.said).get(sat.KEPT, ()))
    job.closed_at = None
    session.add(job)
    session.flush()


def ask_again(session: Session, reversal: Reversal) -> None:
    """Ask again for the need that the action struck. Raises `CannotUndoError` where its job or place is gone."""
    need = hold_need(session, reversal.done.subject_id or 0)
    job = find(session, Job, need.job_id, "job")
    if job.closed_at is not None:
        raise CannotUndoError(f"The job “{job.title}” is closed.", "Open a new job.")
    if need.position_id is not None:
        try:
            place = live_row(session, Position, need.position_id, "position")
        except NotFoundError as gone:
            raise CannotUndoError(f"“{need.title}” stays removed. {gone.happened}", gone.to_do) from gone
        if place.takes is not need.kind:
            raise CannotUndoError(f"“{need.title}” stays removed: “{place.name}” takes a {place.takes} now.")
    need.withdrawn_at = None
    session.add(need)
    session.flush()
