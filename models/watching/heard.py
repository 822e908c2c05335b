"""What a watcher tells: actions that were booked, and whether the workshop can be reached; and which are told."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import Any, Final, NamedTuple

Look = Callable[..., list[tuple[Any, ...]]]
"""Rows of a statement: `look("SELECT … WHERE id = ?", 7)`. No other `?` and no `%` may stand in it."""

LOOK_BACK: Final = 200
"""Numbers below the newest that are looked at once more: on a server an action may be committed after one of a higher
number, which it drew later."""
NEWEST: Final = "SELECT coalesce(max(id), 0) FROM actions"
NUMBERS: Final = "SELECT id FROM actions WHERE id > ?"
ACTIONS: Final = "SELECT id, key, who, what, subject_id FROM actions WHERE id > ? ORDER BY id"


class Line(Enum):
    """How the way to the workshop stands."""

    UP = "up"
    LOST = "lost"
    BACK = "back"


class Booked(NamedTuple):
    """An action as it stands in the log."""

    action_id: int
    key: str
    who: str
    what: str
    subject_id: int | None


class Heard(NamedTuple):
    """Actions that were not told before, in the order of their numbers; and the line, where that has changed.

    With `BACK` come the actions that were booked meanwhile.
    """

    booked: tuple[Booked, ...] = ()
    line: Line = Line.UP


class AwayError(Exception):
    """The workshop can't be looked at now."""


class Told:
    """Which actions were told. Begun by what stands in the log: only what comes after is news."""

    def __init__(self) -> None:
        self.begun = False
        self._newest = 0
        self._ids: set[int] = set()

    def begin(self, look: Look) -> None:
        """Take all that stands there for told."""
        self._newest = look(NEWEST)[0][0]
        self._ids = {number for (number,) in look(NUMBERS, self._newest - LOOK_BACK)}
        self.begun = True
        self._forget()

    def news(self, look: Look) -> tuple[Booked, ...]:
        """The actions that were not told yet; from now on they are. One statement."""
        found = [Booked(*row) for row in look(ACTIONS, self._newest - LOOK_BACK)]
        fresh = tuple(one for one in found if one.action_id not in self._ids)
        self._ids.update(one.action_id for one in fresh)
        self._forget()
        return fresh

    def _forget(self) -> None:
        self._newest = max((self._newest, *self._ids))
        self._ids = {one for one in self._ids if one > self._newest - LOOK_BACK}
