"""What a picture is of (an item, a bin, a machine or its position): named by words, or highlighted on a screen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Final

import models
from models import pictures
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.named import NameOf
from tui.fields.rows import AnyPosition, Machine

if TYPE_CHECKING:
    from models.pictures.keeping import Of

WHICH: Final = "name one of --item, --bin and --machine, a machine also with its --position"


@dataclass(frozen=True)
class Pictured(Field["Of"]):
    """One thing that may have a picture. On a screen it is the highlighted one."""

    ROW: ClassVar[str] = "pictured"
    LOOKS: ClassVar[bool] = True

    @property
    def called(self) -> str:
        """What a refusal names it by."""
        return "-"

    def options(self) -> tuple[Option, ...]:
        """One option for each kind; a position is named with its machine."""
        return (
            Option("item", "--item", "ITEM", "of this item"),
            Option("bin", "--bin", "CODE", "of this bin"),
            Option("machine", "--machine", "MACHINE", "of this machine, or of its position"),
            Option("position", "--position", "POSITION", "of this position on the machine"),
        )

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Of:
        """What was named. Raises `FieldError`."""
        named = [kind for kind in ("item", "bin", "machine") if words.get(kind)]
        place = words.get("position")
        if len(named) != 1 or (place and named != ["machine"]):
            raise FieldError(WHICH, "-")
        kind = named[0]
        text = words[kind] or ""
        if place:
            machine = Machine("machine", "Machine").from_text(text, asked)
            field = AnyPosition("position", "Position")
            found = field.from_text(place, Asked(asked.units, {"machine": machine}, asked.look))
            return pictures.keeping.Of(models.notes.What.POSITION, found.position_id, found.name)
        row = NameOf(kind, kind.capitalize(), what=kind, retired=True).from_text(text, asked)
        return pictures.keeping.Of(models.notes.What(kind), row.row_id, row.name)

    def arguments(self, value: Of) -> dict[str, Any]:
        """The rule takes what it is and its number."""
        return {"what": value.what, "row_id": value.row_id}
