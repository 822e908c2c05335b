"""Kits: needs resolved against the shelf into lines that say *have it (bin, count)* or *short (what was tried)*."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError
from models.inventory.ledger import Entries
from models.kitting import changing
from models.kitting.allocate import hold_near, look, promise_free, refuse_closed
from models.kitting.candidates import Candidate, candidates, wanted
from models.kitting.finish import Finish, earliest_finish
from models.kitting.kit_view import KitView, NeedView, need_views, view
from models.kitting.locks import hold_line, hold_lines, hold_need
from models.kitting.needs import NeedSpec, insert_need, withdraw
from models.kitting.pinning import pin, unpin
from models.kitting.promises import give_back as give_line_back
from models.kitting.promises import pick_some, release_all, release_line, scrap_some
from models.kitting.promises import put_back as put_line_back
from models.kitting.twice import apart, same_need
from models.rows import find, hold
from models.tables import Action, Job, KitLine, Need
from models.text import NOTE_LENGTH, clean
from models.words import LineState

__all__ = [
    "Finish",
    "KitView",
    "NeedSpec",
    "NeedView",
    "accept_match",
    "accept_matches",
    "accept_need",
    "add_need",
    "add_needs",
    "allocate",
    "earliest_finish",
    "give_back",
    "look_again",
    "look_for",
    "offers",
    "pick",
    "pin",
    "put_back",
    "put_on",
    "release",
    "scrap",
    "unpin",
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


def accept_match(session: Session, act: Act, job_id: int, spec: NeedSpec) -> NeedView:
    """A measured ring's accepted size becomes a need and is looked for on the shelf, in one action."""
    return accept_matches(session, act, job_id, [spec])[0]


def accept_matches(session: Session, act: Act, job_id: int, specs: Sequence[NeedSpec]) -> tuple[NeedView, ...]:
    """The same for several rings, measured from one list: all of them or none, taken back together."""
    detail = (specs[0].size_key or "") if len(specs) == 1 else f"{len(specs)} rings"
    return _looked_for(session, act, job_id, specs, what="kits.accept_match", detail=detail)


def accept_need(session: Session, act: Act, job_id: int, spec: NeedSpec) -> NeedView:
    """Add one need and look for it on the shelf, in one action. Raises `InvalidInputError`, `NotFoundError`."""
    return _looked_for(session, act, job_id, [spec], what="kits.add_need", detail=spec.title or spec.spec_class)[0]


def put_on(session: Session, act: Act, job_id: int, spec: NeedSpec, *, measured: bool) -> NeedView:
    """A need on a kit as a person puts it there: `accept_match` for a `measured` one, else `accept_need`.

    The very same ring again is more of its need, and `again` says so; one that differs is a need apart, and `again`
    says in what. Raises as those do.
    """
    before = session.exec(select(Action).where(Action.key == act.key)).first()
    if before is not None:
        changed = before.subject_id if before.what == changing.WHAT else None
    else:
        same = same_need(session, job_id, spec)
        changed = None if same is None else same.id
    if changed is None:
        view = (accept_match if measured else accept_need)(session, act, job_id, spec)
        return view._replace(again=apart(session, find(session, Need, view.need_id, "need")))
    if before is None:
        need = hold_need(session, changed)
        changing.change_need(session, act, changed, pieces=need.pieces + spec.pieces, spares=need.spares + spec.spares)
    need = find(session, Need, changed, "need")
    (view,) = need_views(session, [need], act.at.date())
    return view._replace(again=f"{need.pieces + need.spares} of {need.title} on the kit now")


def _looked_for(
    session: Session, act: Act, job_id: int, specs: Sequence[NeedSpec], *, what: str, detail: str
) -> tuple[NeedView, ...]:
    made = claim(session, act, what, detail)
    if made.first:
        needs = [insert_need(session, made.action_id, job_id, spec) for spec in specs]
        promise_free(session, act, Entries(session, made.action_id), needs)
    else:
        needs = _needs_of(session, made.action_id)
    return need_views(session, needs, act.at.date())


