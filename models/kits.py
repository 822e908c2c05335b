"""Kits: needs resolved against the shelf into lines that say *have it (bin, count)* or *short (what was tried)*."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import Session, col, select

from catalog.orings.evidence import Evidence
from models.actions import claim
from models.acts import Act
from models.candidates import candidates
from models.errors import InvalidInputError
from models.kit_states import standings
from models.kit_view import KitView, NeedView, need_views, view
from models.ledger import Entries
from models.needs import NeedSpec, insert_need, withdraw
from models.promises import pick_line, promise, release_line
from models.rows import hold
from models.tables import Job, KitLine, Need, Stock
from models.text import NOTE_LENGTH, clean
from models.words import Kind, LineState

__all__ = [
    "KitView",
    "NeedSpec",
    "NeedView",
    "accept_match",
    "add_need",
    "add_needs",
    "add_ring_need",
    "pick",
    "release",
    "resolve",
    "view",
    "withdraw_need",
]


def add_need(session: Session, act: Act, job_id: int, spec: NeedSpec) -> NeedView:
    """Add one need; see `add_needs`."""
    return add_needs(session, act, job_id, [spec])[0]


def add_needs(session: Session, act: Act, job_id: int, specs: Sequence[NeedSpec]) -> tuple[NeedView, ...]:
    """Add needs in one action without looking on the shelf yet. Raises `InvalidInputError`, `NotFoundError`."""
    made = claim(session, act, "kits.add_need", specs[0].title if len(specs) == 1 else f"{len(specs)} needs")
    if made.first:
        needs = [insert_need(session, made.action_id, job_id, spec) for spec in specs]
    else:
        needs = _needs_of(session, made.action_id)
    return need_views(session, needs, act.at.date())


def add_ring_need(
    session: Session,
    act: Act,
    job_id: int,
    size_key: str,
    *,
    rubbers: Sequence[str] = (),
    pieces: int = 1,
    spares: int = 0,
    twins: Sequence[str] = (),
    hardness_shore_a: int | None = None,
    position_id: int | None = None,
    probability: float | None = None,
    why: str = "",
    evidence: Evidence | None = None,
    title: str = "",
) -> NeedView:
    """Add a need for rings of one size (`as568:214`). See `NeedSpec` for the rest."""
    spec = NeedSpec(
        Kind.RING,
        pieces=pieces,
        spares=spares,
        title=title,
        size_key=size_key,
        twins=twins,
        rubbers=rubbers,
        hardness_shore_a=hardness_shore_a,
        position_id=position_id,
        probability=probability,
        why=why,
        evidence=evidence,
    )
    return add_need(session, act, job_id, spec)


def accept_match(
    session: Session,
    act: Act,
    job_id: int,
    size_key: str,
    probability: float,
    evidence: Evidence | None,
    rubbers: Sequence[str] = (),
    *,
    twins: Sequence[str] = (),
    pieces: int = 1,
    spares: int = 0,
    hardness_shore_a: int | None = None,
    position_id: int | None = None,
    why: str = "",
    title: str = "",
) -> NeedView:
    """A measured ring's accepted size becomes a need and is looked for on the shelf, in one action."""
    spec = NeedSpec(
        Kind.RING,
        pieces=pieces,
        spares=spares,
        title=title,
        size_key=size_key,
        twins=twins,
        rubbers=rubbers,
        hardness_shore_a=hardness_shore_a,
        position_id=position_id,
        probability=probability,
        why=why,
        evidence=evidence,
    )
    made = claim(session, act, "kits.accept_match", size_key)
    if made.first:
        hold(session, Job, job_id, "job")
        need = insert_need(session, made.action_id, job_id, spec)
        _look_for(session, act, made.action_id, [need])
    else:
        (need,) = _needs_of(session, made.action_id)
    return need_views(session, [need], act.at.date())[0]


