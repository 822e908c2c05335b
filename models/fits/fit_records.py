"""Fit records: what fitted where, measured how. A new record supersedes the last; none is changed."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import ColumnElement, func, true
from sqlmodel import Session, col, select

from catalog.orings.evidence import Evidence
from catalog.orings.groove import Groove
from catalog.orings.ran import Outcome
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.fits.readings import ReadingRow, from_store, to_store
from models.inventory.items import check_hardness, clean_size_key
from models.rows import find, live_row
from models.stored_text import from_text, to_text
from models.tables import Action, FitOutcome, FitReading, FitRecord, Machine, Position
from models.text import NOTE_LENGTH, clean
from models.words import Kind


class Went(NamedTuple):
    """How a fit went after a run, who said so and when; where it was imported, in the shop it came from."""

    outcome: Outcome
    who: str
    at: datetime


class FitRow(NamedTuple):
    """One fit record with who, when, the readings and the groove it stands on.

    An imported one names who confirmed it and when in the shop it came from; `imported_by` brought it here. `went`: how
    it went, as it was said last; None where nobody said.
    """

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
    groove: Groove | None = None
    imported_by: str = ""
    went: Went | None = None


class Origin(NamedTuple):
    """Who confirmed a fit in another shop, or said how it went, and when."""

    who: str
    at: datetime


class Saying(NamedTuple):
    """How a fit went, to be noted; `origin`: who said so in another shop, and when."""

    outcome: Outcome
    origin: Origin | None = None


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
    groove: Groove | None = None,
) -> FitRow:
    """Note that a ring of this size fitted at the position; what was noted before is superseded and stays readable.

    Ask `fit_question.compare` first: a reading that differs from what is on record is a question for the person.
    Raises `NotFoundError`, `InvalidInputError` (the position takes no ring, the key names no size).
    """
    new = NewFit(size_key, evidence, rubber, hardness_shore_a, note, groove)
    made = claim(session, act, "fit_records.record", clean_size_key(size_key))
    if made.first:
        insert(session, made.action_id, position_id, new)
    found = session.exec(select(FitRecord).where(FitRecord.action_id == made.action_id)).one()
    return rows_of(session, [found])[0]


class NewFit(NamedTuple):
    """A fit to note; see `record`."""

    size_key: str
    evidence: Evidence | None = None
    rubber: str = ""
    hardness_shore_a: int | None = None
    note: str = ""
    groove: Groove | None = None
    origin: Origin | None = None
    went: Saying | None = None


def insert(session: Session, action_id: int, position_id: int, new: NewFit) -> int:
    """Write a fit on top of what is on record at the position. Raises as `record` does."""
    key = clean_size_key(new.size_key)
    family = clean(new.rubber, "rubber", limit=20, empty=True).upper()
    said = clean(new.note, "note", limit=NOTE_LENGTH, empty=True)
    check_hardness(new.hardness_shore_a)
    position = live_row(session, Position, position_id, "position", change=True)
    if position.takes is not Kind.RING:
        raise InvalidInputError(f"“{position.name}” takes a {position.takes}, not a ring.", "Choose another position.")
    last = session.exec(
        select(FitRecord.id).where(FitRecord.position_id == position_id).order_by(col(FitRecord.id).desc())
    ).first()
    row = FitRecord(
        action_id=action_id,
        position_id=position_id,
        size_key=key,
        rubber=family,
        hardness_shore_a=new.hardness_shore_a,
        note=said,
        supersedes_id=last,
        groove=None if new.groove is None else to_text(new.groove),
        confirmed_by=None if new.origin is None else clean(new.origin.who, "name of who confirmed it"),
        confirmed_at=None if new.origin is None else new.origin.at,
    )
    session.add(row)
    session.flush()
    assert row.id is not None
    session.add_all([FitReading(fit_record_id=row.id, **reading._asdict()) for reading in to_store(new.evidence)])
    session.flush()
    if new.went is not None:
        add_outcome(session, action_id, row.id, new.went)
    return row.id


def add_outcome(session: Session, action_id: int, fit_record_id: int, said: Saying) -> None:
    """Write how a fit went, on top of what was said of it before."""
    origin = said.origin
    session.add(
        FitOutcome(
            action_id=action_id,
            fit_record_id=fit_record_id,
            outcome=said.outcome,
            said_by=None if origin is None else clean(origin.who, "name of who said how it went"),
            said_at=None if origin is None else origin.at,
        )
    )
    session.flush()


def stands() -> ColumnElement[bool]:
    """The condition that a record was not taken back by undo."""
    return col(FitRecord.action_id).not_in(select(Action.undoes_id).where(col(Action.undoes_id).is_not(None)))


def for_position(session: Session, position_id: int) -> FitRow | None:
    """The record that holds at a position; None when nothing was ever noted there. Raises `NotFoundError`."""
    rows = history(session, position_id, limit=1)
    return rows[0] if rows else None


def history(session: Session, position_id: int, *, limit: int = 200) -> tuple[FitRow, ...]:
    """Every record of a position that stands, the one that holds first. Raises `NotFoundError`."""
    find(session, Position, position_id, "position")
    rows = session.exec(
        select(FitRecord)
        .where(FitRecord.position_id == position_id, stands())
        .order_by(col(FitRecord.id).desc())
        .limit(limit)
    ).all()
    return rows_of(session, rows)


def at_machine(session: Session, machine_id: int) -> tuple[FitRow, ...]:
    """The record that holds at each position of a machine, by the position's name. Raises `NotFoundError`."""
    find(session, Machine, machine_id, "machine")
    return _holding(session, Position.machine_id == machine_id)


