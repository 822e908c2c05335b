"""The rows of a box: pasted into a form, or a file on the command line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

import models
from models import inventory
from tui.fields.field import Asked, Field, FieldError, Option

if TYPE_CHECKING:
    from models.inventory.box_rows import BadRow, BoxRead

MOST_BYTES = 240_000
MOST_TOLD = 8


@dataclass(frozen=True)
class BoxRows(Field["BoxRead"]):
    """Rows of a name and a count. `rubber`: the field read before it that says one rubber for all."""

    PASTED: ClassVar[bool] = True
    AS_TYPED: ClassVar[bool] = True

    rubber: str = "rubber"

    def options(self) -> tuple[Option, ...]:
        """A file in its place."""
        return (Option(self.name, self.name, "FILE", self.help, True),)

    def hint(self, asked: Asked) -> str:
        """What to paste."""
        return "paste the rows here, each as: AS568-214 NBR 70; 12"

    def from_text(self, text: str, asked: Asked) -> BoxRead:
        """The rows that can be booked, and those that can't. Raises `FieldError` where none can."""
        if not text.strip():
            raise FieldError(self.missing(asked))
        try:
            found = inventory.box_rows.read(text.replace(NEW_LINE, "\n"), asked.values.get(self.rubber) or "")
        except models.errors.InvalidInputError as refused:
            raise FieldError(str(refused)) from refused
        # Rows that lack nothing but their rubber are whole once one rubber is said for all.
        if not found.rows and not all(one.lacks == "rubber" for one in found.bad):
            raise FieldError(bad_words(found.bad))
        return found

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> BoxRead:
        """The rows of the file; `-` is standard input. Raises `FieldError`, `InvalidInputError`."""
        return self.from_text(models.outside.small_text(words.get(self.name) or "", MOST_BYTES), asked)

    def echo(self, value: BoxRead, asked: Asked) -> str:
        """Each row as it was understood, and what can't be read."""
        rows = f"{told(value)} " + " · ".join(
            f"{one.quantity} × {one.words}{'' if one.quantity else ' (empty: nothing is booked)'}" for one in value.rows
        )
        return f"{rows}. Not read: {bad_words(value.bad)}" if value.bad else rows

    def arguments(self, value: BoxRead) -> dict[str, Any]:
        """The rule takes the rows."""
        return {"rows": value}


NEW_LINE = "⏎"
"""What stands for the end of a line where a form has one line to show what was pasted."""


def told(read: BoxRead) -> str:
    """How many sizes and pieces."""
    rows, pieces = len(read.rows), sum(one.quantity for one in read.rows)
    return f"{rows} row{'s' * (rows != 1)}, {pieces:,} piece{'s' * (pieces != 1)}:"


def bad_words(bad: Sequence[BadRow]) -> str:
    """The rows that can't be booked, each with its line and why; of many the first."""
    more = f"; and {len(bad) - MOST_TOLD} more" if len(bad) > MOST_TOLD else ""
    return f"{'; '.join(one.words.rstrip('.') for one in bad[:MOST_TOLD])}{more}."
