"""The rows of a box: pasted into a form, or a file on the command line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

import models
from models import inventory
from tui.fields.field import Asked, Field, FieldError, Option

if TYPE_CHECKING:
    from models.inventory.box_rows import BoxRow

MOST_BYTES = 240_000


@dataclass(frozen=True)
class BoxRows(Field["tuple[BoxRow, ...]"]):
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

    def from_text(self, text: str, asked: Asked) -> tuple[BoxRow, ...]:
        """The rows. Raises `FieldError`, naming the line."""
        if not text.strip():
            raise FieldError(self.missing(asked))
        try:
            return inventory.box_rows.read(text.replace(NEW_LINE, "\n"), asked.values.get(self.rubber) or "")
        except models.errors.InvalidInputError as refused:
            raise FieldError(str(refused)) from refused

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[BoxRow, ...]:
        """The rows of the file; `-` is standard input. Raises `FieldError`, `InvalidInputError`."""
        return self.from_text(models.outside.small_text(words.get(self.name) or "", MOST_BYTES), asked)

    def echo(self, value: tuple[BoxRow, ...], asked: Asked) -> str:
        """Each row as it was understood."""
        return f"{told(value)} " + " · ".join(f"{one.quantity} × {one.words}" for one in value)

    def arguments(self, value: tuple[BoxRow, ...]) -> dict[str, Any]:
        """The rule takes the rows."""
        return {"rows": value}


NEW_LINE = "⏎"
"""What stands for the end of a line where a form has one line to show what was pasted."""


def told(rows: tuple[BoxRow, ...]) -> str:
    """How many sizes and pieces."""
    pieces = sum(one.quantity for one in rows)
    return f"{len(rows)} row{'s' * (len(rows) != 1)}, {pieces:,} piece{'s' * (pieces != 1)}:"
