"""What was done on a machine and is being done: its jobs, the hours they were noted at, and what each of them took."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, select

from models.kitting import job_opening
from models.rows import find
from models.tables import Action, FitRecord, Item, Job, KitLine, Machine, Movement, Need, Position, Stock
from models.words import Moved, Unit


class Used(NamedTuple):
    """How much of an item a job took, less what it gave back, in what the item is counted in."""

    item_name: str
    quantity: int
    counted_in: Unit


class JobHere(NamedTuple):
    """One job of a machine; an open one has no `closed_at`, and what it `used` is what it took so far.

    `meter_hundredths_h`: what the machine's hour meter showed last with it, in hundredths of an hour.
    """

    job_id: int
    title: str
    opened_at: datetime
    closed_at: datetime | None
    used: tuple[Used, ...]
    meter_hundredths_h: int | None = None


def of_machine(session: Session, machine_id: int, *, limit: int = 200) -> tuple[JobHere, ...]:
    """The jobs of a machine with what they took: the open ones first, then the closed ones, each the latest first.

    One whose opening was taken back is left out. Raises `NotFoundError`.
    """
    find(session, Machine, machine_id, "machine")
    found = session.exec(
        select(Job)
        .where(Job.machine_id == machine_id)
        .order_by(
            col(Job.closed_at).is_not(None), col(Job.closed_at).desc(), col(Job.opened_at).desc(), col(Job.id).desc()
        )
        .limit(limit)
    ).all()
    back = job_opening.taken_back(session, [one.id or 0 for one in found if one.closed_at is not None])
    jobs = [one for one in found if one.id not in back]
    used = _used(session, [one.id or 0 for one in jobs])
    return tuple(
        JobHere(
            one.id or 0, one.title, one.opened_at, one.closed_at, tuple(used.get(one.id or 0, ())),
            one.meter_hundredths_h,
        )
        for one in jobs
    )  # fmt: skip


class Done(NamedTuple):
    """What one job took and the rings it put on record: each the position's name, the size's key and the rubber."""

    used: tuple[Used, ...]
    fitted: tuple[FittedHere, ...]


class FittedHere(NamedTuple):
    """A ring that a job put on record at a position."""

    position_name: str
    size_key: str
    rubber: str
    hardness_shore_a: int | None


def of_job(session: Session, job_id: int) -> Done:
    """What a job took, less what went back, and what was fitted. Raises `NotFoundError`."""
    find(session, Job, job_id, "job")
    back = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    rows = session.exec(
        select(Position.name, FitRecord.size_key, FitRecord.rubber, FitRecord.hardness_shore_a)
        .join(Position, col(Position.id) == col(FitRecord.position_id))
        .join(Action, col(Action.id) == col(FitRecord.action_id))
        .where(Action.what == "fit_records.record", Action.subject_id == job_id, col(FitRecord.action_id).not_in(back))
        .order_by(col(FitRecord.id))
    ).all()
    return Done(tuple(_used(session, [job_id]).get(job_id, ())), tuple(FittedHere(*row) for row in rows))


def _used(session: Session, job_ids: Sequence[int]) -> dict[int, list[Used]]:
    used: defaultdict[int, list[Used]] = defaultdict(list)
    total = func.sum(col(Movement.on_hand_change))
    rows = session.exec(
        select(Need.job_id, Item.name, Item.counted_in, total)
        .join(KitLine, col(KitLine.need_id) == col(Need.id))
        .join(Movement, col(Movement.kit_line_id) == col(KitLine.id))
        .join(Stock, col(Stock.id) == col(Movement.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .where(
            col(Need.job_id).in_(job_ids),
            col(Movement.kind).in_([Moved.USED, Moved.RECEIVED]),
        )
        .group_by(col(Need.job_id), col(Item.id), col(Item.name), col(Item.counted_in))
        .order_by(col(Item.name))
    ).all()
    for job_id, name, unit, change in rows:
        if change:
            used[job_id].append(Used(name, -int(change), Unit(unit)))
    return used
