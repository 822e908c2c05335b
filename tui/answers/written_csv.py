"""What is written as CSV to a file; to "-", it is the answer itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from tui import commands
from tui.answers.answer import Answer


@dataclass(frozen=True)
class WrittenCsv(Answer):
    """Rows that were written. A subclass has the fields `file` and `text`, says how many, and what `-` was given to."""

    OPTION: ClassVar[str] = "--export -"

    @property
    def written(self) -> tuple[str, str]:
        """The file, and the CSV itself."""
        raise NotImplementedError

    def how_many(self) -> str:
        """What was written: `3 records`."""
        raise NotImplementedError

    def words(self) -> list[str]:
        """The CSV itself, or how many were written where."""
        file, text = self.written
        if file != "-":
            return [f"{self.how_many()} written to {file}."]
        return text.replace("\r\n", "\n").removesuffix("\n").split("\n")

    def as_json(self) -> dict[str, Any]:
        """The counts; standard output can't hold the CSV and JSON both."""
        if self.written[0] == "-":
            raise commands.parsing.UsageError(f"{self.OPTION} and --json both write to standard output; choose one")
        return super().as_json()
