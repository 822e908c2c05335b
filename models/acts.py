"""Who does something, when, and the key that makes doing it twice the same as doing it once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Final, NamedTuple
from uuid import uuid4

Clock = Callable[[], datetime]
CHANNEL: Final = "kitwright_actions"
"""On a server each action is told there once it is committed, with its number; `models.watching` listens."""


class Act(NamedTuple):
    """One thing a person does. Every function that writes takes one.

    `key` is drawn once, when the person presses the key; a second try with the same key changes nothing and answers
    as the first did. A killed process can leave a commit behind that nobody was told of; that is why.
    """

    who: str
    key: str
    at: datetime


def now() -> datetime:
    """The time, in UTC."""
    return datetime.now(UTC)


def by(who: str, *, key: str | None = None, clock: Clock = now) -> Act:
    """An act of `who`, now, under a fresh key unless one is given."""
    return Act(who, key if key is not None else uuid4().hex, clock())
