"""Hold what a change of a kit touches, in one order for all programs: the job, then the need, then the line.

Stock comes last, see `models.kitting.allocate`. Who waits for the job waits before anything of it is looked at, so two
benches on one kit work one after the other and never see half of what the other did.
"""

from __future__ import annotations

from collections.abc import Iterable

from sqlmodel import Session, col, select

from models.errors import NotFoundError
from models.rows import hold, hold_all
from models.tables import Job, KitLine, Need


def hold_need(session: Session, need_id: int) -> Need:
    """The need, its job held before it. Raises `NotFoundError`."""
    # A need never changes its job, so this much may be read before anything is held.
    job_id = session.exec(select(Need.job_id).where(Need.id == need_id)).first()
    if job_id is not None:
        hold(session, Job, job_id, "job")
    return hold(session, Need, need_id, "need")


def hold_line(session: Session, line_id: int) -> KitLine:
    """The kit line, its job and its need held before it. Raises `NotFoundError`."""
    return hold_lines(session, [line_id])[0]


def hold_lines(session: Session, line_ids: Iterable[int]) -> list[KitLine]:
    """The kit lines in the order of their ids, all their jobs and needs held before them. Raises `NotFoundError`."""
    wanted = sorted(set(line_ids))
    owners = session.exec(
        select(KitLine.id, KitLine.need_id, Need.job_id)
        .join(Need, col(Need.id) == col(KitLine.need_id))
        .where(col(KitLine.id).in_(wanted))
    ).all()
    missing = set(wanted) - {line_id for line_id, _, _ in owners}
    if missing:
        raise NotFoundError(
            f"There is no kit line {min(missing)}.", "It may belong to another workshop; refresh the list."
        )
    hold_all(session, Job, {job_id for _, _, job_id in owners}, "job")
    hold_all(session, Need, {need_id for _, need_id, _ in owners}, "need")
    held = hold_all(session, KitLine, wanted, "kit line")
    return [held[line_id] for line_id in wanted]
