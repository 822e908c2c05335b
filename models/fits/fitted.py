"""What a job fitted: the rings it used at a machine's positions that are not on record there, and noting them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from sqlalchemy import func
from sqlmodel import Session, col, select

from catalog.orings.evidence import Evidence, Reading
from catalog.orings.groove import Groove
from catalog.orings.size_book import SizeBook
from models import own_sizes
from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.fits import fit_records
from models.fits.fit_records import FitRow, NewFit
from models.fits.readings import ReadingRow, from_store
from models.kitting.promises import given_back
from models.rows import find, hold
from models.stored_text import from_text
from models.tables import (
    FitRecord,
    Item,
    Job,
    KitLine,
    Machine,
    Movement,
    Need,
    NeedReading,
    NeedSize,
    Position,
    Stock,
)
from models.words import Kind, LineState, Moved


class Ring(NamedTuple):
    """A ring as it lies on the shelf."""

    size_key: str
    rubber: str
    hardness_shore_a: int | None


class Fitted(NamedTuple):
    """A ring a job used at a position, and what is on record there instead; None where nothing is."""

    position_id: int
    position_name: str
    machine_name: str
    ring: Ring
    record: FitRow | None


class Place(NamedTuple):
    """A position and the machine it is on."""

    machine_name: str
    position_name: str


class Used(NamedTuple):
    """The rings that wait to be noted, and the positions where several sorts went in: nobody can tell which fitted."""

    waiting: tuple[Fitted, ...]
    mixed: tuple[Place, ...]


class _Needed(NamedTuple):
    """A position, and the ring needs that name it."""

    position: Position
    machine: Machine
    need_ids: list[int]


def used(session: Session, job_id: int) -> Used:
    """What a job used at positions where it is not on record, in the order of its needs. Raises `NotFoundError`.

    What was noted there after the ring was picked is the person's own word, and nothing waits.
    """
    find(session, Job, job_id, "job")
    waiting, mixed = [], []
    book = own_sizes.size_book(session)
    for place in _places(session, job_id):
        pieces, picked = _pieces(session, place.need_ids)
        if not pieces:
            continue
        ring = _one_sort(pieces, book)
        record = fit_records.for_position(session, place.position.id or 0)
        if record is not None and (
            _action_of(session, record) > picked or (ring is not None and _says(record, ring, book))
        ):
            continue
        if ring is None:
            mixed.append(Place(place.machine.name, place.position.name))
        else:
            waiting.append(Fitted(place.position.id or 0, place.position.name, place.machine.name, ring, record))
    return Used(tuple(waiting), tuple(mixed))


def note(session: Session, act: Act, job_id: int, chosen: Sequence[Fitted] | None = None) -> tuple[FitRow, ...]:
    """Put the chosen rings on record, all that wait by default; what was on record before stays readable.

    Each goes with its readings, and with the groove. Raises `NotFoundError`, or `InvalidInputError` where what was
    chosen is no longer what waits.
    """
    job = find(session, Job, job_id, "job")
    made = claim(session, act, "fit_records.record", job.title, subject_id=job_id)
    if made.first:
        hold(session, Job, job_id, "job")
        needs = {place.position.id or 0: place.need_ids for place in _places(session, job_id)}
        for position_id in sorted(needs):
            hold(session, Position, position_id, "position")
        waiting = used(session, job_id).waiting
        for one in waiting if chosen is None else chosen:
            if one not in waiting:
                raise InvalidInputError(
                    f"What is on record at “{one.position_name}” has changed meanwhile.",
                    "Look at it, and note it there.",
                )
            asked = needs[one.position_id]
            new = NewFit(
                one.ring.size_key,
                _evidence(session, asked, one),
                one.ring.rubber,
                one.ring.hardness_shore_a,
                f"job {job_id}, {job.title}",
                _groove(session, asked, one),
            )
            fit_records.insert(session, made.action_id, one.position_id, new)
    noted = select(FitRecord).where(FitRecord.action_id == made.action_id).order_by(col(FitRecord.id))
    return fit_records.rows_of(session, session.exec(noted).all())


def positions_of(session: Session, job_id: int) -> tuple[int, ...]:
    """The positions that a job's standing ring needs name, in their order."""
    return tuple(place.position.id or 0 for place in _places(session, job_id))


