"""A panel asks an operation: its fields read what is typed, it answers, and a refusal stands at its field."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypeVar

from tui.fields.field import Asked, FieldError
from tui.operations.operation import Bench
from tui.screens.judge.ruling import Ask, Note

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.fields.field import Field, Look
    from tui.fields.units import Units
    from tui.operations.operation import Operation

Kind = TypeVar("Kind", bound="Answer")


def ask_of(field: Field[Any], *, heading: str = "", wide: bool = False, when: tuple[str, ...] = ()) -> Ask:
    """An operation's field as a panel asks it; the unit of a bare number stands in it before a digit is typed."""
    what, quantity = getattr(field, "what", ""), getattr(field, "KIND", "")
    return Ask(field.name, field.label, what, when=when, heading=heading, wide=wide, quantity=quantity)


def no_look(_: object) -> Any:
    """What a question of the catalog alone finds in the workshop: it never looks."""
    raise AssertionError("this question does not look into a workshop")


class Asking:
    """A panel's texts by the field's name, read by an operation's fields; `notes`: at each what was understood."""

    def __init__(self, operation: Operation, texts: Mapping[str, str], units: Units, look: Look = no_look) -> None:
        self._operation = operation
        self._bench = Bench(units, look)
        self.values: dict[str, Any] = {}
        self.notes: dict[str, Note] = {}
        for one in operation.fields:
            asked = Asked(units, self.values, look)
            try:
                self.values[one.name] = value = one.from_text(texts.get(one.name, ""), asked)
            except FieldError as problem:
                self.notes[one.name] = Note(error=str(problem))
                continue
            if value != one.empty and (echo := one.echo(value, asked)):
                self.notes[one.name] = Note(echo=echo)

    @property
    def wrong(self) -> bool:
        """Whether a field could not be read, or the question was refused."""
        return any(note.error for note in self.notes.values())

    def answer(self, kind: type[Kind]) -> Kind | None:
        """The operation's answer; None where something is wrong, which is then said at its field."""
        assert self._operation.answers is not None
        if self.wrong:
            return None
        try:
            found = self._operation.answers(self.values, self._bench)
        except FieldError as problem:
            self.refuse(problem.option, str(problem))
            return None
        assert isinstance(found, kind)
        return found

    def refuse(self, option: str, sentence: str) -> None:
        """Say what is wrong at the field that the option belongs to, or at the first one."""
        fields = self._operation.fields
        named = (one.name for one in fields if any(option == each.flag for each in one.options()))
        self.notes[next(named, fields[0].name)] = Note(error=sentence)
