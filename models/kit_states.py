"""Where kits stand, told from needs and lines. Nothing here is stored."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from sqlalchemy import case, func
from sqlmodel import Session, col, select

from models.tables import KitLine, Need
from models.words import Kind, KitState, LineState


class Standing(NamedTuple):
    """One need in numbers: wanted in all, promised and not yet picked, picked, and whether it was looked for."""

    wanted: int
    promised: int
    picked: int
    looked_for: bool

    @property
    def missing(self) -> int:
        """What no line covers."""
        return max(0, self.wanted - self.promised - self.picked)


def wanted(need: Need) -> int:
    """How much a need takes: up to the full mark, or pieces with their spares."""
    return (need.full_ul or 0) if need.kind is Kind.FLUID else need.pieces + need.spares


def standings(session: Session, needs: Iterable[Need]) -> dict[int, Standing]:
    """How each need stands, by its id."""
    rows = list(needs)
    sums = {
        need_id: (int(promised), int(picked))
        for need_id, promised, picked in session.exec(
            select(
                KitLine.need_id,
                func.sum(case((col(KitLine.state) == LineState.HAVE, col(KitLine.quantity)), else_=0)),
                func.sum(case((col(KitLine.state) == LineState.PICKED, col(KitLine.quantity)), else_=0)),
            )
            .where(col(KitLine.need_id).in_([need.id for need in rows]))
            .group_by(col(KitLine.need_id))
        ).all()
    }
    return {
        need.id or 0: Standing(wanted(need), *sums.get(need.id or 0, (0, 0)), need.looked_for_at is not None)
        for need in rows
    }


def state_of(standing: Iterable[Standing]) -> KitState:
    """Where an open kit stands."""
    needs = tuple(standing)
    if needs and all(need.picked >= need.wanted for need in needs):
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
    standing = standings(session, needs)
    by_job: defaultdict[int, list[Standing]] = defaultdict(list)
    for need in needs:
        by_job[need.job_id].append(standing[need.id or 0])
    return {job_id: state_of(by_job[job_id]) for job_id in job_ids}
