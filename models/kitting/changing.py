"""Change what a need asks for: how many, how many to spare, in which rubbers. What it lacks is looked for at once."""

from __future__ import annotations

import json
from collections.abc import Sequence

from sqlalchemy import func
from sqlmodel import Session, col, delete, select

from catalog.orings.rubber_tables import Family
from models import row_snapshots
from models.actions import claim
from models.acts import Act
from models.errors import CannotUndoError, InvalidInputError
from models.inventory.ledger import Entries
from models.kitting.allocate import promise_free
from models.kitting.locks import hold_need
from models.kitting.needs import MOST_PIECES
from models.rows import find
from models.tables import Action, Job, KitLine, Need, NeedRubber, RowSnapshot
from models.undoing.declaring import Reversal
from models.words import Kind, LineState

WHAT = "kits.change_need"


def change_need(
    session: Session,
    act: Act,
    need_id: int,
    *,
    pieces: int | None = None,
    spares: int | None = None,
    rubbers: Sequence[str] | None = None,
) -> None:
    """Ask for another number, or for other rubbers (best first; none means any).

    Raises `NotFoundError`, `InvalidInputError` where more is promised or picked than it would then take.
    """
    title = find(session, Need, need_id, "need").title
    made = claim(session, act, WHAT, title, subject_id=need_id)
    if not made.first:
        return
    need = hold_need(session, need_id)
    job = find(session, Job, need.job_id, "job")
    if job.closed_at is not None or need.withdrawn_at is not None:
        raise InvalidInputError(f"“{need.title}” was removed, or its job is closed.", "Add it to an open job.")
    if need.kind is Kind.FLUID:
        raise InvalidInputError(f"“{need.title}” is a fluid, wanted between two marks.", "Remove it and add it again.")
    families = None if rubbers is None else _families(need, rubbers)
    many, spare = need.pieces if pieces is None else pieces, need.spares if spares is None else spares
    if not (1 <= many <= MOST_PIECES and 0 <= spare <= MOST_PIECES):
        raise InvalidInputError(f"{many} pieces and {spare} spares can't be asked for.", "Type 1 piece or more.")
    held = _held(session, need_id)
    before = _rubbers(session, need_id)
    if held > many + spare:
        raise InvalidInputError(
            f"{held} are promised to “{need.title}” or picked, more than {many + spare}.", "Release or put back first."
        )
    if families is not None and families != before and held:
        raise InvalidInputError(
            f"{held} are promised to “{need.title}” or picked.", "Release or put them back, then change the rubber."
        )
    if (many, spare) == (need.pieces, need.spares) and families in (None, before):
        return
    word = {"pieces": need.pieces, "spares": need.spares, "rubbers": before}
    row_snapshots.keep_word(session, made.action_id, json.dumps(word))
    _write(session, need, many, spare, before if families is None else families)
    promise_free(session, act, Entries(session, made.action_id), [need])


def put_back(session: Session, reversal: Reversal) -> None:
    """Ask again for what was asked before; what the change promised is back by then. Raises `CannotUndoError`."""
    need = hold_need(session, reversal.done.subject_id or 0)
    before = json.loads(session.get_one(RowSnapshot, reversal.done.id).said)
    if _held(session, need.id or 0) > before["pieces"] + before["spares"]:
        raise CannotUndoError(f"More is promised to “{need.title}” or picked by now.", "Release it first.")
    _write(session, need, before["pieces"], before["spares"], before["rubbers"])


def stands(session: Session, done: Action) -> bool:
    """Whether the action changed something, and its need stands."""
    need = session.get(Need, done.subject_id)
    return need is not None and need.withdrawn_at is None and session.get(RowSnapshot, done.id) is not None


def _families(need: Need, rubbers: Sequence[str]) -> list[str]:
    if need.kind is not Kind.RING:
        raise InvalidInputError(f"“{need.title}” is a {need.kind}, which has no rubber.", "Leave the rubber out.")
    known = {one.value for one in Family}
    families = list(dict.fromkeys(one.strip().upper() for one in rubbers if one.strip()))
    for one in families:
        if one not in known:
            raise InvalidInputError(f"No rubber is called “{one[:20]}”.", f"Type one of {', '.join(sorted(known))}.")
    return families


def _held(session: Session, need_id: int) -> int:
    mine = (KitLine.need_id == need_id, col(KitLine.state).in_([LineState.HAVE, LineState.PICKED]))
    return int(session.exec(select(func.coalesce(func.sum(col(KitLine.quantity)), 0)).where(*mine)).one())


def _rubbers(session: Session, need_id: int) -> list[str]:
    mine = select(NeedRubber.rubber).where(NeedRubber.need_id == need_id).order_by(col(NeedRubber.position))
    return list(session.exec(mine).all())


def _write(session: Session, need: Need, pieces: int, spares: int, rubbers: Sequence[str]) -> None:
    need.pieces, need.spares = pieces, spares
    session.add(need)
    session.exec(delete(NeedRubber).where(col(NeedRubber.need_id) == need.id))
    session.flush()
    session.add_all([NeedRubber(need_id=need.id or 0, position=at, rubber=one) for at, one in enumerate(rubbers)])
    session.flush()
