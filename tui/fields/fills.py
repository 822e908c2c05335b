"""What a system holds at its marks, what came out and what went in: alike for a fill and for a job's tally."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING, ClassVar, Final, Literal, NamedTuple

from catalog import fluids
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Count
from tui.fields.quantities import EXAMPLES, typed
from tui.fields.quantities import Volume as OneVolume
from tui.fields.words import shown

if TYPE_CHECKING:
    from catalog.quantity import Typed

MOST_OF_A_PACK: Final = 10_000
# Between digits a comma is a decimal comma; elsewhere it parts two volumes.
_PART: Final = re.compile(r"(?<!\d),|,(?!\d)|;")
_REUSED: Final = re.compile(r"\b(?:reused?|back|clean)\b", re.IGNORECASE)


class Volume(NamedTuple):
    """A volume: microlitres, exact, and how it was understood, in both families of units.

    `reused`: clean fluid that was drained and poured back.
    """

    microlitres: Fraction
    understood: str
    reused: bool = False


class PackSize(NamedTuple):
    """A size of pack in microlitres, by its name, and how it was understood. `there`: how many, None for any number."""

    microlitres: Fraction
    name: str
    there: int | None
    understood: str


def _parts(text: str) -> list[str]:
    return [part.strip() for part in _PART.split(text) if part.strip()]


@dataclass(frozen=True)
class Mark(OneVolume):
    """What the system holds with its level at a mark. `what`: for the field's hint."""

    must: bool = False
    what: str = ""

    def read(self, text: str, asked: Asked) -> Typed:
        """The volume. Raises `FieldError`."""
        found = super().read(text, asked)
        if found.to("µL") <= 0:
            raise FieldError(f"{shown(text)} is not above zero; type what the system holds at this mark")
        return found


@dataclass(frozen=True)
class Volumes(Field[tuple[Volume, ...]]):
    """Volumes that add up, with commas between them. `what`: which, for the field's hint.

    `least`: 0 where nothing may be said as 0, 1 where each is noted as an entry. `most`: how many, 0 for as many pours
    as a tally takes. `takes`: on the command line `several` after one option, or one after each of `many`.
    """

    METAVAR: ClassVar[str] = "VOLUME"
    KIND: ClassVar[str] = "volume"
    CALLED: ClassVar[str] = "volumes"

    must: bool = False
    empty: tuple[Volume, ...] = ()
    what: str = ""
    least: int = 0
    most: int = 0
    takes: Literal["several", "many"] = "several"

    def options(self) -> tuple[Option, ...]:
        """One option."""
        takes = "one" if self.most == 1 else self.takes
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes=takes),)

    def hint(self, asked: Asked) -> str:
        """What it is, and the unit of a bare number."""
        unit = asked.units.volume
        return f"{self.what}, as {EXAMPLES[unit]} {unit}"

    def read(self, text: str, asked: Asked) -> tuple[Volume, ...]:
        """Every volume. Raises `FieldError`."""
        parts = _parts(text)
        if not parts:
            raise FieldError(f"{shown(text)} is not a volume; type {self.hint(asked)}")
        self.count(len(parts))
        found = []
        for number, part in enumerate(parts, start=1):
            try:
                found.append(self.one(part, asked))
            except FieldError as problem:
                where = f"volume {number}: " if len(parts) > 1 else ""
                raise FieldError(f"{where}{problem}") from problem
        return tuple(found)

    def count(self, many: int) -> None:
        """Raises `FieldError` for more volumes than belong here."""
        if many > (self.most or fluids.fill.MOST_POURS):
            type_what = "one" if self.most == 1 else f"{self.most or fluids.fill.MOST_POURS} at most; add small ones up"
            raise FieldError(f"that is {many} {self.CALLED}; type {type_what}")

    def one(self, text: str, asked: Asked) -> Volume:
        """One volume. Raises `FieldError`."""
        found = typed(text, "volume", asked)
        microlitres = Fraction(found.to("µL"))
        if microlitres < 0 or (self.least and not microlitres):
            sign = "above zero" if self.least else "zero or more"
            raise FieldError(f"{shown(text)} is not {sign}; type it as 2 qt or 1.5 L")
        return Volume(microlitres, found.echo() if microlitres else "nothing")

    def echo(self, value: tuple[Volume, ...], asked: Asked) -> str:
        """The volumes as they were understood."""
        return "; ".join(f"{one.understood}{', reused' if one.reused else ''}" for one in value)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[Volume, ...]:
        """Every volume, of a line each. Raises `FieldError`."""
        return self.from_text((words.get(self.name) or "").replace("\n", ";"), asked)


