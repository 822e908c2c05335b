"""What a job's parts cost, line by line, and the sum a currency; what has no price is named, never left out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from tui import answers
from tui.answers.answer import Answer
from tui.answers.kits import CountedIn, in_words
from tui.commands.output import table

if TYPE_CHECKING:
    from models.orders import costs

MOST_NAMED = 4


@dataclass(frozen=True)
class PartCost:
    """So much of an item. `item`: null where a fluid was poured from no container on record. `cost`: in whole units of
    `currency`, null where no price is known; `price_from`: by which order or list; `doubt`: what nobody has confirmed
    of that price."""

    item: int | None
    name: str
    quantity: int
    counted_in: CountedIn
    cost: str | None
    currency: str | None
    price_from: str | None
    doubt: str | None

    @property
    def priced(self) -> str:
        """The amount with its currency, or that none is known."""
        return "no price known" if self.cost is None else f"{self.cost} {self.currency}"

    @property
    def source(self) -> str:
        """Where the price is from."""
        return "; ".join(part for part in (self.price_from, self.doubt) if part)


@dataclass(frozen=True)
class Sum:
    """What is priced in one currency."""

    amount: str
    currency: str


@dataclass(frozen=True)
class JobCost(Answer):
    """What a job took, poured and is promised, less what went back. `totals`: one a currency, of the lines that have
    a price; `no_price`: the items that have none; `lacking`: the needs that are not all there, which no sum holds."""

    SCHEMA: ClassVar[str] = "kitwright.job-cost/2"

    job: int
    title: str
    lines: tuple[PartCost, ...]
    totals: tuple[Sum, ...]
    no_price: tuple[str, ...]
    lacking: tuple[str, ...]

    @property
    def summed(self) -> list[str]:
        """The sums and what they leave out."""
        if not self.lines:
            return ["Nothing is picked or promised yet, so there is nothing to price."]
        sums = " and ".join(f"{one.amount} {one.currency}" for one in self.totals)
        known = f"{sums}, freight apart" if sums else "no price is known"
        if self.no_price:
            known += f", without {len(self.no_price)} of {len(self.lines)} that have no price" if sums else ""
        words = [f"Parts: {known}."]
        if self.no_price:
            words.append(f"No price known: {_named(self.no_price)}.")
        if self.lacking:
            words.append(f"Not all there yet, and in no sum: {_named(self.lacking)}.")
        return words

    def words(self) -> list[str]:
        """The sum with what it leaves out, then each line with where its price is from."""
        rows = [(in_words(one.quantity, one.counted_in), one.name, one.priced, one.source) for one in self.lines]
        lines = table(("qty", "part", "cost", "price from"), rows, right=(0, 2)) if rows else []
        return [*self.summed, *lines]

    @property
    def found(self) -> bool:
        """Whether every part has a price."""
        return not self.no_price


def _named(names: tuple[str, ...]) -> str:
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return f"{', '.join(names[:MOST_NAMED])}{more}"


def cost_of(found: costs.JobCost) -> JobCost:
    """What a job's parts cost, as answers tell it."""
    return JobCost(
        found.job_id,
        found.title,
        tuple(
            PartCost(
                one.item_id, one.item_name, one.quantity, one.counted_in.value,
                answers.money.amount(one.cost_minor, one.currency), one.currency or None, one.source or None,
                one.doubt or None,
            )
            for one in found.lines
        ),
        tuple(Sum(answers.money.amount(one.minor, one.currency) or "", one.currency) for one in found.totals),
        found.unknown,
        found.lacking,
    )  # fmt: skip
