"""Reads the fields of a judgement. A field that cannot be read gets its sentence; the others still count."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from catalog.quantity import Kind, QuantityError, parse
from tui.fields.field import Asked, Field, FieldError
from tui.fields.units import kept
from tui.operations.operation import Bench
from tui.screens.judge.ruling import Note
from tui.widgets.judge.ask_field import UNKNOWN

if TYPE_CHECKING:
    from sqlmodel import Session

    from catalog.filters.element import ThreadSize
    from catalog.filters.media import Medium
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
        self.notes[key] = Note(error=str(problem))

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

    def quantity(self, key: str, kind: Kind, unit: str, *, signed: bool = False) -> Fraction | None:
        """A quantity in `unit`; a bare number is in the setting's. None where nothing readable is typed."""
        text = self.text(key)
        if not text:
            return None
        try:
            typed = parse(text, kind=kind, bare_unit=self.units.bare(kind))
            value = typed.to(unit)
            if value < 0 and not signed:
                self.refuse(key, f"{typed.echo()} is below zero; type a size of 0 or more.")
                return None
            self.echo(key, typed.echo())
        except (QuantityError, ValueError) as problem:
            self.refuse(key, problem)
            return None
        return value

    def length(self, key: str, *, zero: bool = False) -> float | None:
        """A length in mm, above zero unless `zero`."""
        value = self.quantity(key, Kind.LENGTH, "mm")
        if value is not None and value == 0 and not zero:
            self.refuse(key, "A size of 0 cannot be; leave the field empty where nothing was measured.")
            return None
        return None if value is None else float(value)

    def plus_minus_mm(self, key: str, usual: float) -> float:
        """The ± typed with a length, in mm; `usual` where none was typed."""
        try:
            stated = parse(self.text(key), kind=Kind.LENGTH, bare_unit=self.unit).plus_minus_in("mm")
        except QuantityError:
            return usual
        return float(stated) if stated else usual

    def number(self, key: str, what: str, example: str) -> float | None:
        """A plain number above zero."""
        text = self.text(key)
        if not text:
            return None
        if not _NUMBER.fullmatch(text):
            self.refuse(key, f"That is no number; type {what}, such as {example}.")
            return None
        value = float(text.replace(",", "."))
        if value <= 0:
            self.refuse(key, f"It must be above 0; type {what}, such as {example}.")
            return None
        return value

    def word(self, key: str, words: type[Word]) -> Word | None:
        """A picked word, None for "?"."""
        word = self.text(key)
        return None if not word or word == UNKNOWN else words(word)

    def yes(self, key: str) -> bool | None:
        """A picked yes or no."""
        return {"yes": True, "no": False}.get(self.text(key))

    def thread(self, key: str) -> ThreadSize | None:
        """A thread by name."""
        from catalog.filters.element import thread_size

        text = self.text(key)
        if not text:
            return None
        try:
            thread = thread_size(text)
        except ValueError as problem:
            self.refuse(key, problem)
            return None
        self.echo(key, f"{thread.label}, {thread.diameter_mm:g} × {thread.pitch_mm:.3g} mm")
        return thread

    def medium(self, key: str) -> Medium | None:
        """A medium: `60 mesh`, `10 µm β 200`, `25 µm nominal`, `wire cloth`."""
        text = self.text(key)
        if not text:
            return None
        try:
            found = _medium(text)
        except ValueError as problem:
            self.refuse(key, problem)
            return None
        opening = f" = {found.size_um:g} µm" if found.woven and found.size_um else ""
        self.echo(key, found.label + opening)
        return found


def _no_workshop(into: Callable[[Session], object]) -> NoReturn:
    """What the catalog answers alone looks into no workshop."""
    raise AssertionError(into)


MEDIUM = "That is no medium; type it like 60 mesh, 10 µm beta 200, 25 µm nominal or wire cloth."


def _medium(text: str) -> Medium:
    from catalog.filters.describe import describe

    try:
        found = describe(text).medium
    except ValueError as problem:
        # Its own sentence only where it is about a medium: the line it reads may hold much else.
        raise ValueError(str(problem) if "mesh" in text.lower() else MEDIUM) from problem
    if found is None:
        raise ValueError(MEDIUM)
    return found
