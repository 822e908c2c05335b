"""What was done on a machine: its closed jobs, and what each of them used."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, select

from models.rows import find
from models.tables import Item, Job, KitLine, Machine, Movement, Need, Stock
from models.words import Moved, Unit


class Used(NamedTuple):
    """How much of an item a job used, less what it gave back, in what the item is counted in."""

    item_name: str
    quantity: int
    counted_in: Unit


class DoneJob(NamedTuple):
    """One closed job."""

    job_id: int
    title: str
    opened_at: datetime
    closed_at: datetime
    used: tuple[Used, ...]


def of_machine(session: Session, machine_id: int, *, limit: int = 200) -> tuple[DoneJob, ...]:
    """The closed jobs of a machine with what they used, the latest first. Raises `NotFoundError`."""
    find(session, Machine, machine_id, "machine")
    jobs = session.exec(
        select(Job)
        .where(Job.machine_id == machine_id, col(Job.closed_at).is_not(None))
        .order_by(col(Job.closed_at).desc(), col(Job.id).desc())
        .limit(limit)
    ).all()
    used: defaultdict[int, list[Used]] = defaultdict(list)
    total = func.sum(col(Movement.on_hand_change))
    rows = session.exec(
        select(Need.job_id, Item.name, Item.counted_in, total)
        .join(KitLine, col(KitLine.need_id) == col(Need.id))
        .join(Movement, col(Movement.kit_line_id) == col(KitLine.id))
        .join(Stock, col(Stock.id) == col(Movement.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .where(
            col(Need.job_id).in_([one.id for one in jobs]),
            col(Movement.kind).in_([Moved.USED, Moved.RECEIVED]),
        )
        .group_by(col(Need.job_id), col(Item.id), col(Item.name), col(Item.counted_in))
        .order_by(col(Item.name))
    ).all()
    for job_id, name, unit, change in rows:
        if change:
            used[job_id].append(Used(name, -int(change), Unit(unit)))
    return tuple(
        DoneJob(one.id or 0, one.title, one.opened_at, one.closed_at, tuple(used[one.id or 0]))
        for one in jobs
        if one.closed_at is not None
    )
