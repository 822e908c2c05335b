"""Choose by hand what serves a need, and let the program choose again."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import InvalidInputError, NotFoundError
from models.inventory.ledger import Entries
from models.kitting.allocate import hold_near, look, promise_free, refuse_closed
from models.kitting.candidates import one_candidate, wanted
from models.kitting.kit_view import KitView, view
from models.kitting.locks import hold_line, hold_need
from models.kitting.progress import progress_of
from models.kitting.promises import Promise, promise_again, promise_all, release_line
from models.rows import find
from models.tables import Job, KitLine, Need
from models.text import NOTE_LENGTH, clean
from models.words import LineState


def pin(
    session: Session, act: Act, need_id: int, stock_id: int, quantity: int | None = None, reason: str = ""
) -> KitView:
    """Choose by hand what serves a need: all it wants that no picked or pinned line covers, or `quantity`.

    The person has the last word: what a judgement says against it stands on the line. Lines that nobody pinned make
    room. Raises `NotFoundError`, `InvalidInputError`, `NotEnoughError` when that much is not free.
    """
    said = clean(reason, "reason", limit=NOTE_LENGTH, empty=True)
    made = claim(session, act, "kits.pin", subject_id=need_id)
    need = hold_need(session, need_id)
    if made.first:
        refuse_closed(find(session, Job, need.job_id, "job"))
        if need.withdrawn_at is not None:
            raise InvalidInputError(f"“{need.title}” was removed.", "Add it again.")
        found = one_candidate(session, wanted(session, need), act.at.date(), stock_id)
        if found is None:
            raise NotFoundError(f"There is no {need.kind} in stock {stock_id}.", f"Choose a {need.kind}.")
        words = "; ".join(
            filter(None, (f"pinned by {act.who}", said, found.refused and f"against: {found.refused}", found.because))
        )
        entries = Entries(session, made.action_id)
        entries.hold({stock_id, *_stock_of(session, need_id)})
        taken = _make_room(session, entries, need, quantity)
        chosen = Promise(need_id, stock_id, taken, words[:NOTE_LENGTH], pinned_by_id=made.action_id)
        promise_all(session, entries, made.action_id, [chosen])
    return view(session, need.job_id, on=act.at.date())


def unpin(session: Session, act: Act, line_id: int) -> KitView:
    """Let go of a line pinned by hand and look for its need as for any other. Raises `NotFoundError`, `LineMovedError`.

    `InvalidInputError` where nobody pinned the line.
    """
    made = claim(session, act, "kits.unpin", subject_id=line_id)
    line = hold_line(session, line_id)
    need = find(session, Need, line.need_id, "need")
    if made.first:
        if line.pinned_by_id is None:
            raise InvalidInputError(f"Line {line_id} was not pinned by hand.", "Release it, or pin another.")
        refuse_closed(find(session, Job, need.job_id, "job"))
        entries = Entries(session, made.action_id)
        looked = look(session, act, [need])
        hold_near(entries, looked, [line.stock_id])
        release_line(session, entries, line, f"unpinned by {act.who}")
        promise_free(session, act, entries, [need], looked)
    return view(session, need.job_id, on=act.at.date())


def _make_room(session: Session, entries: Entries, need: Need, quantity: int | None) -> int:
    """Release of lines nobody pinned what `quantity` takes, or all that is not picked or pinned; gives how much."""
    standing = progress_of(session, [need])[need.id or 0]
    loose = session.exec(
        select(KitLine)
        .where(
            KitLine.need_id == need.id,
            KitLine.state == LineState.HAVE,
            col(KitLine.pinned_by_id).is_(None),
        )
        .order_by(col(KitLine.stock_id), col(KitLine.id))
    ).all()
    room = standing.room + sum(line.quantity for line in loose)
    taken = room if quantity is None else quantity
    if not 1 <= taken <= room:
        raise InvalidInputError(
            f"“{need.title}” has no room for that: its lines are picked or pinned already.",
            "Release a pinned line first, or pin fewer.",
        )
    open_now = standing.room
    for line in loose:
        if open_now < taken:
            release_line(session, entries, line, "another was pinned by hand")
            open_now += line.quantity
            if open_now > taken:
                promise_again(session, entries, entries.action_id, [(line, open_now - taken)])
    return taken


def _stock_of(session: Session, need_id: int) -> Sequence[int]:
    """Where what is promised to a need lies."""
    promised = select(KitLine.stock_id).where(KitLine.need_id == need_id, KitLine.state == LineState.HAVE)
    return session.exec(promised).all()
