"""A note on an item, a bin, a machine or a position: one text of the shop's own.

It is written anew each time, and taken away when it is empty.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Final, NamedTuple

from sqlmodel import Session

from models import row_snapshots
from models.actions import claim
from models.acts import Act
from models.errors import NotFoundError
from models.rows import find, hold
from models.tables import Bin, Item, Machine, Position
from models.text import NAME_LENGTH, clean, fold

Noted = Item | Bin | Machine | Position


class What(StrEnum):
    """What a note or a picture is of."""

    ITEM = "item"
    BIN = "bin"
    MACHINE = "machine"
    POSITION = "position"


TABLES: Final[dict[What, type[Item] | type[Bin] | type[Machine] | type[Position]]] = {
    What.ITEM: Item,
    What.BIN: Bin,
    What.MACHINE: Machine,
    What.POSITION: Position,
}


class NoteRow(NamedTuple):
    """The note that stands now, "" for none, on what; `is_new`: whether it was written now."""

    what: What
    name: str
    note: str
    is_new: bool = False


def of(session: Session, what: What, row_id: int) -> NoteRow:
    """The note on it. Raises `NotFoundError`."""
    row = noted(session, what, row_id)
    return NoteRow(what, name_of(row), row.note)


def noted(session: Session, what: What, row_id: int) -> Noted:
    """What a note may be on. Raises `NotFoundError`."""
    return find(session, TABLES[what], row_id, what.value)


def to_note(session: Session, what: What, row_id: int) -> Noted:
    """The same, held until the unit ends. Raises `NotFoundError`, also where its adding was taken back."""
    held: Noted = hold(session, TABLES[what], row_id, what.value)
    if held.withdrawn_at is not None:
        raise NotFoundError(f"Adding the {what.value} “{name_of(held)}” was taken back.", "Add it again.")
    return held


def write(session: Session, act: Act, what: What, row_id: int, text: str = "") -> NoteRow:
    """Write the note in place of the one before; nothing is written where it says so already.

    Raises `NotFoundError`, and `InvalidInputError` over 200 characters or for what can't be shown.
    """
    words = " ".join(clean(text, "note", limit=NAME_LENGTH, empty=True).split())
    held = to_note(session, what, row_id)
    if held.note == words:
        return NoteRow(what, name_of(held), words)
    made = claim(session, act, f"{what.value}s.note", name_of(held), subject_id=row_id)
    if made.first:
        row_snapshots.write_over(session, made.action_id, held, note=words)
        fold_bin(session, what, row_id)
    return NoteRow(what, name_of(held), words, is_new=True)


def fold_bin(session: Session, what: What, row_id: int) -> None:
    """A bin is searched by its code and its note: after one of them changed, by what they say now."""
    if what is What.BIN:
        row = find(session, Bin, row_id, "bin")
        row.folded = fold(row.code, row.note)
        session.add(row)
        session.flush()


def name_of(row: Noted) -> str:
    """What it is called."""
    return row.code if isinstance(row, Bin) else row.name
