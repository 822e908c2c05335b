"""Undo: the opposite movements, written as an action of its own. Nothing is taken out of the ledger."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import NamedTuple

from sqlalchemy import true
from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import CannotUndoError, NotEnoughError, NotFoundError
from models.inventory.ledger import Change, Entries, Move
from models.kitting.locks import hold_lines
from models.kitting.progress import overheld
from models.kitting.promises import given_back, turn_all
from models.rows import hold, rows_of
from models.tables import Action, Job, KitLine, Movement, Need
from models.undoing.declaring import Reversal, Undo
from models.undoing.undoable import FINAL, UNDOABLE
from models.words import LineState, Moved


class Undone(NamedTuple):
    """What was undone, in words, and how many movements were reversed."""

    what: str
    movements: int


def undo(session: Session, act: Act, key: str) -> Undone:
    """Undo the action that was done under `key`.

    Raises `NotFoundError`, or `CannotUndoError` when it was undone before, can't be, or its stock has moved on.
    """
    found = session.exec(select(Action).where(Action.key == key)).first()
    if found is None or found.id is None:
        raise NotFoundError(f"There is no action {key!r}.", "Refresh the list.")
    if found.what not in UNDOABLE:
        raise CannotUndoError(f"“{found.what}” can't be undone.", "Do the opposite by hand.")
    what = UNDOABLE[found.what].called
    hold(session, Action, found.id, "action")
    earlier = session.exec(select(Action).where(Action.undoes_id == found.id)).first()
    if earlier is not None and earlier.key != act.key:
        raise CannotUndoError(f"{earlier.who} has undone {what} already.", "Refresh the list.")
    made = claim(session, act, "undo", what, undoes=found.id)
    if made.first:
        _reverse(session, Reversal(act, made.action_id, found, what))
    reversed_ = session.exec(select(Movement.id).where(Movement.action_id == made.action_id)).all()
    return Undone(what, len(reversed_))


def last_undoable(session: Session, who: str, before: int | None = None) -> str | None:
    """The key of the latest action of `who` that can still be tried to be undone; None when there is none.

    `before`: only actions older than the one with this id. What has no effect any more is skipped, and so is what more
    has come to hang on: a job with its own needs, a machine with positions.
    """
    undone = select(Action.undoes_id).where(col(Action.undoes_id).is_not(None))
    actions = session.exec(
        select(Action)
        .where(Action.who == who, col(Action.what).in_(UNDOABLE), col(Action.id).not_in(undone))
        .where(true() if before is None else col(Action.id) < before)
        .order_by(col(Action.id).desc())
    )
    for action in actions:
        how = UNDOABLE[action.what]
        if how.has_effect(session, action) and how.is_bare(session, action):
            return action.key
    return None


def has_effect(session: Session, key: str) -> bool:
    """Whether the action done under `key` changed something that is still there. False where there is none."""
    found = session.exec(select(Action).where(Action.key == key)).first()
    if found is None or session.exec(select(Action.id).where(Action.undoes_id == found.id)).first() is not None:
        return False
    return found.what not in UNDOABLE or UNDOABLE[found.what].has_effect(session, found)


def why_final(session: Session, key: str) -> str:
    """That what was done under `key` can't be taken back, and what to do instead: a sentence without its full stop.

    Empty where undo knows how, or nothing was done.
    """
    found = session.exec(select(Action.what).where(Action.key == key)).first()
    if found is None or found in UNDOABLE:
        return ""
    called, instead = FINAL.get(found, ("The last change", "do the opposite by hand"))
    return f"{called} can't be taken back: {instead}"


def _reverse(session: Session, reversal: Reversal) -> None:
    done, what = reversal.done, reversal.called
    how = UNDOABLE[done.what]
    how.before(session, reversal)
    # The lines, and their jobs and needs, are held before any stock moves.
    lines = select(Movement.kit_line_id).where(Movement.action_id == done.id, col(Movement.kit_line_id).is_not(None))
    hold_lines(session, [line_id for line_id in session.exec(lines).all() if line_id is not None])
    movements = session.exec(
        select(Movement).where(Movement.action_id == done.id).order_by(col(Movement.stock_id), col(Movement.id).desc())
    ).all()
    need_ids = _needs_of(session, done)
    before = overheld(session, need_ids) if need_ids else {}
    _lines_back(session, how, movements)
    try:
        Entries(session, reversal.action_id).write_many(
            [
                Move(
                    moved.stock_id,
                    moved.kind,
                    Change(-moved.on_hand_change, -moved.promised_change),
                    f"undo of {what}",
                    moved.kit_line_id,
                    moved.id,
                )
                for moved in movements
            ]
        )
    except NotEnoughError as refused:
        raise CannotUndoError(f"Undoing {what} needs stock that has moved on. {refused.happened}") from refused
    for need_id, over in (overheld(session, need_ids) if need_ids else {}).items():
        if need_id not in before or over.held > before[need_id].held:
            raise CannotUndoError(
                f"“{over.need.title}” has been looked for again since {what}.", "Release what it holds now first."
            )
    how.after(session, reversal)


def _needs_of(session: Session, done: Action) -> list[int]:
    """The needs whose lines the action moved."""
    lines = select(Movement.kit_line_id).where(Movement.action_id == done.id)
    return list(session.exec(select(KitLine.need_id).where(col(KitLine.id).in_(lines)).distinct()).all())


def _lines_back(session: Session, how: Undo, movements: Sequence[Movement]) -> None:
    """Turn every line back through what the movements did to it, the last first; the lines are held before."""
    line_ids = [moved.kit_line_id for moved in movements if moved.kit_line_id is not None]
    if not line_ids:
        return
    lines = rows_of(session, KitLine, line_ids)
    needs = rows_of(session, Need, {line.need_id for line in lines.values()})
    jobs = rows_of(session, Job, {need.job_id for need in needs.values()})
    used = [moved.kit_line_id for moved in movements if moved.kit_line_id and moved.kind is Moved.USED]
    came_back = given_back(session, used) if used else {}
    states = {line_id: line.state for line_id, line in lines.items()}
    for moved in movements:
        if moved.kit_line_id is None:
            continue
        need = needs[lines[moved.kit_line_id].need_id]
        job = jobs[need.job_id]
        expected, back = how.lines[moved.kind]
        if states[moved.kit_line_id] is not expected or job.closed_at is not None or need.withdrawn_at is not None:
            raise CannotUndoError(
                f"The kit “{job.title}” has changed since {how.called}.", "Refresh it and change it by hand."
            )
        if moved.kind is Moved.USED and came_back.get(moved.kit_line_id):
            raise CannotUndoError(f"Some of it came back to the shelf since {how.called}.", "Undo that first.")
        states[moved.kit_line_id] = back
    turned: defaultdict[tuple[LineState, LineState], list[KitLine]] = defaultdict(list)
    for line_id, line in lines.items():
        turned[line.state, states[line_id]].append(line)
    for (before, after), some in turned.items():
        turn_all(session, some, before, after)