class Pours(Volumes):
    """What was poured: fresh fluid and, with the word `reused`, clean fluid that was drained before."""

    CALLED: ClassVar[str] = "pours"

    def options(self) -> tuple[Option, ...]:
        """The fresh pours, and those of drained fluid."""
        return (*super().options(), *REUSED.options())

    def one(self, text: str, asked: Asked) -> Volume:
        """One pour. Raises `FieldError`."""
        volume = super().one(_REUSED.sub("", text).strip(), asked)
        return volume._replace(reused=_REUSED.search(text) is not None)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[Volume, ...]:
        """Every pour. Raises `FieldError`."""
        fresh = super().from_words(words, asked)
        try:
            back = REUSED.from_words(words, asked)
            self.count(len(fresh) + len(back))
        except FieldError as problem:
            raise FieldError(str(problem), REUSED.flag) from problem
        return (*fresh, *(one._replace(reused=True) for one in back))


@dataclass(frozen=True)
class Packs(Field[tuple[PackSize, ...]]):
    """The sizes of packs there are, each with how many of it where they are few: `1 gal=2`."""

    METAVAR: ClassVar[str] = "PACK"

    must: bool = False
    empty: tuple[PackSize, ...] = ()
    what: str = ""

    def options(self) -> tuple[Option, ...]:
        """One option with all of them."""
        return (Option(self.name, self.flag, self.METAVAR, self.help, takes="several"),)

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> tuple[PackSize, ...]:
        """Every size. Raises `FieldError`."""
        parts = _parts(text)
        if not parts:
            raise FieldError(f"{shown(text)} is not a size of pack; type it as 1 gal=2 or 1 qt")
        if len(parts) > fluids.packs.MOST_SIZES:
            raise FieldError(f"that is {len(parts)} sizes of pack; type {fluids.packs.MOST_SIZES} at most")
        return tuple(self.one(part, asked) for part in parts)

    def one(self, text: str, asked: Asked) -> PackSize:
        """One size. Raises `FieldError`."""
        size, sign, many = (part.strip() for part in text.partition("="))
        count = None
        if sign:
            try:
                count = Count("count", "Packs", least=0, most=MOST_OF_A_PACK).read(many, asked)
            except FieldError as problem:
                raise FieldError(f"{shown(text)}: type how many there are, as {size or '1 gal'}=2") from problem
        found = typed(size, "volume", asked)
        if found.to("µL") <= 0:
            raise FieldError(f"{shown(size)} holds nothing; type the size of one pack, as 1 gal or 5 L")
        said = found.echo() if count is None else f"{found.echo()}, {count} there"
        return PackSize(Fraction(found.to("µL")), " ".join(size.split()), count, said)

    def echo(self, value: tuple[PackSize, ...], asked: Asked) -> str:
        """The sizes as they were understood."""
        return "; ".join(one.understood for one in value)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> tuple[PackSize, ...]:
        """Every size, of a line each. Raises `FieldError`."""
        return self.from_text((words.get(self.name) or "").replace("\n", ";"), asked)


LOW: Final = Mark(
    "low", "Low mark", "what the system holds at the low mark (the full one if left out)", what="holds at low"
)
FULL: Final = Mark(
    "full", "Full mark", "what it holds at the full mark (the low one if left out)", what="holds at full"
)
HELD: Final = Volumes(
    "held", "Held", "what the system held before draining, if known; 0 for empty", what="if known", most=1
)
DRAINED: Final = Volumes("drained", "Drained", "what came out", what="came out")
POURED: Final = Pours("poured", "Poured", "fresh fluid, each pour", what="6 qt, 5 qt, 1 L reused")
REUSED: Final = Volumes("reused", "Back in", "drained fluid poured back clean", what="drained, clean")
LET_OUT: Final = Volumes("let_out", "Let out", "what came out again after pouring", what="too much")
PACKS: Final = Packs("packs", "Packs", "packs there are", what="1 gal=2, 1 qt; empty: the usual ones")
TALLIED: Final[Mapping[str, Volumes]] = {
    "poured": Volumes("poured", "Poured", "what was poured in from a pack; may be given again", what="from packs",
                      least=1, takes="many"),
    "drained": replace(DRAINED, least=1, takes="many"),
    "reused": replace(REUSED, least=1, takes="many"),
    "let_out": replace(LET_OUT, least=1, takes="many"),
    "held": HELD,
}  # fmt: skip
"""A job's tally: what is noted entry by entry, so that nothing is no entry, except that the system held nothing."""
