"""The picture of an item, a bin, a machine or a position: one at most stands, and no list ever reads it."""

from __future__ import annotations

from datetime import datetime
from typing import Final, NamedTuple

from sqlalchemy import ColumnElement, insert, literal, or_, update
from sqlalchemy import select as ask
from sqlmodel import Session, col, select

from models.actions import claim
from models.acts import Act
from models.errors import CannotUndoError, InvalidInputError, NotFoundError
from models.notes import Noted, What, name_of, noted, to_note
from models.pictures.taking_in import Taken
from models.stored_picture import size_of
from models.tables import Action, Picture
from models.undoing.declaring import Reversal

NAMED: Final = {what: f"{what.value}s.picture" for what in What}
"""What the action is called, for adding, replacing and taking away alike: the last one has the word."""


_COLUMNS: Final = Picture.__table__.c  # type: ignore[attr-defined]


class Of(NamedTuple):
    """What a picture or a note is of, or may be: its row, and what it is called."""

    what: What
    row_id: int
    name: str


class PictureRow(NamedTuple):
    """The picture that stands for something, without its bytes."""

    picture_id: int
    what: What
    name: str
    width: int
    height: int
    who: str
    at: datetime


def of(session: Session, what: What, row_id: int) -> PictureRow | None:
    """The picture of it, without its bytes. Raises `NotFoundError` where there is no such row."""
    name = name_of(noted(session, what, row_id))
    asked = (_COLUMNS.id, col(Picture.width), col(Picture.height), col(Action.who), col(Action.at))
    found = (
        session.connection()
        .execute(ask(*asked).join(Action, col(Action.id) == col(Picture.action_id)).where(*_standing(what, [row_id])))
        .first()
    )
    if found is None:
        return None
    picture_id, width, height, who, at = found
    return PictureRow(picture_id, what, name, width, height, who, at)


def jpeg_of(session: Session, picture_id: int) -> bytes:
    """The picture's file. Raises `NotFoundError`, and `InvalidInputError` where what is kept is no picture."""
    found = session.exec(select(Picture.jpeg).where(Picture.id == picture_id)).first()
    if found is None:
        raise NotFoundError("That picture is not there.", "Refresh the list.")
    try:
        size_of(found)
    except ValueError as fault:
        raise InvalidInputError("That picture can't be read.", "Take it away, and add it again.") from fault
    return found


def add(session: Session, act: Act, what: What, row_id: int, taken: Taken) -> PictureRow:
    """Keep a picture of it, in place of the one before. Raises `NotFoundError`."""
    held = to_note(session, what, row_id)
    made = claim(session, act, NAMED[what], name_of(held), subject_id=row_id)
    if made.first:
        _withdraw(session, made.action_id, what, row_id)
        row = Picture(action_id=made.action_id, width=taken.width, height=taken.height, jpeg=taken.jpeg)
        setattr(row, f"{what.value}_id", row_id)
        session.add(row)
        session.flush()
        session.expunge(row)  # its bytes are kept by nobody
    found = of(session, what, row_id)
    if found is None:
        raise NotFoundError(f"The picture of “{name_of(held)}” was taken away since.", "Add it again.")
    return found


def remove(session: Session, act: Act, what: What, row_id: int) -> str:
    """Take the picture away, and give the name of what it was of; undo puts it back. Raises `NotFoundError`."""
    held: Noted = to_note(session, what, row_id)
    if of(session, what, row_id) is None:
        raise NotFoundError(f"There is no picture of “{name_of(held)}”.", "Add one with its file.")
    made = claim(session, act, NAMED[what], name_of(held), subject_id=row_id)
    if made.first:
        _withdraw(session, made.action_id, what, row_id)
    return name_of(held)


def stands(session: Session, done: Action) -> bool:
    """Whether a picture that an action added still stands, or one that it took away is still away by it."""
    added = (col(Picture.action_id) == done.id) & col(Picture.withdrawn_by_id).is_(None)
    wanted = added | (col(Picture.withdrawn_by_id) == done.id)
    return session.exec(select(Picture.id).where(wanted).limit(1)).first() is not None


def is_of(session: Session, what: What, row_id: int) -> bool:
    """Whether a picture of it stands."""
    return session.exec(select(Picture.id).where(*_standing(what, [row_id]))).first() is not None


def pictured(session: Session, *kinds: What) -> frozenset[tuple[What, int]]:
    """Everything of these kinds that has a picture, by kind and number."""
    columns = [_column(what) for what in kinds]
    rows = session.connection().execute(
        ask(*columns).where(col(Picture.withdrawn_by_id).is_(None), or_(*(one.is_not(None) for one in columns)))
    )
    return frozenset((what, number) for row in rows for what, number in zip(kinds, row, strict=True) if number)


def undo(session: Session, reversal: Reversal, what: What) -> None:
    """The picture that was added is withdrawn, the one it replaced or took away stands again.

    Raises `CannotUndoError` where somebody added or took away another one since.
    """
    done, row_id = reversal.done, reversal.done.subject_id or 0
    to_note(session, what, row_id)
    added = select(Picture.id, Picture.withdrawn_by_id).where(Picture.action_id == done.id)
    changed = CannotUndoError(f"That has changed since {reversal.called}.", "Look at it, and add the picture again.")
    mine = session.exec(added).first()
    if mine is not None and mine[1] is not None:
        raise changed
    if mine is None and is_of(session, what, row_id):
        raise changed
    _withdraw(session, reversal.action_id, what, row_id)
    back = update(Picture).where(col(Picture.withdrawn_by_id) == done.id).values(withdrawn_by_id=None)
    session.connection().execute(back)


def hand_over(session: Session, action_id: int, what: What, row_id: int, into_id: int) -> None:
    """The picture of one stands for another that has none, by the action that made one of the two."""
    _withdraw(session, action_id, what, row_id)
    kept = [col(Picture.width), col(Picture.height), col(Picture.jpeg)]
    mine = ask(literal(action_id), literal(into_id), *kept).where(
        _column(what) == row_id, col(Picture.withdrawn_by_id) == action_id
    )
    named = ["action_id", f"{what.value}_id", "width", "height", "jpeg"]
    session.connection().execute(insert(Picture).from_select(named, mine))


def give_back(session: Session, done_id: int, action_id: int, what: What, row_id: int) -> None:
    """What `hand_over` did is taken back: the copy is withdrawn for good, and its own stands again.

    What was added to either since stays.
    """
    handed = update(Picture).where(col(Picture.action_id) == done_id).values(withdrawn_by_id=action_id)
    session.connection().execute(handed)
    if not is_of(session, what, row_id):
        mine = (_column(what) == row_id, col(Picture.withdrawn_by_id) == done_id)
        session.connection().execute(update(Picture).where(*mine).values(withdrawn_by_id=None))


def _withdraw(session: Session, action_id: int, what: What, row_id: int) -> None:
    session.connection().execute(update(Picture).where(*_standing(what, [row_id])).values(withdrawn_by_id=action_id))


def _column(what: What) -> ColumnElement[int]:
    return _COLUMNS[f"{what.value}_id"]  # type: ignore[no-any-return]


def _standing(what: What, row_ids: list[int]) -> tuple[ColumnElement[bool], ...]:
    return (_column(what).in_(row_ids), col(Picture.withdrawn_by_id).is_(None))
