"""What a job fitted: the rings it used at a machine's positions that are not on record there, and noting them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from sqlmodel import Session, col, select

from catalog.orings.evidence import Evidence, Reading
from catalog.orings.groove import Groove
from models.actions import claim
from models.acts import Act
from models.fits import fit_records
from models.fits.fit_records import FitRow, NewFit
from models.fits.readings import from_store
from models.kitting.promises import given_back
from models.qualify.wanted import same_rings
from models.rows import find
from models.stored_text import from_text
from models.tables import FitRecord, Item, Job, KitLine, Machine, Need, NeedGroove, NeedReading, Position, Stock
from models.words import Kind, LineState


class Ring(NamedTuple):
    """A ring as it lies on the shelf."""

    size_key: str
    rubber: str
    hardness_shore_a: int | None


class Fitted(NamedTuple):
    """A ring a job used at a position, and what is on record there instead; None where nothing is."""

    need_id: int
    position_id: int
    position_name: str
    machine_name: str
    ring: Ring
    record: FitRow | None


def waiting(session: Session, job_id: int) -> tuple[Fitted, ...]:
    """The rings the job used at positions where they are not on record, in the order of its needs.

    Where it used several sorts of ring at one position nobody can tell which fitted, so there none is given. Raises
    `NotFoundError`.
    """
    find(session, Job, job_id, "job")
    rows = session.exec(
        select(Need, Position, Machine)
        .join(Position, col(Position.id) == col(Need.position_id))
        .join(Machine, col(Machine.id) == col(Position.machine_id))
        .where(
            Need.job_id == job_id,
            Need.kind == Kind.RING,
            col(Need.withdrawn_at).is_(None),
            col(Position.withdrawn_at).is_(None),
        )
        .order_by(col(Need.id))
    ).all()
    used = _used(session, [need.id or 0 for need, _, _ in rows])
    at: defaultdict[int, set[Ring]] = defaultdict(set)
    for need, place, _ in rows:
        at[place.id or 0] |= used[need.id or 0]
    found: dict[int, Fitted] = {}
    for need, place, machine in rows:
        rings = at[place.id or 0]
        if len(rings) == 1 and need.id in used and place.id not in found:
            (ring,) = rings
            record = fit_records.for_position(session, place.id or 0)
            if record is None or not _says(record, ring):
                found[place.id or 0] = Fitted(need.id or 0, place.id or 0, place.name, machine.name, ring, record)
    return tuple(found.values())


def note(session: Session, act: Act, job_id: int) -> tuple[FitRow, ...]:
    """Put on record what waits, each ring with its readings and its groove; what was on record before stays readable.

    Raises `NotFoundError`.
    """
    job = find(session, Job, job_id, "job")
    made = claim(session, act, "fit_records.record", job.title)
    if made.first:
        for one in waiting(session, job_id):
            evidence, groove = _measured(session, one)
            said = f"used in “{job.title}”"
            new = NewFit(one.ring.size_key, evidence, one.ring.rubber, one.ring.hardness_shore_a, said, groove)
            fit_records.insert(session, made.action_id, one.position_id, new)
    noted = select(FitRecord).where(FitRecord.action_id == made.action_id).order_by(col(FitRecord.id))
    return fit_records.rows_of(session, session.exec(noted).all())


def _used(session: Session, need_ids: Sequence[int]) -> defaultdict[int, set[Ring]]:
    """The rings that were picked for each need and did not all come back."""
    rows = session.exec(
        select(KitLine, Item)
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .where(col(KitLine.need_id).in_(need_ids), KitLine.state == LineState.PICKED)
    ).all()
    back = given_back(session, [line.id or 0 for line, _ in rows])
    used: defaultdict[int, set[Ring]] = defaultdict(set)
    for line, item in rows:
        if item.size_key and line.quantity > back.get(line.id or 0, 0):
            used[line.need_id].add(Ring(item.size_key, item.rubber, item.hardness_shore_a))
    return used


def _says(record: FitRow, ring: Ring) -> bool:
    """Whether the record says the same of the ring; a hardness that one of them leaves open is no difference."""
    hardness = {record.hardness_shore_a, ring.hardness_shore_a} - {None}
    return _same_size(record, ring) and ring.rubber in ("", record.rubber) and len(hardness) < 2


def _same_size(record: FitRow, ring: Ring) -> bool:
    return record.size_key == ring.size_key or record.size_key in same_rings(ring.size_key)


def _measured(session: Session, one: Fitted) -> tuple[Evidence | None, Groove | None]:
    """The readings and the groove the need was accepted on; else those on record, where the size is the same."""
    stored = session.exec(
        select(NeedReading).where(NeedReading.need_id == one.need_id).order_by(col(NeedReading.position))
    ).all()
    groove = session.get(NeedGroove, one.need_id)
    before = one.record if one.record is not None and _same_size(one.record, one.ring) else None
    rows = from_store(stored) or (before.readings if before is not None else ())
    readings = tuple(Reading(row.what, row.value_mm, row.plus_minus_mm, row.tool) for row in rows)
    evidence = Evidence(readings, rows[0].condition) if rows else None
    if groove is not None:
        return evidence, from_text(Groove, groove.groove)
    return evidence, before.groove if before is not None else None
