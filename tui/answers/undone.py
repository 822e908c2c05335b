"""What was undone, or would be."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar, Literal

import models
from tui.answers.answer import Answer

if TYPE_CHECKING:
    from models.undoing.last_change import LastChange

SHOWN = 10


@dataclass(frozen=True)
class Moved:
    """One movement as it was booked; the undo books the opposite. Changes in what the item is counted in."""

    item: str
    bin: str
    counted_in: Literal["each", "ul"]
    on_hand_change: int
    promised_change: int

    @property
    def went(self) -> str:
        """What it did, in half a sentence."""
        hand, kept = self.on_hand_change, self.promised_change
        moved = models.volume.in_words(abs(hand), models.words.Unit(self.counted_in))
        held = models.volume.in_words(abs(kept), models.words.Unit(self.counted_in))
        parts = (
            hand and f"{moved} {'came in' if hand > 0 else 'went out'}",
            kept and f"{held} {'promised' if kept > 0 else 'no longer promised'}",
        )
        return ", ".join(part for part in parts if part) or "counted as it was"


@dataclass(frozen=True)
class Change:
    """A change by its number. `about`: a title or a number it was about; `moves`: the first of `all_moves`."""

    number: int
    what: str
    about: str | None
    at: datetime
    moves: tuple[Moved, ...]
    all_moves: int


def change_of(found: LastChange) -> Change:
    """A change as answers tell it."""
    moves = tuple(
        Moved(one.item_name, one.bin_code, one.counted_in.value, one.on_hand_change, one.promised_change)
        for one in found.moves
    )
    return Change(found.number, found.what, found.about or None, found.at, moves, found.all_moves)


@dataclass(frozen=True)
class Undone(Answer):
    """The last change that was undone or, where `undone` is false, would be."""

    SCHEMA: ClassVar[str] = "kitwright.undo/2"

    undone: bool
    change: Change | None

    def words(self) -> list[str]:
        """The change by its name, then what it had moved."""
        found = self.change
        if found is None:
            return ["There is nothing of yours that can be undone."]
        word, number = ("Undone", "") if self.undone else ("Would undo", f", change {found.number}")
        about = f" ({found.about})" if found.about and not found.about.isdigit() else ""
        booked = ", which had booked" if found.moves else ""
        more = found.all_moves - SHOWN
        return [
            f"{word}: {found.what}{about} of {found.at.astimezone():%Y-%m-%d %H:%M}{number}{booked}",
            *(f"    {one.item}, bin {one.bin}: {one.went}" for one in found.moves[:SHOWN]),
            *([f"    and {more} more"] if more > 0 else []),
        ]

    @property
    def found(self) -> bool:
        """Whether there was one."""
        return self.change is not None
