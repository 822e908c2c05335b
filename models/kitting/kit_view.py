"""A kit as a screen shows it: frozen, nothing in it touches the database any more."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Final, NamedTuple

from sqlmodel import Session, col, select

from catalog.orings.groove import Groove
from catalog.orings.would_do import WouldDo
from models.acts import now
from models.fits.readings import ReadingRow, from_store
from models.kitting.allocate import Looked
from models.kitting.candidates import (
    Candidate,
    Wanted,
    candidates_all,
    take_free,
    unit_of,
    wanted_all,
    what_was_tried,
)
from models.kitting.progress import NeedProgress, progress_of, state_of
from models.kitting.promises import given_back
from models.kitting.sealing import Seal, of_needs
from models.qualify.wanted import AS_FITTED, MILLION
from models.rows import find
from models.tables import (
    Bin,
    Item,
    Job,
    JobTemplate,
    KitLine,
    Lot,
    Machine,
    Need,
    NeedReading,
    Position,
    Stock,
    TemplateVersion,
)
from models.words import Kind, KitState, LineState, Others, Unit


class LotView(NamedTuple):
    """A lot as a kit's line knows it: its code, its last day, and for rubber the day it was cured, where known."""

    code: str = ""
    expires_on: date | None = None
    cured_on: date | None = None


NO_LOT: Final = LotView()


class LineView(NamedTuple):
    """One line: *have* or *picked* (item, bin, quantity), *free* (the same, not promised yet) or *short* (quantity
    lacking, `reason` = what was tried).

    Only stored lines have a `line_id`. `pinned`: chosen by hand. `given_back`: how much of a picked
    line came back. `cure_minutes`: the item's, for a sealant. `rubber`, `hardness_shore_a`: a ring's.
    `in_place`: another ring than the one asked for.
    """

    line_id: int | None
    state: LineState
    quantity: int
    counted_in: Unit
    item_name: str
    bin_code: str
    lot: LotView
    reason: str
    pinned: bool = False
    given_back: int = 0
    cure_minutes: int | None = None
    size_key: str | None = None
    in_place: bool = False
    rubber: str = ""
    hardness_shore_a: int | None = None


class NeedView(NamedTuple):
    """One need with its lines; quantities in `counted_in`. `probability` is the accepted match's, 0 to 1.

    A ring asked for as it was fitted has the size its position's fit record says now, or none. `groove`: measured.
    `sealed`: when the joint was sealed, where somebody noted it and what was picked for it is still out. `seals`: the
    chance, 0 to 1, that the ring asked for seals, and `would_do`: the other rings that would do, best first, as they
    were judged when it was accepted; `others`: whether another may go in at all. Of a fluid: what was `poured`, what is
    `still_in` the sump (`wanted` is less that), and whether it comes to stand `between` its marks. `missing` is what no
    line covers; `short` is that less what lies free on the shelf, for which there are lines that say *free*.
    `meets`: the fluid's code of what a ring meets at its position, "" where nobody said; `hottest_c`: how hot, °C.
    `again`: of one that was just put there, that it is more of a need there was, or apart from another of its size.
    """

    need_id: int
    job_id: int
    kind: Kind
    title: str
    position_name: str
    size_key: str | None
    equivalents: tuple[str, ...]
    rubbers: tuple[str, ...]
    hardness_shore_a: int | None
    spec_class: str
    spec_grade: str
    pieces: int
    spares: int
    low_ul: int | None
    full_ul: int | None
    cure_minutes_at_most: int | None
    counted_in: Unit
    wanted: int
    missing: int
    probability: float | None
    why: str
    readings: tuple[ReadingRow, ...]
    lines: tuple[LineView, ...]
    asks: tuple[str, ...] = ()
    groove: Groove | None = None
    as_fitted: bool = False
    sealed: Seal | None = None
    seals: float | None = None
    would_do: tuple[WouldDo, ...] = ()
    others: Others = Others.WOULD_DO
    poured: int = 0
    still_in: int = 0
    between: bool = False
    looked_for: bool = True
    short: int = 0
    meets: str = ""
    hottest_c: int | None = None
    again: str = ""


class _Place(NamedTuple):
    """A position as a need's view names it."""

    name: str = ""
    meets: str | None = None
    hottest_c: int | None = None


NO_PLACE: Final = _Place()


class KitView(NamedTuple):
    """A job's kit. `made_from`: the template and version it was made from, in words.

    `meter_hundredths_h`: what the machine's hour meter showed last with this job, in hundredths of an hour.
    """

    job_id: int
    title: str
    machine_name: str
    due_on: date | None
    state: KitState
    needs: tuple[NeedView, ...]
    made_from: str = ""
    meter_hundredths_h: int | None = None


def view(session: Session, job_id: int, *, on: date | None = None, looked: Looked | None = None) -> KitView:
    """A job's kit as it stands; lots past their day on `on` (today) count as expired. Raises `NotFoundError`.

    `looked`: what this same unit has just found on the shelf for it.
    """
    job = find(session, Job, job_id, "job")
    machine = session.get(Machine, job.machine_id) if job.machine_id is not None else None
    needs = session.exec(
        select(Need).where(Need.job_id == job_id, col(Need.withdrawn_at).is_(None)).order_by(col(Need.id))
    ).all()
    standing = progress_of(session, needs)
    state = KitState.DONE if job.closed_at else state_of(standing.values())
    return KitView(
        job_id,
        job.title,
        machine.name if machine else "",
        job.due_on,
        state,
        _views(session, needs, standing, on or now().date(), looked or Looked({}, {})),
        _made_from(session, job),
        job.meter_hundredths_h,
    )


