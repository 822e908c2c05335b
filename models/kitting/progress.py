"""Where kits stand, told from needs and lines. Nothing here is stored."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from sqlalchemy import BigInteger, ColumnElement, String, case, cast, func, null, union_all
from sqlalchemy import select as columns
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from models.kitting.fill_entries import InSump, Written, in_sump
from models.tables import Action, Filled, FillEntry, KitLine, Movement, Need
from models.words import Kind, KitState, LineState, Moved


class NeedProgress(NamedTuple):
    """One need in numbers: wanted in all, promised and not yet picked, picked, and whether it was looked for.

    Of a fluid that is tallied, `left_in` is what is in the sump and came from no pack (it was held and not drained, or
    drained and poured back): so much less is wanted. `poured` came from packs. `enough`, up to the low mark, is not
    short.
    """

    wanted: int
    promised: int
    picked: int
    looked_for: bool
    enough: int
    poured: int = 0
    left_in: int = 0

    @property
    def covered(self) -> int:
        """What is promised, and what is picked or was poured without having been picked."""
        return self.promised + max(self.picked, self.poured)

    @property
    def room(self) -> int:
        """How much more it takes, a fluid up to its full mark."""
        return max(0, self.wanted - self.covered)

    @property
    def missing(self) -> int:
        """What it is short of; a fluid between its marks is short of nothing."""
        return self.lacks()

    @property
    def taken(self) -> bool:
        """Whether all of it is picked or poured, or enough of it and nothing more is promised."""
        out = max(self.picked, self.poured)
        return out >= self.wanted or (out >= self.enough and not self.promised)

    @property
    def between(self) -> bool:
        """Whether a fluid comes to stand between its marks."""
        return self.enough <= self.covered < self.wanted

    def lacks(self, coming: int = 0) -> int:
        """What it is short of once so much more has come."""
        return 0 if self.covered + coming >= self.enough else max(0, self.room - coming)


def wanted(need: Need) -> int:
    """How much a need takes: up to the full mark, or pieces with their spares."""
    return (need.full_ul or 0) if need.kind is Kind.FLUID else need.pieces + need.spares


def progress_of(session: Session, needs: Iterable[Need]) -> dict[int, NeedProgress]:
    """How each need stands, by its id. One query, whether fluids are among them or not."""
    rows = list(needs)
    lines: dict[int, tuple[int, int]] = {}
    fills: defaultdict[int, list[Written]] = defaultdict(list)
    summed = (
        columns(
            col(KitLine.need_id),
            func.sum(case((col(KitLine.state) == LineState.HAVE, col(KitLine.quantity)), else_=0)),
            func.sum(case((col(KitLine.state) == LineState.PICKED, col(KitLine.quantity)), else_=0)),
            cast(null(), String),
            cast(null(), BigInteger),
        )
        .where(col(KitLine.need_id).in_([need.id for need in rows]))
        .group_by(col(KitLine.need_id))
    )
    entries = columns(
        col(FillEntry.need_id), col(FillEntry.id), col(FillEntry.volume_nl), cast(FillEntry.what, String),
        cast(FillEntry.takes_back_id, BigInteger),
    ).where(col(FillEntry.need_id).in_([need.id for need in rows if need.kind is Kind.FLUID]))  # fmt: skip
    session.flush()
    for need_id, first, second, what, takes_back in session.connection().execute(union_all(summed, entries)):
        if what is None:
            lines[need_id] = int(first), int(second)
        else:
            fills[need_id].append(Written(int(first), Filled(what), int(second), takes_back))
    return {
        need.id or 0: _progress(need, *lines.get(need.id or 0, (0, 0)), in_sump(fills.get(need.id or 0, ())))
        for need in rows
    }


def _progress(need: Need, promised: int, picked: int, sump: InSump) -> NeedProgress:
    most = wanted(need)
    least = (need.low_ul or most) if need.kind is Kind.FLUID else most
    return NeedProgress(
        max(0, most - sump.left_in),
        promised,
        picked,
        need.looked_for_at is not None,
        max(0, least - sump.left_in),
        sump.poured,
        sump.left_in,
    )


class Overheld(NamedTuple):
    """A need that holds more, promised and picked, than it may: what it wants and what a person took beyond that."""

    need: Need
    held: int
    may_hold: int


def overheld(session: Session, need_ids: Iterable[int] | None = None) -> dict[int, Overheld]:
    """The needs, all or of these, that hold more than they may. A pick of more than was promised is allowed."""
    lines = [col(KitLine.state).in_([LineState.HAVE, LineState.PICKED])]
    if need_ids is not None:
        lines.append(col(KitLine.need_id).in_(list(need_ids)))
    takes = case((col(Need.kind) == Kind.FLUID, func.coalesce(Need.full_ul, 0)), else_=Need.pieces + Need.spares)
    total = func.sum(col(KitLine.quantity))
    held = {
        need_id: int(quantity)
        for need_id, quantity in session.exec(
            select(KitLine.need_id, total)
            .join(Need, col(Need.id) == col(KitLine.need_id))
            .where(*lines)
            .group_by(col(KitLine.need_id), takes)
            .having(total > takes)
        ).all()
    }
    if not held:
        return {}
    beyond = _taken_beyond(session, held)
    needs = session.exec(select(Need).where(col(Need.id).in_(held)).order_by(col(Need.id))).all()
    found = [Overheld(need, held[need.id or 0], wanted(need) + beyond.get(need.id or 0, 0)) for need in needs]
    return {one.need.id or 0: one for one in found if one.held > one.may_hold}


def _taken_beyond(session: Session, need_ids: Iterable[int]) -> dict[int, int]:
    """What picks that stand took beyond the promise. A pick of another quantity promises anew what it takes."""
    back = aliased(Movement)
    conditions: list[ColumnElement[bool]] = [
        col(KitLine.need_id).in_(list(need_ids)),
        col(Action.what).in_(["kits.pick", "tally.note"]),
        col(Movement.kind).in_([Moved.PROMISED, Moved.RELEASED]),
        col(back.id).is_(None),
    ]
    rows = session.exec(
        select(KitLine.need_id, func.sum(col(Movement.promised_change)))
        .join(Movement, col(Movement.kit_line_id) == col(KitLine.id))
        .join(Action, col(Action.id) == col(Movement.action_id))
        .outerjoin(back, col(back.reverses_id) == col(Movement.id))
        .where(*conditions)
        .group_by(col(KitLine.need_id))
    ).all()
    return {need_id: int(quantity) for need_id, quantity in rows}


def state_of(standing: Iterable[NeedProgress]) -> KitState:
    """Where an open kit stands."""
    needs = tuple(standing)
    if needs and all(need.taken for need in needs):
        return KitState.PICKED
    missing = [need for need in needs if need.missing]
    if needs and not missing:
        return KitState.READY
    if not needs or any(not need.looked_for for need in missing):
        return KitState.DRAFT
    return KitState.SHORT


def states(session: Session, job_ids: Sequence[int]) -> dict[int, KitState]:
    """Where the kits of many jobs stand, as if all were open."""
    needs = session.exec(select(Need).where(col(Need.job_id).in_(job_ids), col(Need.withdrawn_at).is_(None))).all()
    standing = progress_of(session, needs)
    by_job: defaultdict[int, list[NeedProgress]] = defaultdict(list)
    for need in needs:
        by_job[need.job_id].append(standing[need.id or 0])
    return {job_id: state_of(by_job[job_id]) for job_id in job_ids}