def all_holding(session: Session) -> tuple[FitRow, ...]:
    """The record that holds at every position of the shop, by machine and position."""
    return _holding(session, true())


def _holding(session: Session, condition: ColumnElement[bool] | bool) -> tuple[FitRow, ...]:
    latest = select(func.max(FitRecord.id)).where(stands()).group_by(col(FitRecord.position_id))
    rows = session.exec(
        select(FitRecord)
        .join(Position, col(Position.id) == col(FitRecord.position_id))
        .join(Machine, col(Machine.id) == col(Position.machine_id))
        .where(condition, col(FitRecord.id).in_(latest))
        .order_by(col(Machine.name), col(Position.name))
    ).all()
    return rows_of(session, rows)


def confirmed_counts(session: Session) -> dict[str, int]:
    """How often this shop has confirmed each ring size, for `catalog.orings.prior.prior_for`.

    Each record counts whose size still holds at its position, unless the joint wept or leaked; one that was superseded
    by another size was no success.
    """
    fits = session.exec(
        select(FitRecord.id, FitRecord.position_id, FitRecord.size_key).where(stands()).order_by(col(FitRecord.id))
    ).all()
    held = {position_id: size_key for _, position_id, size_key in fits}
    failed = {number for number, one in _outcomes(session).items() if one.outcome is not Outcome.DRY}
    return dict(
        Counter(
            size_key for number, position_id, size_key in fits if held[position_id] == size_key and number not in failed
        )
    )


def _outcomes(session: Session, record_ids: Sequence[int | None] | None = None) -> dict[int, Went]:
    """How records went, by their number, as said last and not taken back; of all records where none are named."""
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    query = select(FitOutcome, Action).join(Action, col(Action.id) == col(FitOutcome.action_id))
    query = query.where(col(FitOutcome.action_id).not_in(undone)).order_by(col(FitOutcome.id))
    if record_ids is not None:
        query = query.where(col(FitOutcome.fit_record_id).in_(record_ids))
    return {
        said.fit_record_id: Went(said.outcome, said.said_by or action.who, said.said_at or action.at)
        for said, action in session.exec(query)
    }


def rows_of(session: Session, records: Sequence[FitRecord]) -> tuple[FitRow, ...]:
    """Records as they are given out, in the order given."""
    ids = [one.id for one in records]
    readings: defaultdict[int, list[FitReading]] = defaultdict(list)
    for reading in session.exec(
        select(FitReading).where(col(FitReading.fit_record_id).in_(ids)).order_by(col(FitReading.position))
    ).all():
        readings[reading.fit_record_id].append(reading)
    went = _outcomes(session, ids)
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
                one.confirmed_by or action.who,
                one.confirmed_at or action.at,
                one.supersedes_id,
                None if one.groove is None else from_text(Groove, one.groove),
                action.who if one.confirmed_by else "",
                went.get(one.id),
            )
        )
    return tuple(rows)
