"""A note on an item, a bin, a machine or a position."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Literal

from tui.answers.answer import Answer

if TYPE_CHECKING:
    from models.notes import NoteRow


@dataclass(frozen=True)
class NoteWritten(Answer):
    """The note that stands now, null for none. `written`: whether it is another one than before."""

    SCHEMA: ClassVar[str] = "kitwright.note/2"

    what: Literal["item", "bin", "machine", "position"]
    name: str
    note: str | None
    written: bool

    def words(self) -> list[str]:
        """The note and what it is on."""
        if not self.written:
            return [f"{self.name} has that note already; nothing was changed."]
        return [f"Note on {self.name}: {self.note}" if self.note else f"{self.name} has no note now."]


def note_of(row: NoteRow) -> NoteWritten:
    """A note as an answer."""
    return NoteWritten(row.what.value, row.name, row.note or None, row.is_new)