def _places(session: Session, job_id: int) -> list[_Needed]:
    """The positions that the job's standing ring needs name, in the order of the needs."""
    rows = session.exec(
        select(Need.id, Position, Machine)
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
    found: dict[int, _Needed] = {}
    for need_id, position, machine in rows:
        found.setdefault(position.id or 0, _Needed(position, machine, [])).need_ids.append(need_id or 0)
    return list(found.values())


def _pieces(session: Session, need_ids: Sequence[int]) -> tuple[Counter[Ring], int]:
    """How many of each ring were picked for the needs and did not come back, and the last action that picked such."""
    rows = session.exec(
        select(KitLine, Item)
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .where(col(KitLine.need_id).in_(need_ids), KitLine.state == LineState.PICKED)
        .order_by(col(KitLine.id))
    ).all()
    back = given_back(session, [line.id or 0 for line, _ in rows])
    pieces: Counter[Ring] = Counter()
    left = []
    for line, item in rows:
        if item.size_key and line.quantity > back.get(line.id or 0, 0):
            ring = Ring(item.size_key, item.rubber, item.hardness_shore_a)
            pieces[ring] += line.quantity - back.get(line.id or 0, 0)
            left.append(line.id)
    picked = session.exec(
        select(func.max(Movement.action_id)).where(col(Movement.kit_line_id).in_(left), Movement.kind == Moved.USED)
    ).one()
    return pieces, picked or 0


def _one_sort(pieces: Counter[Ring], book: SizeBook) -> Ring | None:
    """The ring that all of them are: by any of its names, and by what is known of each. None where they are several."""
    size_key = pieces.most_common(1)[0][0].size_key
    rubbers = {ring.rubber for ring in pieces} - {""}
    hardnesses = {ring.hardness_shore_a for ring in pieces} - {None}
    alike = all(_same_size(size_key, ring.size_key, book) for ring in pieces)
    if not alike or len(rubbers) > 1 or len(hardnesses) > 1:
        return None
    return Ring(size_key, next(iter(rubbers), ""), next(iter(hardnesses), None))


def _says(record: FitRow, ring: Ring, book: SizeBook) -> bool:
    """Whether the record says the same of the ring; a hardness that one of them leaves open is no difference."""
    hardness = {record.hardness_shore_a, ring.hardness_shore_a} - {None}
    return _same_size(record.size_key, ring.size_key, book) and ring.rubber in ("", record.rubber) and len(hardness) < 2


def _same_size(one: str, other: str, book: SizeBook) -> bool:
    return one == other or one in book.same_rings(other)


def _action_of(session: Session, record: FitRow) -> int:
    return find(session, FitRecord, record.fit_record_id, "fit record").action_id


def _evidence(session: Session, need_ids: Sequence[int], one: Fitted) -> Evidence | None:
    """The readings by which a need of this size was accepted; else those on record, where the size is the same."""
    rows: Sequence[ReadingRow] = ()
    book = own_sizes.size_book(session)
    for need_id, names in _names(session, need_ids).items():
        if not rows and any(_same_size(name, one.ring.size_key, book) for name in names):
            rows = from_store(_readings(session, need_id))
    if not rows and one.record is not None and _same_size(one.record.size_key, one.ring.size_key, book):
        rows = one.record.readings
    readings = tuple(Reading(row.what, row.value_mm, row.plus_minus_mm, row.tool) for row in rows)
    return Evidence(readings, rows[0].condition) if rows else None


def _groove(session: Session, need_ids: Sequence[int], one: Fitted) -> Groove | None:
    """The place's groove, as a need brought it or as it is on record: it is the same whatever ring goes in."""
    grooves = select(Need.id, Need.groove).where(col(Need.id).in_(need_ids), col(Need.groove).is_not(None))
    measured = dict(session.exec(grooves).all())
    for need_id in need_ids:
        if said := measured.get(need_id):
            return from_text(Groove, said)
    return one.record.groove if one.record is not None else None


def _readings(session: Session, need_id: int) -> Sequence[NeedReading]:
    query = select(NeedReading).where(NeedReading.need_id == need_id).order_by(col(NeedReading.position))
    return session.exec(query).all()


def _names(session: Session, need_ids: Sequence[int]) -> dict[int, set[str]]:
    """The size each need asks for, by all the names that were accepted."""
    sizes = select(Need.id, Need.size_key).where(col(Need.id).in_(need_ids)).order_by(col(Need.id))
    names = {need_id or 0: {size_key or ""} for need_id, size_key in session.exec(sizes).all()}
    equivalents = select(NeedSize).where(col(NeedSize.need_id).in_(need_ids), col(NeedSize.seals_ppm).is_(None))
    for equivalent in session.exec(equivalents).all():
        names[equivalent.need_id].add(equivalent.size_key)
    return names
