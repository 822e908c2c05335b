"""What can go wrong while the workshop remembers: each error says what happened and what to do about it."""

from __future__ import annotations

PLAIN_FAULTS = (ValueError, LookupError, TypeError, ArithmeticError, AttributeError)
"""What a reader ends by where a value isn't what its column holds: a day that is none, a number that is text."""


def may_be_kept(fault: Exception) -> bool:
    """Whether a plain fault may come of a value that is kept: one of what was `typed` says so, and nobody looks."""
    return not getattr(fault, "typed", False)


class WorkshopError(Exception):
    """The root. `happened` and `to_do` are whole sentences; `title` heads the message on screen.

    `go_on`: where there is a way on, what it is for and its command line, to which its door adds which workshop.
    """

    title = "That did not work"
    go_on: tuple[str, str] | None = None

    def __init__(self, happened: str, to_do: str = "") -> None:
        super().__init__(happened, to_do)
        self.happened = happened
        self.to_do = to_do

    def __str__(self) -> str:
        return f"{self.happened} {self.to_do}".strip()


class WorkshopUnavailableError(WorkshopError):
    """The database can't be opened, read or written: missing folder, read-only, disk full, server away."""

    title = "The workshop's data can't be used"


class WorkshopBusyError(WorkshopUnavailableError):
    """Another program held the database for longer than we wait. Nothing was changed; trying again is safe."""

    title = "The workshop's data is busy"


class WorkshopOlderError(WorkshopUnavailableError):
    """The database was made by a Kitwright from before the first release, whose steps this program doesn't know."""

    title = "The workshop's data is older than this program"


class WorkshopNewerError(WorkshopUnavailableError):
    """The database was written by a newer Kitwright."""

    title = "The workshop's data is newer than this program"


class InvalidInputError(WorkshopError):
    """What was typed can't be stored: too long, empty, a control character, a number out of range."""

    title = "That can't be stored"


class NotFoundError(WorkshopError):
    """There is no such item, bin, machine, job, line or action."""

    title = "Not found"


class AlreadyThereError(WorkshopError):
    """Something with that name is already there."""

    title = "Already there"


class NotEnoughError(WorkshopError):
    """The move would take more than is free, or leave less on hand than is promised."""

    title = "Not enough on the shelf"


class CannotUndoError(WorkshopError):
    """The action was undone before, or what it changed has moved on."""

    title = "That can't be undone"


class KeyReusedError(WorkshopError):
    """One action key was used for two different actions: a fault of the calling program, nothing was changed."""

    title = "That action was already something else"
