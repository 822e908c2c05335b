"""Reads the fields of a judgement. A field that cannot be read gets its sentence; the others still count."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from enum import StrEnum
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from tui.fields.field import Asked, Field, FieldError
from tui.fields.units import kept
from tui.fields.words import in_a_form
from tui.operations.operation import Bench
from tui.screens.judge.ruling import Note
from tui.widgets.judge.ask_field import UNKNOWN

if TYPE_CHECKING:
    from sqlmodel import Session

    from tui.operations.operation import Operation, Values

Word = TypeVar("Word", bound=StrEnum)
Found = TypeVar("Found")
_NUMBER = re.compile(r"[+-]?(?:\d{1,9}(?:[.,]\d{0,9})?|[.,]\d{1,9})")


class Reader:
    """The texts of the fields by key; `notes` fills up with echoes and errors as they are read."""

    def __init__(self, values: Mapping[str, str], unit: str) -> None:
        self.values = values
        self.units = kept(unit)
        self.unit = unit
        self.notes: dict[str, Note] = {}

    @property
    def wrong(self) -> bool:
        """Whether some field could not be read."""
        return any(note.error for note in self.notes.values())

    def text(self, key: str) -> str:
        """What is typed, trimmed."""
        return " ".join(self.values.get(key, "").split())

    def echo(self, key: str, text: str) -> None:
        """Say what was understood."""
        self.notes[key] = Note(echo=text)

    def refuse(self, key: str, problem: Exception | str) -> None:
        """Say what is wrong."""
        self.notes[key] = Note(error=in_a_form(str(problem)))

    def read(self, operation: Operation) -> dict[str, Any]:
        """The values of an operation's fields, as its command reads them; a field that nobody asks for is empty."""
        return self.read_fields(operation.fields)

    def read_fields(self, fields: Iterable[Field[Any]]) -> dict[str, Any]:
        """The values of fields, by name.

        What was understood is said at each field, or what is wrong with it: that field counts as empty then.
        """
        read: dict[str, Any] = {}
        for field in fields:
            text = self.text(field.name)
            asked = Asked(self.units, read)
            read[field.name] = field.empty
            if not text or text == UNKNOWN:
                continue
            try:
                value = field.read(text, asked)
            except FieldError as problem:
                self.refuse(field.name, problem)
                continue
            if said := field.echo(value, asked):
                self.echo(field.name, said)
            read[field.name] = value
        return read

    def answer(self, operation: Operation, question: Callable[[Values, Bench], Found], values: Values) -> Found | None:
        """The answer to an operation's question; None where it refuses, which is said at the field it names."""
        try:
            return question(values, Bench(self.units, _no_workshop))
        except FieldError as problem:
            flags = {option.flag: field.name for field in operation.fields for option in field.options()}
            given = [field.name for field in operation.fields if self.text(field.name)]
            self.refuse(flags.get(problem.option) or given[0], problem)
            return None


def _no_workshop(into: Callable[[Session], object]) -> NoReturn:
    """What the catalog answers alone looks into no workshop."""
    raise AssertionError(into)
