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
from models.kitting.standing import NeedProgress, reckoned, state_of
from models.tables import Action, Filled, FillEntry, KitLine, Movement, Need
from models.words import Kind, KitState, LineState, Moved

__all__ = ["NeedProgress", "Overheld", "overheld", "progress_of", "state_of", "states", "wanted"]


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
    for need_id, first, second, what, takes_back in session.connection().execute(union_all(summed, entries)).all():
        if what is None:
            lines[need_id] = int(first), int(second)
        else:
            fills[need_id].append(Written(int(first), Filled(what), int(second), takes_back))
    return {
        need.id or 0: _progress(need, *lines.get(need.id or 0, (0, 0)), in_sump(fills.get(need.id or 0, ())))
        for need in rows
    }


def _progress(need: Need, promised: int, picked: int, sump: InSump) -> NeedProgress:
    least = need.low_ul if need.kind is Kind.FLUID else None
    return reckoned(wanted(need), least, promised, picked, sump, looked_for=need.looked_for_at is not None)


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


def states(session: Session, job_ids: Sequence[int]) -> dict[int, KitState]:
    """Where the kits of many jobs stand, as if all were open."""
    needs = session.exec(select(Need).where(col(Need.job_id).in_(job_ids), col(Need.withdrawn_at).is_(None))).all()
    standing = progress_of(session, needs)
    by_job: defaultdict[int, list[NeedProgress]] = defaultdict(list)
    for need in needs:
        by_job[need.job_id].append(standing[need.id or 0])
    return {job_id: state_of(by_job[job_id]) for job_id in job_ids}
