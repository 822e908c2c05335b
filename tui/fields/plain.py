"""Plain things to type: text, whole numbers, days."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction
from typing import ClassVar

import models
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.words import shown, unknown

MOST_PIECES = 10**9 - 1
LONGEST_NOTE = 500


@dataclass(frozen=True)
class Text(Field[str]):
    """A line of text, such as a reason. `what`: what to type, for the field's hint and its refusal; `longest`: kept."""

    what: str = ""
    empty: str = ""
    longest: int = LONGEST_NOTE

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> str:
        """The text itself. Raises `FieldError` for a longer one than the record takes, or one with odd signs."""
        if len(text) > self.longest:
            raise FieldError(f"{len(text)} letters are too many; at most {self.longest} are kept; shorten it.")
        if not text.isprintable():
            raise FieldError(f"{shown(text)} contains a character that can't be printed; type it again without it.")
        return text


@dataclass(frozen=True)
class Name(Text):
    """What something is called in the tables: a class, a rubber, a size. `longest`: in letters."""

    longest: int = 60

    def read(self, text: str, asked: Asked) -> str:
        """The name. Raises `FieldError` for what can't be one."""
        if len(text) > self.longest or not text.isprintable():
            raise FieldError(f"{shown(text)} is not a name; type 1 to {self.longest} letters, numbers and signs")
        return text


class File(Text):
    """A file's name, kept as it is typed."""

    METAVAR: ClassVar[str] = "FILE"

    def from_text(self, text: str, asked: Asked) -> str:
        """The name. Raises `FieldError` for none where there must be one."""
        if text.strip():
            return text
        return super().from_text(text, asked)


@dataclass(frozen=True)
class Lines(Text):
    """Text of several lines, such as rows that were pasted, kept as it is."""

    AS_TYPED: ClassVar[bool] = True

    must: bool = False

    def from_text(self, text: str, asked: Asked) -> str:
        """The text."""
        return text if text.strip() else ""


@dataclass(frozen=True)
class Lot(Text):
    """The lot on a bag, which may be any digits."""

    METAVAR: ClassVar[str] = "CODE"
    AS_TYPED: ClassVar[bool] = True

    must: bool = False


@dataclass(frozen=True)
class Count(Field[int]):
    """A whole number from `least` up."""

    METAVAR: ClassVar[str] = "N"

    least: int = 1
    most: int = MOST_PIECES

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return f"a whole number from {self.least} {'up' if self.most == MOST_PIECES else f'to {self.most}'}"

    def read(self, text: str, asked: Asked) -> int:
        """The number. Raises `FieldError`."""
        if not (text.isascii() and text.isdigit() and len(text) <= 9 and self.least <= int(text) <= self.most):
            raise FieldError(
                f"{shown(text)} is not {self.hint(asked)}; type for example {min(max(self.least, 12), self.most)}."
            )
        return int(text)


@dataclass(frozen=True)
class Day(Field[date | None]):
    """A day as ISO 8601 writes it, or with dots or slashes. `what`: which one, for the hint; `example`: one like it."""

    METAVAR: ClassVar[str] = "DAY"

    what: str = "the day"
    example: str = "2029-06-30"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return f"{self.what} as {self.example}"

    def read(self, text: str, asked: Asked) -> date | None:
        """The day. Raises `FieldError`."""
        try:
            return models.days.read(text)
        except models.days.NotADayError as problem:
            if problem.hint:
                raise FieldError(f"{shown(text)} may be two days. {problem.hint}") from None
            raise FieldError(
                f"{shown(text)} is not a day. Type the day like {self.example} (year, month, day) or 30.6.2029."
            ) from None

    def echo(self, value: date | None, asked: Asked) -> str:
        """The day with its month's name."""
        return "" if value is None else models.days.in_words(value)


@dataclass(frozen=True)
class Flag(Field[bool]):
    """Something that is so or not."""

    must: bool = False
    empty: bool = False

    def options(self) -> tuple[Option, ...]:
        """A word that is there or not."""
        return (Option(self.name, self.flag, "", self.help or self.label.lower(), takes="none"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "y or n"

    def read(self, text: str, asked: Asked) -> bool:
        """Yes or no. Raises `FieldError`."""
        if text.casefold() in ("y", "yes", "n", "no"):
            return text.casefold().startswith("y")
        raise FieldError(f"{shown(text)} is neither yes nor no; type y or n.")


@dataclass(frozen=True)
class Words(Text):
    """Words that narrow a list; none of them means all."""

    must: bool = False

    def options(self) -> tuple[Option, ...]:
        """All the words in its place."""
        return (Option(self.name, self.name, "TEXT", self.help or self.label.lower(), self.must, "words"),)


@dataclass(frozen=True)
class Sought(Words):
    """Words of a search. Signs that stand in no name are not refused: they find nothing."""

    must: bool = True

    def read(self, text: str, asked: Asked) -> str:
        """The words themselves."""
        return text


class Share(Field[Fraction]):
    """A share in percent, from none to all of it."""

    METAVAR: ClassVar[str] = "PERCENT"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "a percentage from 0 to 100, as 90"

    def read(self, text: str, asked: Asked) -> Fraction:
        """The part of one, exact. Raises `FieldError`."""
        number = text.removesuffix("%").strip().replace(",", ".")
        if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,6})?", number, re.ASCII) or Fraction(number) > 100:
            raise FieldError(f"{shown(text)} is not {self.hint(asked)}")
        return Fraction(number) / 100


@dataclass(frozen=True)
class Choice(Text):
    """One word of a closed list. `choices`: the words as they are kept; `near`: what people say for one of them."""

    choices: tuple[str, ...] = ()
    near: Mapping[str, str] = field(default_factory=dict, hash=False)

    def options(self) -> tuple[Option, ...]:
        """One option, called by what it chooses."""
        (one,) = super().options()
        return (replace(one, metavar=self.metavar or self.name.upper()),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return f"one of: {', '.join(self.choices)}"

    def read(self, text: str, asked: Asked) -> str:
        """The word. Raises `FieldError`."""
        if text.casefold() not in self.choices:
            raise FieldError(unknown(text, self.choices, self.near.get(text.casefold(), "")))
        return text.casefold()


@dataclass(frozen=True)
class Several(Field[tuple[str, ...]]):
    """Texts, each told by itself: an option given again and again, or all that follow in a place of its own."""

    must: bool = False
    empty: tuple[str, ...] = ()

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        metavar = self.metavar or self.METAVAR
        return (Option(self.name, self.flag, metavar, self.help or self.label.lower(), takes="many"),)

    def read(self, text: str, asked: Asked) -> tuple[str, ...]:
        """The one text."""
        return (text,)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[str, ...]:
        """Each text."""
        told = words.get(self.name)
        return tuple(one for one in (told or "").split("\n") if one.strip()) or self.empty
