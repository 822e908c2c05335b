"""What a job's parts cost, turned into the records that its sheet is printed from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from catalog.languages.tongue import ENGLISH, Tongue
from tui.answers.kits import in_words
from tui.sheets.records import Costs, PartPrice

if TYPE_CHECKING:
    from tui.answers.job_cost import JobCost, PartCost

MOST_NAMED: Final = 4


def costs_of(found: JobCost, say: Tongue = ENGLISH) -> Costs:
    """The lines and the sums, in words. Where a price is from stays as the shop's books say it."""
    lines = (
        PartPrice(in_words(one.quantity, one.counted_in), one.name, _priced(one, say), one.source)
        for one in found.lines
    )
    return Costs(tuple(lines), tuple(_summed(found, say)))


def _priced(one: PartCost, say: Tongue) -> str:
    return say("no price known") if one.cost is None else f"{one.cost} {one.currency}"


def _summed(found: JobCost, say: Tongue) -> list[str]:
    """The sums and what they leave out."""
    sums = " + ".join(f"{one.amount} {one.currency}" for one in found.totals)
    without, whole = len(found.no_price), len(found.lines)
    if not sums:
        words = [say("Parts: no price is known.")]
    elif without:
        words = [
            say("Parts: {sums}, freight apart, without {count} of {whole} that have no price.",
                sums=sums, count=without, whole=whole)
        ]  # fmt: skip
    else:
        words = [say("Parts: {sums}, freight apart.", sums=sums)]
    if found.no_price:
        words.append(say("No price known: {names}.", names=_named(found.no_price, say)))
    if found.lacking:
        words.append(say("Not all there yet, and in no sum: {names}.", names=_named(found.lacking, say)))
    return words


def _named(names: tuple[str, ...], say: Tongue) -> str:
    shown, over = ", ".join(names[:MOST_NAMED]), len(names) - MOST_NAMED
    return say("{jobs} and {count} more", jobs=shown, count=over) if over > 0 else shown
