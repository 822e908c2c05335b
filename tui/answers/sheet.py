"""A sheet for paper: its text, or the PDF that was written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar, Literal

from tui import commands
from tui.answers.answer import Answer, said


@dataclass(frozen=True)
class Printed(Answer):
    """A sheet. `text`: as text, None where it went into a PDF; `file`: the PDF that was written, of so many bytes.

    `filled`: whether there was something to print; `piped`: the PDF itself, where it goes to a pipe.
    """

    SCHEMA: ClassVar[str] = "kitwright.sheet/2"

    sheet: Literal["job", "pick", "labels", "rings", "photo"]
    text: str | None
    file: str | None
    pdf_bytes: int | None
    filled: bool = said(True)
    piped: bytes = said(b"")

    def words(self) -> list[str]:
        """The text line by line; nothing where a PDF was written."""
        return [] if self.text is None else self.text.rstrip("\n").split("\n")

    def raw(self) -> bytes:
        """The PDF, where it goes to a pipe."""
        return self.piped

    def aside(self) -> list[str]:
        """Which file was written."""
        return [] if self.file is None else [f"Wrote {self.file} ({(self.pdf_bytes or 0) / 1000:.0f} kB)."]

    def as_json(self) -> dict[str, Any]:
        """The sheet; standard output can't hold the PDF and JSON both."""
        if self.piped:
            raise commands.parsing.UsageError("--pdf - and --json both write to standard output; choose one")
        return super().as_json()

    @property
    def found(self) -> bool:
        """Whether there was something to print."""
        return self.filled
