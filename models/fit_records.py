"""Fit records: what fitted where, measured how. A new record supersedes the last; none is changed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlmodel import Session, col, select

from catalog.orings.evidence import Evidence
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.items import check_hardness, clean_size_key
from models.readings import ReadingRow, from_store, to_store
from models.rows import find, hold
from models.tables import Action, FitReading, FitRecord, Machine, Position
from models.text import NOTE_LENGTH, clean
from models.words import Kind


class FitRow(NamedTuple):
    """One fit record with who, when and the readings it stands on."""

    fit_record_id: int
    position_id: int
    position_name: str
    machine_name: str
    size_key: str
    rubber: str
    hardness_shore_a: int | None
    readings: tuple[ReadingRow, ...]
    note: str
    who: str
    at: datetime
    supersedes: int | None


def record(
    session: Session,
    act: Act,
    position_id: int,
    size_key: str,
    *,
    evidence: Evidence | None = None,
    rubber: str = "",
    hardness_shore_a: int | None = None,
    note: str = "",
) -> FitRow:
    """Note that a ring of this size fitted at the position; what was noted before is superseded and stays readable.

    Raises `NotFoundError`, `InvalidInputError` (the position takes no ring, the key names no size).
    """
    key = clean_size_key(size_key)
    family = clean(rubber, "rubber", limit=20, empty=True).upper()
    said = clean(note, "note", limit=NOTE_LENGTH, empty=True)
    check_hardness(hardness_shore_a)
    made = claim(session, act, "fit_records.record", key)
    if made.first:
        position = hold(session, Position, position_id, "position")
        if position.takes is not Kind.RING:
            raise InvalidInputError(
                f"“{position.name}” takes a {position.takes}, not a ring.", "Choose another position."
            )
        last = session.exec(
            select(FitRecord.id).where(FitRecord.position_id == position_id).order_by(col(FitRecord.id).desc())
        ).first()
        row = FitRecord(
            action_id=made.action_id,
            position_id=position_id,
            size_key=key,
            rubber=family,
            hardness_shore_a=hardness_shore_a,
            note=said,
            supersedes_id=last,
        )
        session.add(row)
        session.flush()
        assert row.id is not None
        for reading in to_store(evidence):
            session.add(FitReading(fit_record_id=row.id, **reading._asdict()))
        session.flush()
    found = session.exec(select(FitRecord).where(FitRecord.action_id == made.action_id)).one()
    return _rows(session, [found])[0]


def for_position(session: Session, position_id: int) -> FitRow | None:
    """The record that holds at a position; None when nothing was ever noted there. Raises `NotFoundError`."""
    rows = history(session, position_id, limit=1)
    return rows[0] if rows else None


def history(session: Session, position_id: int, *, limit: int = 200) -> tuple[FitRow, ...]:
    """Every record of a position, the one that holds first. Raises `NotFoundError`."""
    find(session, Position, position_id, "position")
    rows = session.exec(
        select(FitRecord).where(FitRecord.position_id == position_id).order_by(col(FitRecord.id).desc()).limit(limit)
    ).all()
    return _rows(session, rows)


def _rows(session: Session, records: Sequence[FitRecord]) -> tuple[FitRow, ...]:
    readings: defaultdict[int, list[FitReading]] = defaultdict(list)
    for reading in session.exec(
        select(FitReading)
        .where(col(FitReading.fit_record_id).in_([one.id for one in records]))
        .order_by(col(FitReading.position))
    ).all():
        readings[reading.fit_record_id].append(reading)
    rows: list[FitRow] = []
    for one in records:
        assert one.id is not None
        position = find(session, Position, one.position_id, "position")
        machine = find(session, Machine, position.machine_id, "machine")
        action = find(session, Action, one.action_id, "action")
        rows.append(
            FitRow(
                one.id,
                one.position_id,
                position.name,
                machine.name,
                one.size_key,
                one.rubber,
                one.hardness_shore_a,
                from_store(readings[one.id]),
                one.note,
                action.who,
                action.at,
                one.supersedes_id,
            )
        )
    return tuple(rows)