def allocate(session: Session, act: Act, job_id: int) -> KitView:
    """Promise free stock to every need of a job that lacks some; what was promised before stays.

    Raises `NotFoundError`, `InvalidInputError`.
    """
    made = claim(session, act, "kits.allocate", subject_id=job_id)
    looked = None
    if made.first:
        needs = _open_needs(session, job_id)
        looked = promise_free(session, act, Entries(session, made.action_id), needs)
    return view(session, job_id, on=act.at.date(), looked=looked)


def look_for(session: Session, act: Act, entries: Entries, job_id: int) -> None:
    """Promise free stock to what an open job lacks, with the movements of another action. A closed job stays."""
    job = hold(session, Job, job_id, "job")
    if job.closed_at is None:
        promise_free(session, act, entries, _open_needs(session, job_id))


def look_again(session: Session, act: Act, job_id: int) -> KitView:
    """Let go of every promise but those pinned by hand, and look for all needs afresh, in one action.

    For when better stock has come in, or a lot has expired meanwhile. Raises `NotFoundError`, `InvalidInputError`.
    """
    made = claim(session, act, "kits.allocate", "look again", subject_id=job_id)
    looked = None
    if made.first:
        needs = _open_needs(session, job_id)
        lines = session.exec(
            select(KitLine)
            .where(
                col(KitLine.need_id).in_([need.id for need in needs]),
                KitLine.state == LineState.HAVE,
                col(KitLine.pinned_by_id).is_(None),
            )
            .order_by(col(KitLine.stock_id), col(KitLine.id))
        ).all()
        entries = Entries(session, made.action_id)
        looked = look(session, act, needs)
        hold_near(entries, looked, [line.stock_id for line in lines])
        release_all(session, entries, lines, "looked for again")
        looked = promise_free(session, act, entries, needs, looked)
    return view(session, job_id, on=act.at.date(), looked=looked)


def offers(session: Session, need_id: int, *, on: date) -> tuple[Candidate, ...]:
    """Everything on the shelf that comes near a need, those that may serve first, each with why or why not.

    For a person to choose from and `pin`. Raises `NotFoundError`.
    """
    return tuple(candidates(session, wanted(session, find(session, Need, need_id, "need")), on))


def release(session: Session, act: Act, line_id: int, reason: str = "") -> KitView:
    """Give one line's promise back to free stock. Raises `NotFoundError`, `LineMovedError`."""
    said = clean(reason, "reason", limit=NOTE_LENGTH, empty=True)
    made = claim(session, act, "kits.release", subject_id=line_id)
    line = hold_line(session, line_id)
    if made.first:
        release_line(session, Entries(session, made.action_id), line, said)
    return view(session, _job_of(session, line), on=act.at.date())


def pick(session: Session, act: Act, line_ids: Sequence[int], *, taken: Mapping[int, int] | None = None) -> KitView:
    """Take what is promised off the shelf for its job. All lines or none.

    `taken`: by line, what was really taken where that is not what was promised. Less leaves the rest promised, more
    comes from free stock. Raises `NotFoundError`, `LineMovedError`, `InvalidInputError`, `NotEnoughError`.
    """
    if not line_ids:
        raise InvalidInputError("No line was named.", "Choose what was picked.")
    made = claim(session, act, "kits.pick")
    lines = hold_lines(session, line_ids)
    if made.first:
        in_order = sorted(lines, key=lambda one: (one.stock_id, one.id or 0))
        pick_some(session, Entries(session, made.action_id), made.action_id, in_order, taken or {})
    return view(session, _job_of(session, lines[0]), on=act.at.date())


