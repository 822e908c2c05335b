"""What the trade has words of its own for: a ring's size, a time to cure, a bar code, a share, name and value."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, NamedTuple

import catalog
import models
from catalog import orings
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Text
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize as Size

KINDS = ("ring", "filter", "fluid", "sealant", "fastener", "consumable")
"""What an item is and a position takes, as `models.words.Kind` has it; a command's help loads no models."""


@dataclass(frozen=True)
class RingSize(Field["str | None"]):
    """A standard ring's size, by any of its names; kept as its key, such as `as568:214`."""

    METAVAR: ClassVar[str] = "SIZE"

    what: str = "a standard size, as AS568-214 or P22A"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> str | None:
        """The size's key. Raises `FieldError`."""
        size = orings.names.find(text) or _own(text, asked)
        if size is None:
            if names := " or ".join(size.label for size in orings.names.may_be(text)):
                raise FieldError(f"{shown(text)} may be {names}: each is another ring; say which")
            raise FieldError(f"no standard size is called {shown(text)}; look with: kitwright sizes")
        return size.key

    def echo(self, value: str | None, asked: Asked) -> str:
        """The size by its name, with its dimensions."""
        size = (orings.sizes.by_key(value) or _own(value, asked)) if value else None
        return "" if size is None else f"{size.label}: {size.id_mm:g} × {size.cross_section_mm:g} mm"


def _own(text: str, asked: Asked) -> Size | None:
    """A size of the shop's own tables by its whole name or key; None where the workshop is not looked into."""
    if asked.look is None or " " not in text:
        return None  # a table's name stands before the size's

    name = "".join(text.split()).casefold().removeprefix("own:")
    own = asked.look(models.own_sizes.size_book).own
    return next((one for one in own if one.series == "own" and "".join(one.label.split()).casefold() == name), None)


@dataclass(frozen=True)
class RubberOnBag(Text):
    """A rubber with its hardness as it stands on the bag; kept as "FKM 75"."""

    METAVAR: ClassVar[str] = "RUBBER"

    what: str = "the rubber and its hardness, as FKM 75"

    def read(self, text: str, asked: Asked) -> str:
        """The family and the hardness. Raises `FieldError`."""
        try:
            found = orings.rubber_words.rubber_written(text)
        except ValueError as problem:
            raise FieldError(str(problem)) from problem
        return " ".join(filter(None, (found.family.value, str(found.hardness_shore_a or ""))))


class Minutes(Field["int | None"]):
    """A time of hours or minutes, kept in minutes."""

    METAVAR: ClassVar[str] = "TIME"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return "a time, as 24 h or 90 min"

    def read(self, text: str, asked: Asked) -> int | None:
        """Minutes. Raises `FieldError`."""
        found = re.fullmatch(r"([0-9]{1,5}(?:[.,][0-9]{1,3})?)\s*(h|hours?|min|minutes?)", text, re.ASCII)
        if found is None:
            raise FieldError(f"{shown(text)} is not a time; type for example 24 h or 90 min")
        return round(float(found[1].replace(",", ".")) * (60 if found[2].startswith("h") else 1))


@dataclass(frozen=True)
class Percent(Field["float | None"]):
    """A share from `least` up to, and less than, all; kept as a part of one."""

    METAVAR: ClassVar[str] = "PERCENT"

    least: int = 0

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return f"a share from {self.least} to 99.9 percent, as 95"

    def read(self, text: str, asked: Asked) -> float | None:
        """The part of one. Raises `FieldError`."""
        number = text.removesuffix("%").strip().replace(",", ".")
        if not re.fullmatch(r"[0-9]{1,2}(\.[0-9]{1,4})?", number, re.ASCII) or float(number) < self.least:
            raise FieldError(f"{shown(text)} is not {self.hint(asked)}")
        return float(number) / 100


class BarCode(Text):
    """A GTIN as scanned or typed, checked by its last digit."""

    METAVAR: ClassVar[str] = "GTIN"

    def read(self, text: str, asked: Asked) -> str:
        """The digits. Raises `FieldError`."""
        try:
            return catalog.gtin.normalise(text).digits
        except catalog.gtin.GtinError as problem:
            raise FieldError(str(problem)) from problem

    def from_scan(self, bin_code: str, gtin: str) -> str:
        """A bar code."""
        return gtin


class Pair(NamedTuple):
    """A name and what is said of it, as `sump=fluid`."""

    name: str
    value: str


@dataclass(frozen=True)
class Pairs(Field[tuple[Pair, ...]]):
    """Names, each with what is said of it after the last `=`: an option given again and again. `example`: one pair."""

    must: bool = False
    empty: tuple[Pair, ...] = ()
    example: str = ""

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, self.metavar, self.help, takes="many"),)

    def read(self, text: str, asked: Asked) -> tuple[Pair, ...]:
        """The one pair. Raises `FieldError`."""
        name, equals, value = text.rpartition("=")
        if not equals or not name.strip():
            raise FieldError(f'{shown(text)} is not {self.metavar}; type for example "{self.example}"')
        return (Pair(name.strip(), self.value(value.strip(), asked)),)

    def value(self, text: str, asked: Asked) -> str:
        """What is said after the `=`. Raises `FieldError`."""
        return text

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[Pair, ...]:
        """Every pair. Raises `FieldError`."""
        told = (words.get(self.name) or "").split("\n")
        return tuple(pair for text in told if text.strip() for pair in self.from_text(text, asked)) or self.empty
