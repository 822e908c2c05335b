"""An amount of stock: whole pieces, or a volume for what is counted so. Pieces stay pieces; volumes are microlitres."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

import catalog
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Count
from tui.fields.quantities import EXAMPLES, typed
from tui.fields.words import shown

EACH = "each"
PACKS = re.compile(
    r"(?P<many>\d{1,6})\s*(?:[x×*]|(?P<word>pails?|buckets?|drums?|barrels?|kegs?|cans?|jugs?|bottles?|cartridges?|tubes?"
    r"|tubs?|boxes|box|bags?|packs?|packets?|cartons?|containers?)(?:\s+(?:of|à|at))?)\s*(?P<each>\d.*)?",
    re.IGNORECASE,
)
"""So many packs and what one holds, as a delivery note says it: common practice, no source."""
MOST_MICROLITRES = 10**12


PIECES = frozenset({"cartridge", "tube", "bottle", "can", "jug"})
"""What is one piece by itself, where an item is counted in pieces: common practice, no source."""


def _is_piece(word: str, name: str) -> bool:
    """Whether such a pack is a piece of the item: by what it is, or as the item's own name says it.

    A name that says how many are in one, as `bolts, box of 50`, does not tell which of the two is counted.
    """
    one, called = word.casefold(), name.casefold()
    one = "box" if one == "boxes" else one.removesuffix("s")
    holds = rf"\b{one}\b\W*(?:of|à|at)?\W*\d|\d\W*(?:[a-z]+\W+)?(?:(?:per|an?)\W+|/\W*){one}\b"
    return one in PIECES or (one in re.findall(r"[a-z]+", called) and re.search(holds, called) is None)


@dataclass(frozen=True)
class Amount(Field[int]):
    """How much of an item, in its own count. `of`: the field read before that says what it is counted in.

    `least`: the smallest that is taken, 0 or 1. An empty one that need not be filled means all that is free.
    """

    METAVAR: ClassVar[str] = "N"

    of: str = "stock"
    least: int = 1

    def counted_in(self, asked: Asked) -> str:
        """`each` or `ul`."""
        row = asked.values.get(self.of)
        return str(row.counted_in) if row is not None else EACH

    def hint(self, asked: Asked) -> str:
        """What to type for this item."""
        if self.counted_in(asked) == EACH:
            return Count(self.name, self.label, least=self.least).hint(asked)
        unit = asked.units.volume
        return f"how much, as {EXAMPLES[unit]} {unit}"

    def read(self, text: str, asked: Asked) -> int:
        """Pieces or microlitres. Raises `FieldError`."""
        if self.counted_in(asked) == EACH:
            return Count(self.name, self.label, least=self.least).read(text, asked)
        if self.least == 0 and text == "0":
            return 0
        found = round(typed(text, "volume", asked).to("µL"))
        if not max(self.least, 1) <= found <= MOST_MICROLITRES:
            raise FieldError(f"{shown(text)} can't be booked; type a volume above zero, as 2 qt or 1.5 L.")
        return found

    def echo(self, value: int, asked: Asked) -> str:
        """A volume in both families of units; pieces need no echo."""
        if self.counted_in(asked) == EACH:
            return ""
        from fractions import Fraction

        return catalog.quantity.format_volume(Fraction(value, 1_000_000), first=asked.units.volume)


@dataclass(frozen=True)
class AllFree(Amount):
    """As `Amount`, but an empty one means all that is free of the row."""

    must: bool = False

    def from_text(self, text: str, asked: Asked) -> int:
        """The amount; all that is free where nothing is typed. Raises `FieldError`."""
        return self.read(text, asked) if text.strip() else int(asked.values[self.of].free)


@dataclass(frozen=True)
class Came(Amount):
    """How much came in: an amount, or on the command line so many packs of a size."""

    of: str = "item"

    def hint(self, asked: Asked) -> str:
        """What to type for this item; for any, while none is named."""
        item = asked.values.get(self.of)
        if item is None:
            return "pieces, or a volume as 5 gal"
        if item.container:
            return f"{super().hint(asked)}; or 2 full ones, as 2 x"
        return super().hint(asked) if self.counted_in(asked) == EACH else f"{super().hint(asked)}, or 2 pails of 20 L"

    def options(self) -> tuple[Option, ...]:
        """The amount, or packs and what one holds."""
        counted = "pieces, or a volume as 5 gal"
        return (
            Option(self.name, self.flag, self.METAVAR, f"{self.help}: {counted}"),
            Option("packs", "--packs", "N", "or how many boxes or pails came, with --pack"),
            Option("pack", "--pack", "N", f"what one of them holds: {counted}"),
        )

    def read(self, text: str, asked: Asked) -> int:
        """Pieces or microlitres; so many packs of a size, as "2 pails of 20 L" or "2 x 20 L". Raises `FieldError`."""
        if (packs := PACKS.fullmatch(text.strip())) is not None:
            return self._packs(packs, asked)
        try:
            return super().read(text, asked)
        except FieldError as problem:
            item = asked.values.get(self.of)
            if item is not None and not item.known and any(letter.isalpha() for letter in text):
                raise FieldError(
                    f"{problem} By its name it is new and counted in pieces; for a volume say: counted volume."
                ) from problem
            raise

    def _packs(self, packs: re.Match[str], asked: Asked) -> int:
        """So many, times what one of them holds: as typed, or as it is known of the item."""
        item, each = asked.values.get(self.of), packs["each"]
        many = int(packs["many"])
        known = None if item is None else item.container
        if each is None and known is None and item is not None and self.counted_in(asked) == EACH:
            if packs["word"] is None or _is_piece(packs["word"], item.name):
                return super().read(packs["many"], asked)
            raise FieldError(
                f"{shown(packs[0])} does not say how many pieces one of them holds, and {item.name} is counted in "
                f"pieces; type {many} where each is one piece, or {many} {packs['word']} of 10"
            )
        if each is None and known is None:
            raise FieldError(
                f"{shown(packs[0])} does not say what one of them holds; type it as 2 pails of 20 L, or 2 boxes of 10"
            )
        one = known if each is None else super().read(each, asked)
        found = many * (one or 0)
        if not 1 <= found <= MOST_MICROLITRES:
            raise FieldError(f"{shown(packs[0])} can't be booked; type at least one.")
        return found

    def echo(self, value: int, asked: Asked) -> str:
        """A volume in both families of units, and how many full containers that is; pieces as they are."""
        said = super().echo(value, asked) or f"{value:,} pieces"
        item = asked.values.get(self.of)
        holds = None if item is None else item.container
        if not holds or value % holds:
            return said
        each = super().echo(holds, asked) or f"{holds:,}"
        return f"{said}: {value // holds:,} full, {each.partition(' (')[0]} in each"

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> int:
        """The amount, or packs times what one holds. Raises `FieldError`."""
        quantity, packs, pack = words.get(self.name), words.get("packs"), words.get("pack")
        if (quantity is None) == (packs is None):
            raise FieldError(f"say how much came: {self.flag} N, or --packs N with --pack N", "-")
        if packs is None:
            if pack is not None:
                raise FieldError(f"--pack says what one pack holds; give --packs with it instead of {self.flag}", "-")
            return self.from_text(quantity or "", asked)
        if pack is None:
            raise FieldError("say what one of them holds, as --pack 10 or --pack '5 gal'", "--packs")
        try:
            many = Count("packs", "Packs").from_text(packs, asked)
        except FieldError as problem:
            raise FieldError(str(problem), "--packs") from problem
        try:
            return many * self.from_text(pack, asked)
        except FieldError as problem:
            raise FieldError(str(problem), "--pack") from problem