def give_back(session: Session, act: Act, line_id: int, quantity: int, reason: str = "") -> KitView:
    """Put what a job did not use of a picked line back on the shelf: a rest in the pail is stock again.

    The job has what it needs and the line stays picked. Raises `NotFoundError`, `LineMovedError`, `InvalidInputError`.
    """
    said = clean(reason, "reason", limit=NOTE_LENGTH, empty=True) or "left over"
    made = claim(session, act, "kits.give_back", subject_id=line_id)
    line = hold_line(session, line_id)
    if made.first:
        give_line_back(session, Entries(session, made.action_id), line, quantity, said)
    return view(session, _job_of(session, line), on=act.at.date())


def put_back(session: Session, act: Act, line_id: int, reason: str = "") -> KitView:
    """Put what is out of a picked line back: it was the wrong one, and its need is open again.

    What the job gave back of it before stays on the shelf. On a closed job it is refused: `give_back` what is left.
    Raises `NotFoundError`, `LineMovedError`, `InvalidInputError`.
    """
    said = clean(reason, "reason", limit=NOTE_LENGTH, empty=True) or "put back"
    made = claim(session, act, "kits.put_back", subject_id=line_id)
    line = hold_line(session, line_id)
    if made.first:
        refuse_closed(find(session, Job, _job_of(session, line), "job"), "Give back what is left over instead.")
        put_line_back(session, Entries(session, made.action_id), line, said)
    return view(session, _job_of(session, line), on=act.at.date())


def scrap(session: Session, act: Act, line_id: int, quantity: int, reason: str) -> KitView:
    """Throw away of a promise what turned out bad; the rest stays promised, and what lacks is looked for on the shelf.

    Raises `NotFoundError`, `LineMovedError`, `InvalidInputError`.
    """
    said = clean(reason, "reason", limit=NOTE_LENGTH)
    made = claim(session, act, "kits.scrap", subject_id=line_id)
    line = hold_line(session, line_id)
    need = find(session, Need, line.need_id, "need")
    if made.first:
        if not 1 <= quantity <= line.quantity:
            raise InvalidInputError("More can't be scrapped than the line holds.", "Type less, or release the line.")
        entries = Entries(session, made.action_id)
        looked = look(session, act, [need])
        hold_near(entries, looked, [line.stock_id])
        scrap_some(session, entries, made.action_id, line, quantity, said)
        promise_free(session, act, entries, [need], looked)
    return view(session, need.job_id, on=act.at.date())


def withdraw_need(session: Session, act: Act, need_id: int, reason: str = "") -> KitView:
    """Strike a need; its promises go back to free. Refused once something was picked for it."""
    said = clean(reason, "reason", limit=NOTE_LENGTH, empty=True)
    made = claim(session, act, "kits.withdraw_need", subject_id=need_id)
    need = hold_need(session, need_id)
    if made.first:
        if need.withdrawn_at is not None:
            raise InvalidInputError(f"“{need.title}” was removed already.", "Refresh the kit.")
        lines = session.exec(
            select(KitLine).where(KitLine.need_id == need_id).order_by(col(KitLine.stock_id), col(KitLine.id))
        ).all()
        if any(line.state is LineState.PICKED for line in lines):
            raise InvalidInputError(f"“{need.title}” was picked already.", "Undo the pick first.")
        entries = Entries(session, made.action_id)
        promised = [line for line in lines if line.state is LineState.HAVE]
        release_all(session, entries, promised, said or "need removed")
        withdraw(session, need, act.at)
    return view(session, need.job_id, on=act.at.date())


def _open_needs(session: Session, job_id: int) -> Sequence[Need]:
    refuse_closed(hold(session, Job, job_id, "job"))
    return session.exec(
        select(Need).where(Need.job_id == job_id, col(Need.withdrawn_at).is_(None)).order_by(col(Need.id))
    ).all()


def _needs_of(session: Session, action_id: int) -> list[Need]:
    return list(session.exec(select(Need).where(Need.action_id == action_id).order_by(col(Need.id))).all())


def _job_of(session: Session, line: KitLine) -> int:
    return session.exec(select(Need.job_id).where(Need.id == line.need_id)).one()
