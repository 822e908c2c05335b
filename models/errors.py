"""What can go wrong while the workshop remembers: each error says what happened and what to do about it."""

from __future__ import annotations


class WorkshopError(Exception):
    """The root. `happened` and `to_do` are whole sentences; `title` heads the message on screen."""

    title = "That did not work"

    def __init__(self, happened: str, to_do: str = "") -> None:
        super().__init__(happened, to_do)
        self.happened = happened
        self.to_do = to_do

    def __str__(self) -> str:
        return f"{self.happened} {self.to_do}".strip()


class WorkshopUnavailable(WorkshopError):
    """The database can't be opened, read or written: missing folder, read-only, disk full, server away."""

    title = "The workshop's data can't be used"


class WorkshopBusy(WorkshopUnavailable):
    """Another program held the database for longer than we wait. Nothing was changed; trying again is safe."""

    title = "The workshop's data is busy"


class WorkshopNewer(WorkshopUnavailable):
    """The database was written by a newer Kitwright."""

    title = "The workshop's data is newer than this program"


class InvalidInput(WorkshopError):
    """What was typed can't be stored: too long, empty, a control character, a number out of range."""

    title = "That can't be stored"


class NotFound(WorkshopError):
    """There is no such item, bin, machine, job, line or action."""

    title = "Not found"


class AlreadyThere(WorkshopError):
    """Something with that name is already there."""

    title = "Already there"


class NotEnough(WorkshopError):
    """The move would take more than is free, or leave less on hand than is promised."""

    title = "Not enough on the shelf"


class CannotUndo(WorkshopError):
    """The action was undone before, or what it changed has moved on."""

    title = "That can't be undone"


class KeyReused(WorkshopError):
    """One action key was used for two different actions: a fault of the calling program, nothing was changed."""

    title = "That action was already something else"