def _made_from(session: Session, job: Job) -> str:
    if job.template_version_id is None:
        return ""
    name, number = session.exec(
        select(JobTemplate.name, TemplateVersion.number)
        .join(TemplateVersion, col(TemplateVersion.template_id) == col(JobTemplate.id))
        .where(TemplateVersion.id == job.template_version_id)
    ).one()
    return f"{name}, version {number}"


def need_views(session: Session, needs: Sequence[Need], on: date) -> tuple[NeedView, ...]:
    """Needs with their lines, in the order given."""
    return _views(session, needs, progress_of(session, needs), on, Looked({}, {}))


def _views(
    session: Session, needs: Sequence[Need], standing: Mapping[int, NeedProgress], on: date, looked: Looked
) -> tuple[NeedView, ...]:
    ids = [need.id for need in needs]
    sought = looked.sought | wanted_all(session, [need for need in needs if need.id not in looked.sought])
    short = {one for one in sought if standing[one].missing}
    near = looked.near | candidates_all(session, {one: sought[one] for one in short if one not in looked.near}, on)
    lines = _stored_lines(session, ids)
    readings: defaultdict[int, list[NeedReading]] = defaultdict(list)
    for reading in session.exec(
        select(NeedReading).where(col(NeedReading.need_id).in_(ids)).order_by(col(NeedReading.position))
    ).all():
        readings[reading.need_id].append(reading)
    seals = of_needs(session, [need.id or 0 for need in needs if need.kind is Kind.SEALANT])
    at = {need.position_id for need in needs if need.position_id is not None}
    taken: dict[int, int] = {}
    asked = select(Position.id, Position.name, Position.meets, Position.hottest_c).where(col(Position.id).in_(at))
    places = {one[0]: _Place(*one[1:]) for one in session.exec(asked).all()} if at else {}
    return tuple(
        _need_view(
            need,
            sought[need.id or 0],
            standing[need.id or 0],
            lines[need.id or 0],
            from_store(readings[need.id or 0]),
            places.get(need.position_id, NO_PLACE),
            near.get(need.id or 0, []),
            seals.get(need.id or 0),
            taken,
        )
        for need in needs
    )


def _need_view(
    need: Need,
    sought: Wanted,
    standing: NeedProgress,
    lines: list[LineView],
    readings: tuple[ReadingRow, ...],
    place: _Place,
    near: Sequence[Candidate],
    seal: Seal | None,
    taken: dict[int, int],
) -> NeedView:
    unit = unit_of(need)
    if sought.sizes:
        lines = [one._replace(in_place=one.size_key not in sought.sizes) for one in lines]
    lies = _lying_free(standing, near, taken, unit)
    short = standing.lacks(sum(one.quantity for one in lies))
    lines = [*lines, *lies]
    if short:
        tried = what_was_tried(sought, near)
        lines.append(LineView(None, LineState.SHORT, short, unit, "", "", NO_LOT, tried))
    return NeedView(
        need.id or 0,
        need.job_id,
        need.kind,
        need.title,
        place.name,
        sought.sizes[0] if sought.sizes else None,
        sought.sizes[1:],
        sought.rubbers,
        need.hardness_shore_a,
        need.spec_class,
        need.spec_grade,
        need.pieces,
        need.spares,
        need.low_ul,
        need.full_ul,
        need.cure_minutes_at_most,
        unit,
        standing.wanted,
        standing.missing,
        None if need.match_ppm is None else need.match_ppm / MILLION,
        need.why,
        readings,
        tuple(lines),
        sought.asks,
        sought.groove,
        need.size_key == AS_FITTED,
        seal if any(line.state is LineState.PICKED for line in lines) else None,
        sought.seals,
        sought.would_do,
        need.others,
        standing.poured,
        standing.left_in,
        standing.between,
        standing.looked_for,
        short,
        place.meets or "",
        place.hottest_c,
    )


def _lying_free(standing: NeedProgress, near: Sequence[Candidate], taken: dict[int, int], unit: Unit) -> list[LineView]:
    """What lies free for what a need lacks, less what needs before it took; `taken` is added to."""
    found: list[LineView] = []
    lacks = standing.room if standing.missing else 0
    for one in near:
        much = take_free([one.lies_free], lacks, taken)
        if much:
            lacks -= much
            found.append(LineView(None, LineState.FREE, much, unit, one.item_name, one.bin_code, NO_LOT, one.because))
    return found


def _stored_lines(session: Session, need_ids: Sequence[int | None]) -> defaultdict[int, list[LineView]]:
    query = (
        select(KitLine, Item, Bin, Lot)
        .join(Stock, col(Stock.id) == col(KitLine.stock_id))
        .join(Item, col(Item.id) == col(Stock.item_id))
        .join(Bin, col(Bin.id) == col(Stock.bin_id))
        .outerjoin(Lot, col(Lot.id) == col(Stock.lot_id))
        .where(col(KitLine.need_id).in_(need_ids), col(KitLine.state) != LineState.RELEASED)
        .order_by(col(Bin.folded), col(KitLine.id))
    )
    found: defaultdict[int, list[LineView]] = defaultdict(list)
    rows = session.exec(query).all()
    picked = [line.id for line, *_ in rows if line.id is not None and line.state is LineState.PICKED]
    back = given_back(session, picked) if picked else {}
    for line, item, place, lot in rows:
        found[line.need_id].append(
            LineView(
                line.id,
                line.state,
                line.quantity,
                item.counted_in,
                item.name,
                place.code,
                LotView(lot.code, lot.expires_on, lot.cured_on) if lot else NO_LOT,
                line.reason,
                line.pinned_by_id is not None,
                back.get(line.id or 0, 0),
                item.cure_minutes,
                item.size_key,
                rubber=item.rubber,
                hardness_shore_a=item.hardness_shore_a,
            )
        )
    return found
