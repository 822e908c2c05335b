"""The picture of an item, a bin, a machine or a position."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar, Literal

from tui.answers.answer import Answer, said

if TYPE_CHECKING:
    from models.pictures.keeping import Of, PictureRow


@dataclass(frozen=True)
class KeptPicture:
    """A picture that is kept: its pixels, who added it and when."""

    width: int
    height: int
    who: str
    at: datetime


@dataclass(frozen=True)
class PictureKnown(Answer):
    """The picture that stands now, null for none, with the note on what it is of.

    `done`: what was done; `file`: where it was exported to, null for no file.
    """

    SCHEMA: ClassVar[str] = "kitwright.picture/2"

    of: Literal["item", "bin", "machine", "position"]
    name: str
    note: str | None
    picture: KeptPicture | None
    done: Literal["shown", "added", "removed", "exported"]
    file: str | None = None
    drawn: tuple[str, ...] = said(())
    piped: bytes = said(b"")

    @property
    def found(self) -> bool:
        """Whether there is a picture, or there was one to remove."""
        return self.picture is not None or self.done == "removed"

    def words(self) -> list[str]:
        """What was done, the picture as letters, its note."""
        kept = self.picture
        note = [f"note: {self.note}"] if self.note else []
        if self.done == "removed":
            return [f"Removed the picture of {self.name}."]
        if kept is None:
            return [f"There is no picture of {self.name}. Add one with: kitwright picture add", *note]
        if self.done == "exported":
            return [f"Wrote {self.file}: the picture of {self.name}, {kept.width} × {kept.height} pixels."]
        if self.done == "added":
            return [f"Added the picture of {self.name}: {kept.width} × {kept.height} pixels."]
        head = f"Picture of {self.name}: {kept.width} × {kept.height} pixels, by {kept.who} on {kept.at:%Y-%m-%d}"
        return [head, *self.drawn, *note]

    def raw(self) -> bytes:
        """The file itself, where it was asked for on a pipe."""
        return self.piped


def picture_of(
    of: Of, row: PictureRow | None, note: str, done: Literal["shown", "added", "removed", "exported"]
) -> PictureKnown:
    """A picture as an answer."""
    kept = None if row is None else KeptPicture(row.width, row.height, row.who, row.at)
    return PictureKnown(of.what.value, of.name, note or None, kept, done)
