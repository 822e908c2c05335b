"""What is typed of a thread: its name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from tui.fields.field import Asked, Field, FieldError
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.fasteners.sizes import Thread

LONGEST_NAME = 60


def name_of(text: str) -> str:
    """A short name, such as a thread's or a class's. Raises `FieldError` for one that is long or has odd signs."""
    if len(text) > LONGEST_NAME or not text.isprintable():
        raise FieldError(f"{shown(text)} is no name; type 1 to {LONGEST_NAME} letters, numbers and signs")
    return text


@dataclass(frozen=True)
class ThreadName(Field["Thread | None"]):
    """A thread by its name. `what`: an example, for the field's hint."""

    METAVAR: ClassVar[str] = "THREAD"

    must: bool = False
    what: str = "M16x2, 3/8-16, G 1/2"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Thread | None:
        """The thread. Raises `FieldError`."""
        from catalog.fasteners.sizes import thread_named

        try:
            return thread_named(name_of(text))
        except FieldError:
            raise
        except ValueError as problem:
            raise FieldError(str(problem)) from problem

    def echo(self, value: Thread | None, asked: Asked) -> str:
        """The thread's own name, its diameter in both units, its pitch."""
        from catalog.quantity import both_units

        if value is None:
            return ""
        diameter = both_units(value.diameter_mm, first=asked.units.length)
        return f"{value.designation}, {diameter}, pitch {value.pitch_text}"
