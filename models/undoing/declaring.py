"""What is declared of an action that can be undone; `models.undoing.undoable` declares each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, NamedTuple

from sqlmodel import Session

from models.acts import Act
from models.tables import Action
from models.words import LineState, Moved

BACK: Final = {
    Moved.PROMISED: (LineState.HAVE, LineState.RELEASED),
    Moved.RELEASED: (LineState.RELEASED, LineState.HAVE),
    Moved.USED: (LineState.PICKED, LineState.HAVE),
    Moved.RECEIVED: (LineState.PICKED, LineState.PICKED),
}
"""The state a line must be in for its movement to be reversed, and the state it goes back to.

What was received for a line is what its job gave back.
"""
PUT_BACK: Final = dict.fromkeys(Moved, (LineState.RELEASED, LineState.PICKED))
"""The same where the whole line was put back and its need opened again."""

POUR_PUT_BACK: Final = {**BACK, Moved.RECEIVED: (LineState.RELEASED, LineState.PICKED)}
"""The same where what was poured was put back and promised to its need again."""


class Reversal(NamedTuple):
    """One undo under way: by which act, written as which action, of which action, and what that is called."""

    act: Act
    action_id: int
    done: Action
    called: str


def always(_session: Session, _done: Action) -> bool:
    """Yes, whatever was done since."""
    return True


def nothing(_session: Session, _reversal: Reversal) -> None:
    """Nothing beside the stock."""


class Undo(NamedTuple):
    """How one action is undone: the stock it moved goes back, between what is done `before` and `after` that.

    `called`: what it is called in a sentence. `has_effect`: whether what it did is still there; undo passes over it
    where it is not. `is_bare`: whether nothing more hangs on what it made. `before` and `after` raise
    `CannotUndoError` where something stands in the way. `lines`: how its kit lines turn back.
    """

    called: str
    has_effect: Callable[[Session, Action], bool] = always
    is_bare: Callable[[Session, Action], bool] = always
    before: Callable[[Session, Reversal], None] = nothing
    after: Callable[[Session, Reversal], None] = nothing
    lines: Mapping[Moved, tuple[LineState, LineState]] = BACK
