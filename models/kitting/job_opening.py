"""Taking back the opening of a job, with the needs its template gave it, while nothing else was done for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sqlmodel import Session, col, select

from models.acts import Act
from models.errors import CannotUndoError
from models.inventory.ledger import Entries
from models.kitting import fluid_tally, sealing
from models.kitting.locks import hold_lines
from models.kitting.needs import withdraw
from models.kitting.promises import release_all
from models.orders.progress import undone_ids
from models.rows import hold
from models.tables import Action, Job, KitLine, Need, Order, OrderLine, OrderShare
from models.words import LineState


def stands(session: Session, done: Action) -> bool:
    """Whether the job that the action opened is open."""
    opened = select(Job.id).where(Job.action_id == done.id, col(Job.closed_at).is_(None))
    return session.exec(opened).first() is not None


def is_bare(session: Session, done: Action) -> bool:
    """Whether the job has no more on it than its template gave it and what the shelf promised to that."""
    needs = _needs(session, done)
    ids = [need.id or 0 for need in needs]
    given = session.exec(select(Action.id).where(col(Action.key) == needs_key(done.key))).first()
    if any(need.action_id != given for need in needs):
        return False
    lines = select(KitLine.id).where(col(KitLine.need_id).in_(ids))
    touched = (
        lines.where(col(KitLine.state) == LineState.PICKED),
        lines.where(col(KitLine.pinned_by_id).is_not(None), KitLine.state == LineState.HAVE),
    )
    return (
        all(session.exec(one).first() is None for one in touched)
        and not any(need.low_ul and fluid_tally.of_need(session, need.id or 0).entries for need in needs)
        and not sealing.of_needs(session, ids)
        and not _is_ordered(session, ids)
    )


def _is_ordered(session: Session, need_ids: Sequence[int]) -> bool:
    """Whether a plan or an order for one of the needs stands."""
    made = session.exec(
        select(Order.action_id)
        .join(OrderLine, col(OrderLine.order_id) == col(Order.id))
        .join(OrderShare, col(OrderShare.order_line_id) == col(OrderLine.id))
        .where(col(OrderShare.need_id).in_(need_ids))
    ).all()
    return bool(set(made) - undone_ids(session, made))


def taken_back(session: Session, job_ids: Iterable[int]) -> set[int]:
    """Those of the jobs whose opening was undone."""
    opened = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    jobs = select(Job.id).where(col(Job.id).in_(set(job_ids)), col(Job.action_id).in_(opened))
    return {job_id for job_id in session.exec(jobs).all() if job_id is not None}


def needs_key(key: str) -> str:
    """The key of the action that gives a job its template's needs, from the key that opens the job."""
    return f"{key}/needs"


def take_back(session: Session, act: Act, action_id: int, done: Action) -> None:
    """Free what was promised, strike the needs, close the job. Raises `CannotUndoError` where more was done for it."""
    opened = session.exec(select(Job.id).where(Job.action_id == done.id)).one()
    job = hold(session, Job, opened or 0, "job")
    if job.closed_at is not None:
        raise CannotUndoError(f"The job “{job.title}” is closed already.", "Refresh the list.")
    if not is_bare(session, done):
        raise CannotUndoError(f"The job “{job.title}” stays: more was done for it since.", "Close it instead.")
    needs = _needs(session, done)
    promised = select(KitLine.id).where(
        col(KitLine.need_id).in_([need.id for need in needs]), col(KitLine.state) == LineState.HAVE
    )
    lines = hold_lines(session, [line_id for line_id in session.exec(promised).all() if line_id is not None])
    in_order = sorted(lines, key=lambda one: (one.stock_id, one.id or 0))
    release_all(session, Entries(session, action_id), in_order, "undo of opening the job")
    for need in needs:
        withdraw(session, need, act.at)
    job.closed_at = max(act.at, job.opened_at)
    job.meter_hundredths_h = job.meter_read_at = None
    session.add(job)
    session.flush()


def _needs(session: Session, done: Action) -> Sequence[Need]:
    job = select(Job.id).where(Job.action_id == done.id).scalar_subquery()
    return session.exec(select(Need).where(Need.job_id == job, col(Need.withdrawn_at).is_(None))).all()
