"""What a merge does with note and picture: the other takes over what it has none of; where both have one, both stay."""

from __future__ import annotations

import json
from typing import Any, NamedTuple

from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from models import notes
from models.notes import Noted
from models.pictures import keeping
from models.tables import Action, RowSnapshot


def merge_noted(session: Session, action_id: int, what: notes.What, row: Noted, into: Noted) -> dict[str, Any]:
    """Hand over note and picture. Gives what undo has to put back, and in `kept` what both have one of."""
    kept = []
    note = row.note if row.note and not into.note else ""
    if note:
        _write(session, what, into, note)
    elif row.note not in ("", into.note):
        kept.append("note")
    if keeping.is_of(session, what, row.id or 0):
        if keeping.is_of(session, what, into.id or 0):
            kept.append("picture")
        else:
            keeping.hand_over(session, action_id, what, row.id or 0, into.id or 0)
    return {"note": note, "kept": kept}


def part_noted(
    session: Session, done_id: int, action_id: int, what: notes.What, row: Noted, into: Noted, tied: dict[str, Any]
) -> None:
    """Take the note that went over from the other, unless it was written anew since; the picture stands as before."""
    if tied.get("note") and into.note == tied["note"]:
        _write(session, what, into, "")
    keeping.give_back(session, done_id, action_id, what, row.id or 0)


class Handed(NamedTuple):
    """A note that a merge handed over: by which action, and which one took that back, if any."""

    note: str
    by: int
    back_by: int | None


def handed_to(session: Session, what: notes.What, into_id: int) -> list[Handed]:
    """The notes that came to it by merging."""
    back = aliased(Action)
    rows = session.exec(
        select(Action.id, back.id, RowSnapshot.said)
        .join(RowSnapshot, col(RowSnapshot.action_id) == col(Action.id))
        .outerjoin(back, col(back.undoes_id) == col(Action.id))
        .where(Action.what == f"{what.value}s.merge")
    ).all()
    told = ((by or 0, back_by, json.loads(said)) for by, back_by, said in rows)
    return [
        Handed(said["note"], by, back_by)
        for by, back_by, said in told
        if said.get("note") and said.get("into") == into_id
    ]


def _write(session: Session, what: notes.What, row: Noted, note: str) -> None:
    row.note = note
    session.add(row)
    session.flush()
    notes.fold_bin(session, what, row.id or 0)
