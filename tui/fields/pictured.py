"""What a picture is of: an item, a bin, a machine or its position, each named in a field of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Final

import models
from models import pictures
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.file_names import named
from tui.fields.named import NameOf
from tui.fields.plain import File
from tui.fields.rows import AnyPosition, Machine

if TYPE_CHECKING:
    from models.machines import PositionRow
    from models.pictures.keeping import Of

KINDS: Final = ("item", "bin", "machine", "position")
WHICH: Final = "name one of --item, --bin and --machine, a machine also with its --position"
ONE: Final = "name one thing: an item, a bin or a machine, a machine also with its position"


class PictureFile(File):
    """A picture's file: in a form also as a terminal writes the name of one that is dropped on it."""

    def from_text(self, text: str, asked: Asked) -> str:
        """The name; "-" is a file here, for keys come from standard input. Raises `FieldError` for none."""
        path = str(named(super().from_text(text, asked)))
        return f"./{path}" if path == models.outside.STANDARD_INPUT else path

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> str:
        """The name as the shell gave it. Raises `FieldError` for none."""
        return super().from_text((words.get(self.name) or "").strip(), asked)


class _MachineThere(Machine):
    """A machine in a form that may mean its position."""

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "the machine's name"


class _PositionThere(AnyPosition):
    """A position in a form that may have no machine."""

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "the position's name; empty for the machine itself"

    def read(self, text: str, asked: Asked) -> PositionRow:
        """The position. Raises `FieldError`, also without a machine."""
        if asked.values.get("machine") is None:
            raise FieldError("Name the machine, too.")
        return super().read(text, asked)


@dataclass(frozen=True)
class Pictured(Field["Of"]):
    """One thing that may have a picture. A form asks for one of four names."""

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

    def parts(self, asked: Asked) -> tuple[Field[Any], ...]:
        """A field for each kind; all but one stay empty."""
        named = (NameOf(kind, kind.capitalize(), must=False, what=kind, retired=True) for kind in KINDS[:2])
        return (
            *named,
            _MachineThere("machine", "Machine", must=False),
            _PositionThere("position", "Position on it", must=False),
        )

    def joined(self, values: Mapping[str, Any]) -> Of:
        """What was named in a form that `refused` let pass."""
        if (place := values["position"]) is not None:
            return pictures.keeping.Of(models.notes.What.POSITION, place.position_id, place.name)
        if (machine := values["machine"]) is not None:
            return pictures.keeping.Of(models.notes.What.MACHINE, machine.machine_id, machine.name)
        kind = "item" if values["item"] is not None else "bin"
        return pictures.keeping.Of(models.notes.What(kind), values[kind].row_id, values[kind].name)

    @staticmethod
    def refused(values: Mapping[str, Any]) -> str:
        """Why what a form was told is not one thing; nothing before its last field is read."""
        if "position" not in values:
            return ""
        return "" if sum(values.get(kind) is not None for kind in KINDS[:3]) == 1 else ONE

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
