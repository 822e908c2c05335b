"""An amount of stock: whole pieces, or a volume for what is counted so. Pieces stay pieces; volumes are microlitres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from tui.fields.field import Asked, Field, FieldError
from tui.fields.plain import Count
from tui.fields.quantities import EXAMPLES, typed
from tui.fields.words import shown

EACH = "each"
MOST_MICROLITRES = 10**12


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

        from catalog.quantity import format_volume

        return format_volume(Fraction(value, 1_000_000), first=asked.units.volume)


@dataclass(frozen=True)
class AllFree(Amount):
    """As `Amount`, but an empty one means all that is free of the row."""

    must: bool = False

    def from_text(self, text: str, asked: Asked) -> int:
        """The amount; all that is free where nothing is typed. Raises `FieldError`."""
        return self.read(text, asked) if text.strip() else int(asked.values[self.of].free)
