"""A field: one thing to type, read the same way in a form and on the command line.

A field knows its name, what to type, what it accepts and its sentence when it doesn't. The command puts the option's
name before that sentence, the form shows it beneath the field. A field that means a row (of stock, of a kit) is filled
by what is highlighted on the screen, and by words on the command line.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, ClassVar, Generic, Literal, Protocol, TypeVar

from tui.fields.units import Units

if TYPE_CHECKING:
    from sqlmodel import Session

Value = TypeVar("Value")
Found = TypeVar("Found")


class FieldError(ValueError):
    """What was typed can't be taken: one sentence on what is wrong and what to type instead.

    `option`: the option it is about, where that is not the field's own. `typed`: it comes of nothing that is kept.
    """

    typed: ClassVar[bool] = True

    def __init__(self, sentence: str, option: str = "") -> None:
        super().__init__(sentence)
        self.option = option


class Look(Protocol):
    """A look into the workshop, as a field may need one to know a row by its name."""

    def __call__(self, look: Callable[[Session], Found], /) -> Found:
        """What `look` finds in the workshop."""
        ...


DEFAULT_UNITS = Units()


@dataclass(frozen=True)
class Asked:
    """What a field may go by while it reads: the units, the fields read before it, and the workshop."""

    units: Units = DEFAULT_UNITS
    values: Mapping[str, Any] = field(default_factory=dict)
    look: Look | None = None


@dataclass(frozen=True)
class Option:
    """One word of the command line: `--bin CODE`, or a place of its own where `flag` has no dashes.

    `takes`: `one` value, `none` (it is there or not), or all the `words` that follow in a place of its own; `many`
    values (an option given again and again, or all that follow in a place of its own) or `several` after one option,
    which may be given again; a field finds each on a line of its own. `lists`: several after an option that is given
    again and again; a field finds each list on a line of its own, its values parted by tabs.
    """

    dest: str
    flag: str
    metavar: str
    help: str
    required: bool = False
    takes: Literal["one", "none", "words", "many", "several", "lists"] = "one"

    @property
    def positional(self) -> bool:
        """Whether it is given by its place."""
        return not self.flag.startswith("-")


@dataclass(frozen=True)
class Field(Generic[Value]):
    """One thing to type. A subclass says how it is read.

    `name`: its key, its option and its place in a form. `label`: what stands before it in a form. `help`: for the
    option's help. `must`: whether an empty one is refused; `empty`: what an empty one means otherwise. `parameter`: the
    rule's own name for it, where that differs. `placed`: on the command line it stands in a place of its own, without
    an option's name. `metavar`: what the help calls what is typed, where the field's kind has no word for it. `option`:
    the option's name, where it differs from `name`. `given`: the field without whose value this one means nothing, and
    is not asked. `under`: the heading that its options stand under in the help.
    """

    name: str
    label: str
    help: str = ""
    must: bool = True
    empty: Any = None
    parameter: str = ""
    placed: bool = False
    metavar: str = ""
    option: str = ""
    given: str = ""
    under: str = ""

    METAVAR: ClassVar[str] = "TEXT"
    ROW: ClassVar[str] = ""
    """For a field that means a row: what kind of row fills it from the screen, such as `stock`."""
    LENGTHS: ClassVar[bool] = False
    """Whether a bare number in it is a length, so that its command has `--unit`."""
    AS_TYPED: ClassVar[bool] = False
    """Whether any digits belong in it, even those of a bar code, so that a form takes none of them for a scan."""
    PASTED: ClassVar[bool] = False
    """Whether rows of any number are pasted into it, which a form shows on its one line."""
    LOOKS: ClassVar[bool] = False
    """Whether it is read by looking into the workshop, which a form does once it is entered, and beside the screen."""

    @property
    def flag(self) -> str:
        """The option's name; without dashes where it stands in a place of its own."""
        return self.name if self.placed else f"--{(self.option or self.name).replace('_', '-')}"

    @property
    def called(self) -> str:
        """What a refusal on the command line names it by."""
        first = self.options()[0]
        return first.metavar if first.positional else first.flag

    def options(self) -> tuple[Option, ...]:
        """The words of the command line that fill it."""
        metavar = self.metavar or (self.name.upper() if self.placed else self.METAVAR)
        return (Option(self.name, self.flag, metavar, self.help or self.label.lower(), self.must),)

    def hint(self, asked: Asked) -> str:
        """What to type, shown in the empty field of a form."""
        return ""

    def read(self, text: str, asked: Asked) -> Value:
        """The value of what was typed, which is not empty. Raises `FieldError`."""
        raise NotImplementedError

    def echo(self, value: Value, asked: Asked) -> str:
        """What was understood, where saying it helps."""
        return ""

    def from_scan(self, bin_code: str, gtin: str) -> str:
        """What a scan into a form puts into it: a bin's label or a bar code; "" where it takes none."""
        return ""

    def from_text(self, text: str, asked: Asked) -> Value:
        """The value of a form's field. Raises `FieldError`."""
        clean = " ".join(text.split())
        if clean:
            return self.read(clean, asked)
        if self.must:
            raise FieldError(self.missing(asked))
        empty: Value = self.empty
        return empty

    def parts(self, asked: Asked) -> tuple[Field[Any], ...]:
        """What a form asks in its place: itself, or one field for each of several things, named apart."""
        return (self,)

    def joined(self, values: Mapping[str, Any]) -> Value:
        """Its value where a form asked for its parts: their values, by their names."""
        value: Value = values[self.name]
        return value

    def missing(self, asked: Asked) -> str:
        """The sentence for an empty field that must be filled."""
        hint = self.hint(asked)
        return f"Nothing is typed; type {hint}." if hint else "Nothing is typed."

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Value:
        """The value of the command line's words, by `Option.dest`. Raises `FieldError`."""
        return self.from_text(words.get(self.name) or "", asked)

    def arguments(self, value: Value) -> dict[str, Any]:
        """What the change or question is given for it, by parameter."""
        return {self.parameter or self.name: value}


def under(heading: str, *fields: Field[Any]) -> tuple[Field[Any], ...]:
    """The same fields, their options under a heading of the command's help."""
    return tuple(replace(one, under=heading) for one in fields)