def resolve(session: Session, act: Act, job_id: int) -> KitView:
    """Promise free stock to every need of a job that lacks some; what was promised before stays.

    Raises `NotFoundError`, `InvalidInputError`.
    """
    made = claim(session, act, "kits.resolve", subject_id=job_id)
    if made.first:
        job = hold(session, Job, job_id, "job")
        if job.closed_at is not None:
            raise InvalidInputError(f"The job “{job.title}” is closed.", "Open a new job.")
        needs = session.exec(
            select(Need).where(Need.job_id == job_id, col(Need.withdrawn_at).is_(None)).order_by(col(Need.id))
        ).all()
        _look_for(session, act, made.action_id, needs)
    return view(session, job_id, on=act.at.date())


def release(session: Session, act: Act, line_id: int, reason: str = "") -> KitView:
    """Give one line's promise back to free stock. Raises `NotFoundError`, `LineMovedError`."""
    said = clean(reason, "reason", limit=NOTE_LENGTH, empty=True)
    made = claim(session, act, "kits.release", subject_id=line_id)
    line = hold(session, KitLine, line_id, "kit line")
    if made.first:
        release_line(session, Entries(session, made.action_id), line, said)
    return view(session, _job_of(session, line), on=act.at.date())


def pick(session: Session, act: Act, line_ids: Sequence[int]) -> KitView:
    """Take what is promised off the shelf for its job. All lines or none. Raises `NotFoundError`, `LineMovedError`."""
    if not line_ids:
        raise InvalidInputError("No line was named.", "Choose what was picked.")
    made = claim(session, act, "kits.pick")
    lines = [hold(session, KitLine, line_id, "kit line") for line_id in sorted(set(line_ids))]
    if made.first:
        entries = Entries(session, made.action_id)
        for line in sorted(lines, key=lambda one: (one.stock_id, one.id or 0)):
            pick_line(session, entries, line)
    return view(session, _job_of(session, lines[0]), on=act.at.date())


def withdraw_need(session: Session, act: Act, need_id: int, reason: str = "") -> KitView:
    """Strike a need; its promises go back to free. Refused once something was picked for it."""
    said = clean(reason, "reason", limit=NOTE_LENGTH, empty=True)
    made = claim(session, act, "kits.withdraw_need", subject_id=need_id)
    need = hold(session, Need, need_id, "need")
    if made.first:
        if need.withdrawn_at is not None:
            raise InvalidInputError(f"“{need.title}” is struck already.", "Refresh the kit.")
        lines = session.exec(
            select(KitLine).where(KitLine.need_id == need_id).order_by(col(KitLine.stock_id), col(KitLine.id))
        ).all()
        if any(line.state is LineState.PICKED for line in lines):
            raise InvalidInputError(f"“{need.title}” was picked already.", "Undo the pick first.")
        entries = Entries(session, made.action_id)
        for line in lines:
            if line.state is LineState.HAVE:
                release_line(session, entries, line, said or "need struck")
        withdraw(session, need, act.at)
    return view(session, need.job_id, on=act.at.date())


def _look_for(session: Session, act: Act, action_id: int, needs: Sequence[Need]) -> None:
    on = act.at.date()
    standing = standings(session, needs)
    lacking = [need for need in needs if standing[need.id or 0].missing]
    near = {one.stock_id for need in lacking for one in candidates(session, need, on) if not one.refused}
    # Hold every row this may take from, in one order for all programs, so that two kits never wait for each other.
    session.exec(
        select(Stock.id).where(col(Stock.id).in_(sorted(near))).order_by(col(Stock.id)).with_for_update()
    ).all()
    entries = Entries(session, action_id)
    for need in lacking:
        assert need.id is not None
        missing = standing[need.id].missing
        for one in candidates(session, need, on):
            taken = min(missing, one.free)
            if one.refused or taken <= 0 or one.stock_id not in near:
                continue
            promise(
                session,
                entries,
                action_id=action_id,
                need_id=need.id,
                stock_id=one.stock_id,
                quantity=taken,
                reason=one.because,
            )
            missing -= taken
    for need in needs:
        need.looked_for_at = act.at
        session.add(need)
    session.flush()


def _needs_of(session: Session, action_id: int) -> list[Need]:
    return list(session.exec(select(Need).where(Need.action_id == action_id).order_by(col(Need.id))).all())


def _job_of(session: Session, line: KitLine) -> int:
    return session.exec(select(Need.job_id).where(Need.id == line.need_id)).one()
