"""What a merge does with note and picture: the other takes over what it has none of; where both have one, both stay."""

from __future__ import annotations

from typing import Any

from sqlmodel import Session

from models import notes
from models.notes import Noted
from models.pictures import keeping


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


def _write(session: Session, what: notes.What, row: Noted, note: str) -> None:
    row.note = note
    session.add(row)
    session.flush()
    notes.fold_bin(session, what, row.id or 0)
