"""Whether there is anything left of an action for undo to take back."""

from __future__ import annotations

from sqlmodel import Session, col, select

from models import fluid_rules
from models.kitting import fluid_tally, job_opening
from models.tables import Action, FitRecord, ItemGtin, KitLine, Movement, Need
from models.undoing import additions, former, template_undo

MOVES_ONLY = ("shelf.", "kits.")
"""Actions that are their movements: one that moved nothing changed nothing."""


def left(session: Session, done: Action) -> bool:
    """Whether what an action did is still there. One that changed nothing, or was taken back otherwise, has no effect.

    Undo skips it, so that what was done before can still be undone.
    """
    if done.what in {"kits.add_need", "kits.accept_match"}:
        standing = select(Need.id).where(Need.action_id == done.id, col(Need.withdrawn_at).is_(None))
        return session.exec(standing).first() is not None
    if done.what == "kits.withdraw_need":
        need = session.get_one(Need, done.subject_id)
        return need.withdrawn_at is not None and not job_opening.taken_back(session, [need.job_id])
    if done.what.startswith(MOVES_ONLY):
        return _moved(session, done)
    if done.what == "jobs.open":
        return job_opening.stands(session, done)
    if done.what.startswith("fit_records."):
        return session.exec(select(FitRecord.id).where(FitRecord.action_id == done.id)).first() is not None
    if done.what == "items.bar_code":
        return session.exec(select(ItemGtin.gtin).where(ItemGtin.action_id == done.id)).first() is not None
    if done.what.startswith("tally."):
        return fluid_tally.stands(session, done)
    if done.what.startswith("fluid_rules."):
        return fluid_rules.stands(session, done)
    if done.what in template_undo.CHANGES:
        return template_undo.stands(session, done)
    if done.what in former.WRITTEN_OVER:
        return former.stands(session, done)
    if done.what in additions.ADDITIONS:
        return additions.stands(session, done)
    return True


def _moved(session: Session, done: Action) -> bool:
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


def bare(session: Session, done: Action) -> bool:
    """Whether nothing hangs on what an action opened or added; true of every other action."""
    if done.what == "jobs.open":
        return job_opening.is_bare(session, done)
    return done.what not in additions.ADDITIONS or additions.is_bare(session, done)
