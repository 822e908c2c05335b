"""When a joint was sealed, as somebody noted it: its cure counts from there. Kept note by note; the last one counts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import CannotUndoError, InvalidInputError, NotFoundError
from models.kitting.locks import hold_need
from models.moments import WALL, stored
from models.rows import find
from models.tables import Action, Job, KitLine, Need, SealNote
from models.words import Kind, LineState

NOTED: Final = "sealing.note"
BEFORE_OPENED: Final = timedelta(days=1)
"""A job is written down after the work has begun, but not days after."""


class Seal(NamedTuple):
    """When a joint was sealed, in UTC, and who noted it."""

    at: datetime
    who: str


def note(session: Session, act: Act, need_id: int, at: datetime | None = None) -> Seal:
    """Note that a joint was sealed with what a need holds, at a moment with its zone, or now; a later note replaces it.

    Raises `NotFoundError`, or `InvalidInputError` where it can't be: no sealant, none picked, a closed job, a moment
    still to come or long before the job.
    """
    made = claim(session, act, NOTED, subject_id=need_id)
    if made.first:
        sealed = act.at if at is None else at.astimezone(UTC)
        _refuse(session, hold_need(session, need_id), sealed, act.at)
        session.add(SealNote(action_id=made.action_id, need_id=need_id, sealed_at=sealed))
        session.flush()
    row = session.exec(select(SealNote).where(SealNote.action_id == made.action_id)).one()
    return Seal(stored(row.sealed_at), act.who)


def of_needs(session: Session, need_ids: Sequence[int]) -> dict[int, Seal]:
    """The seal that stands, by need: the last one noted and not undone."""
    return {need_id: Seal(stored(row.sealed_at), action.who) for need_id, row, action in _standing(session, need_ids)}


def last_key(session: Session, need_id: int) -> str:
    """The key of the action whose note stands, for `undo` to take back. Raises `InvalidInputError` where none does."""
    found = [action.key for _, _, action in _standing(session, [need_id])]
    if not found:
        raise InvalidInputError("There is no sealing to take back.", "Note one first.")
    return found[-1]


def refuse_undo(session: Session, done: Action, what: str) -> None:
    """Hold what a note is about before its undo. Raises `CannotUndoError` on a closed job."""
    need = hold_need(session, done.subject_id or 0)
    job = find(session, Job, need.job_id, "job")
    if job.closed_at is not None:
        raise CannotUndoError(f"The job “{job.title}” is closed. So {what} can't be undone.", "Open a new job.")


def _standing(session: Session, need_ids: Sequence[int]) -> list[tuple[int, SealNote, Action]]:
    """Notes that are not undone, oldest first."""
    if not need_ids:
        return []
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    rows = session.exec(
        select(SealNote, Action)
        .join(Action, col(Action.id) == col(SealNote.action_id))
        .where(col(SealNote.need_id).in_(need_ids), col(SealNote.action_id).not_in(undone))
        .order_by(col(SealNote.id))
    ).all()
    return [(row.need_id, row, action) for row, action in rows]


def _refuse(session: Session, need: Need, sealed: datetime, now: datetime) -> None:
    job = session.get(Job, need.job_id)
    if job is None:
        raise NotFoundError(f"There is no job {need.job_id}.", "Refresh the list.")
    if job.closed_at is not None:
        raise InvalidInputError(f"The job “{job.title}” is closed.", "Open a new job.")
    if need.kind is not Kind.SEALANT:
        raise InvalidInputError(f"“{need.title}” is not a sealant.", "Name the need of a sealant.")
    if need.withdrawn_at is not None:
        raise InvalidInputError(f"“{need.title}” was removed.", "Add it again.")
    picked = select(KitLine.id).where(KitLine.need_id == need.id, KitLine.state == LineState.PICKED)
    if session.exec(picked).first() is None:
        raise InvalidInputError(
            f"“{need.title}” is not picked yet, so nothing can be sealed with it.", "Pick it first, then note it."
        )
    if sealed > now:
        raise InvalidInputError("That time is still to come.", "Note the sealing once it is done.")
    if sealed < stored(job.opened_at) - BEFORE_OPENED:
        raise InvalidInputError(
            f"That is more than a day before the job was opened, on {stored(job.opened_at).astimezone(WALL):%Y-%m-%d}.",
            "Look at the date again.",
        )
