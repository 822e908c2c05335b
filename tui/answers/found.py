"""What a search finds: items of the shop's own and rows of suppliers' lists, and what was read in a row's text."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Literal

from catalog import orings
from tui.answers.answer import Answer
from tui.answers.money import amount, price_words
from tui.commands.output import table

if TYPE_CHECKING:
    from models.search.found import Hit

HOW = {
    "exact": "the number itself",
    "size": "by its dimensions",
    "prefix": "the number begins so",
    "words": "by its words",
    "part": "part of the number",
    "listed": "",
}
# An item of our own has no number: what was found is its name.
HOW_NAMED = {**HOW, "exact": "the name itself", "prefix": HOW["words"], "part": "part of its words"}
LONGEST_NAME = 50


@dataclass(frozen=True)
class RowFound:
    """A row found. `price` is text in whole units of `currency`, for `price_per` packs; a pack holds `pack_quantity`.

    `reading_confidence`: how sure what was read in a supplier's text is, 0 to 1; None where nobody had to read.
    """

    where: Literal["item", "list"]
    id: int
    how: Literal["exact", "size", "prefix", "words", "part", "listed"]
    number: str | None
    name: str
    supplier: str | None
    price: str | None
    price_per: int
    currency: str | None
    pack_quantity: int
    counted_in: Literal["each", "ul"]
    size: str | None
    rubber: str | None
    hardness_shore_a: int | None
    reading_confidence: float | None
    reading_state: Literal["none", "read", "confirmed", "refused"] | None

    @property
    def price_words(self) -> str:
        """The price, exactly; "" where none is given."""
        return price_words(self.price, self.price_per, self.currency)

    @property
    def why(self) -> str:
        """Why it was found."""
        return (HOW if self.number else HOW_NAMED)[self.how]

    @property
    def reading(self) -> str:
        """The ring it is; what was only read in a supplier's text is never passed off as certain."""
        if not self.size and not self.rubber:
            return ""

        size = orings.sizes.label_of(self.size) if self.size else ""
        ring = " ".join(word for word in (size, self.rubber, str(self.hardness_shore_a or "")) if word)
        if self.where == "item" or self.reading_state == "confirmed":
            return ring if self.where == "item" else f"{ring}, confirmed by hand"
        if self.reading_state == "refused":
            return f"read as {ring}, refused by hand"
        sure = "" if self.reading_confidence is None else f", {self.reading_confidence * 100:.0f} % sure"
        return f"read as {ring}{sure}"


def row_of(hit: Hit) -> RowFound:
    """A row found as answers tell it."""
    return RowFound(
        where=hit.where.value,
        id=hit.row_id,
        how=hit.how.value,
        number=hit.number or None,
        name=hit.name,
        supplier=hit.supplier or None,
        price=amount(hit.price_minor, hit.currency),
        price_per=hit.price_per,
        currency=hit.currency or None,
        pack_quantity=hit.pack_quantity,
        counted_in="ul" if hit.counted_in == "ul" else "each",
        size=hit.size_key,
        rubber=hit.rubber or None,
        hardness_shore_a=hit.hardness_shore_a,
        reading_confidence=None if hit.reading_ppm is None else hit.reading_ppm / 1_000_000,
        reading_state=hit.reading_state or None,  # type: ignore[arg-type]
    )


@dataclass(frozen=True)
class Found(Answer):
    """A window of what was found. `total`: how many are known of; `more`: there are others beyond them."""

    SCHEMA: ClassVar[str] = "kitwright.found/2"

    total: int
    more: bool
    rows: tuple[RowFound, ...]

    def words(self) -> list[str]:
        """A table, best first."""
        if not self.rows:
            return ["No match."]
        cells = [
            (one.where, one.number or "", one.name[:LONGEST_NAME], one.supplier or "", one.price_words, one.reading)
            for one in self.rows
        ]
        return table(("what", "number", "name", "supplier", "price", ""), cells)

    def aside(self) -> list[str]:
        """That there is more."""
        told = f"There are more than {self.total}; add a word, or ask for more with --limit."
        return [told] if self.more and self.rows else []

    @property
    def found(self) -> bool:
        """Whether anything was."""
        return bool(self.rows)
