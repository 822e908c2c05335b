"""The answer in words: the size, how sure, where it lies; when nothing fits, the neighbours and the cord."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from textual.content import Content

from tui.answers.chances import short_percent as percent
from tui.answers.ring import no_size
from tui.screens.measure.desk import Desk, both, size_both
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize
    from models.stock_rows import StockRow


class Candidate(NamedTuple):
    """One row of the ranked list. `size` is None for "none of our sizes"; `residuals` is empty for a neighbour."""

    title: str
    size: RingSize | None
    probability: float | None
    residuals: tuple[float, ...]
    also: tuple[RingSize, ...] = ()


def on_shelf(rows: Sequence[StockRow]) -> str:
    """Where a size lies: "12 free in B3 (NBR), 4 in C1", or that there is none."""
    there = [row for row in rows if row.on_hand > 0]
    if not there:
        return "none"
    words = [f"{row.free} free in {row.bin_code}" + (f" ({row.rubber})" if row.rubber else "") for row in there[:3]]
    more = len(there) - len(words)
    return clean(", ".join(words) + (f" and {more} more bins" if more else ""))


def candidates(desk: Desk) -> list[Candidate]:
    """The rows of the list: the matches, then "not listed", first where it is the likeliest answer."""
    ranking = desk.ranking
    if ranking is None:
        return []
    rows = [
        Candidate(match.size.label, match.size, match.probability, match.residuals, match.also)
        for match in ranking.matches
    ]
    none = Candidate("not listed", None, ranking.none_probability, ())
    if not ranking.found:
        near = ranking.neighbours
        beside = [
            Candidate(f"{word}: {size.label}", size, None, ())
            for word, size in (("below", near.below if near else None), ("above", near.above if near else None))
            if size is not None
        ]
        return [none, *rows, *beside]
    return [*rows, none]


def answer(desk: Desk, chosen: Candidate | None, unit: str, shelf: str) -> Content:
    """A few lines for the top of the screen, the answer first."""
    ranking = desk.ranking
    if ranking is None:
        return Content.assemble(
            ("Measure the ring.", "bold"), "\nAn ID and a width are enough to start.\n",
            ("One reading works too: type what you have.", "dim"),
        )  # fmt: skip
    lines: list[Content] = []
    if ranking.conflict:
        lines.append(Content.styled(f"! {ranking.conflict}", "bold $text-error"))
    if chosen is None or chosen.size is None:
        lines += _none(desk, unit)
    else:
        lines += _size(chosen, unit, shelf)
    if not ranking.conflict:
        lines.append(Content.styled(ranking.doubt, "$text-warning" if ranking.matches and _unsure(desk) else ""))
    if ranking.next_measurement is not None:
        lines.append(Content.assemble(("Next: ", "bold"), ranking.next_measurement.why))
    return Content("\n").join(lines)


def _unsure(desk: Desk) -> bool:
    return desk.ranking is not None and (not desk.ranking.matches or desk.ranking.matches[0].probability < 0.95)


def _size(chosen: Candidate, unit: str, shelf: str) -> list[Content]:
    assert chosen.size is not None
    sure = f"  {percent(chosen.probability)}" if chosen.probability is not None else "  nearest"
    lines = [Content.assemble((f" {chosen.size.label} ", "bold reverse"), (sure, "bold"))]
    lines.append(Content(size_both(chosen.size, unit)))
    if chosen.also:
        lines.append(Content.styled("same ring: " + ", ".join(size.label for size in chosen.also), "dim"))
    if shelf:
        lines.append(Content.assemble(("Shelf: ", "bold"), shelf))
    return lines


def _none(desk: Desk, unit: str) -> list[Content]:
    ranking = desk.ranking
    assert ranking is not None
    told = ranking.denial
    headline, sure = no_size(told), percent(ranking.none_probability)
    if told is not None and told.as_measured is not None:
        lines = [
            Content.assemble((f" {told.as_measured.label} metric, as measured ", "bold reverse")),
            Content.styled(f"{headline}  {sure}", "bold"),
        ]
    else:
        lines = [Content.assemble((f" {headline} ", "bold reverse"), (f"  {sure}", "bold"))]
    if ranking.cord is not None:
        lines.append(
            Content(f"Make it: cord {both(ranking.cord.width_mm, unit)}, cut {both(ranking.cord.cut_length_mm, unit)}.")
        )
    return lines
