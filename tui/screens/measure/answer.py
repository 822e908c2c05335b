"""The answer in words: the ring to fit, how sure, where it lies; when nothing fits, the neighbours and the cord."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from textual.content import Content

from tui.answers.chances import short_percent as percent
from tui.answers.ring import no_size
from tui.answers.to_fit import RUBBER_NOT_JUDGED, at_stake_of, here_of, sure_of_critical, to_do_of
from tui.screens.measure.result import MeasureResult, both, size_both
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize
    from models.stock_rows import StockRow


class Candidate(NamedTuple):
    """One row of the ranked list. `size` is None for "none of our sizes"; `residuals` is empty for a neighbour.

    `probability`: that it is the size that was in, None for a neighbour. `seals`: the chance that it seals as well as
    the right ring, None where it was not judged.
    """

    title: str
    size: RingSize | None
    probability: float | None
    residuals: tuple[float, ...]
    also: tuple[RingSize, ...] = ()
    seals: float | None = None


def on_shelf(rows: Sequence[StockRow]) -> str:
    """Where a size lies: "12 free in B3 (NBR), 4 in C1", or that there is none."""
    there = sorted((row for row in rows if row.on_hand > 0), key=lambda row: -row.free)
    if not there:
        return "none"
    words = [f"{row.free} free in {row.bin_code}" + (f" ({row.rubber})" if row.rubber else "") for row in there[:3]]
    more = len(there) - len(words)
    return clean(", ".join(words) + (f" and {more} more bins" if more else ""))


def candidates(result: MeasureResult) -> list[Candidate]:
    """The rows of the list: the rings to fit, best first, the other sizes it may be, then "not listed".

    "Not listed" goes first where it is the likeliest answer. No rows where the readings can't be of one ring.
    """
    ranking, decision = result.ranking, result.decision
    if ranking is None or ranking.conflict is not None:
        return []
    matches = {match.size.key: match for match in ranking.matches}
    rows = []
    for one in decision.to_fit if decision is not None else ():
        match = matches.pop(one.size.key, None)
        rows.append(
            Candidate(one.size.label, one.size, 0.0, (), (), one.chance.seals)
            if match is None
            else Candidate(one.size.label, one.size, match.probability, match.residuals, match.also, one.chance.seals)
        )
    rows += [Candidate(one.size.label, one.size, one.probability, one.residuals, one.also) for one in matches.values()]
    none = Candidate("not listed", None, ranking.none_probability, ())
    if not ranking.found:
        near = ranking.neighbours
        beside = [
            Candidate(f"{word}: {size.label}", size, None, ())
            for word, size in (("below", near.below if near else None), ("above", near.above if near else None))
            if size is not None
        ]
        return [*rows, none, *beside] if decision is not None and decision.settled else [none, *rows, *beside]
    return [*rows, none]


def doubt_of(result: MeasureResult, chosen: Candidate) -> str:
    """The chance of a chosen ring and what may be wrong with it, where it was judged; else ""."""
    rings = result.decision.to_fit if result.decision is not None else ()
    return next((sure_of_critical(one) for one in rings if one.size == chosen.size), "")


def answer(result: MeasureResult, chosen: Candidate | None, unit: str, shelf: str) -> Content:
    """A few lines for the top of the screen, the ring to fit first."""
    ranking, decision = result.ranking, result.decision
    if ranking is None:
        return Content.assemble(
            ("Measure the ring.", "bold"), "\nAn ID and a width are enough to start.\n",
            ("One reading works too: type what you have.", "dim"),
        )  # fmt: skip
    if ranking.conflict is not None:
        return Content.styled(f"! {ranking.conflict.words}", "bold $text-error")
    to_do = None if decision is None else to_do_of(decision)
    lines: list[Content] = []
    if to_do is not None and (ranking.found or to_do.settled):
        lines.append(Content.styled(f" {to_do.words} ", "bold reverse" if to_do.settled else "bold $text-warning"))
        if decision is not None and (stake := at_stake_of(decision)) is not None:
            lines.append(Content(stake))
        if decision is not None and (went := here_of(decision)) is not None:
            lines.append(Content(went))
        if result.of_machine:
            lines.append(Content(result.of_machine))
    else:
        lines += _none(result, unit)
    if result.following is not None:
        lines.append(Content.assemble(("Next: ", "bold"), f"{result.following.short}."))
    if chosen is not None and chosen.size is not None:
        lines += _size(chosen, unit, shelf)
    lines.append(Content.styled(ranking.doubt, "bold $text-warning" if not ranking.found else ""))
    return Content("\n").join(lines)


def _size(chosen: Candidate, unit: str, shelf: str) -> list[Content]:
    assert chosen.size is not None
    judged = "" if shelf == "none" else f". {RUBBER_NOT_JUDGED}"
    lines = [Content.assemble(("Shelf: ", "bold"), f"{shelf}{judged}")] if shelf else []
    lines.append(Content(size_both(chosen.size, unit)))
    if chosen.also:
        lines.append(Content.styled("same ring: " + ", ".join(size.label for size in chosen.also), "dim"))
    return lines


def _none(result: MeasureResult, unit: str) -> list[Content]:
    ranking = result.ranking
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
