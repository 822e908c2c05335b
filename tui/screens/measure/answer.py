"""The answer in words: the ring to fit, how sure, where it lies; when nothing fits, the neighbours and the cord.

Each part is a list of lines, the most needed first: a small window shows as many as it has room for.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from textual.content import Content

from tui.answers.chances import short_percent as percent
from tui.answers.ring import no_size
from tui.answers.ring_photo import UNTRIED_SHORT
from tui.answers.to_fit import RUBBER_NOT_JUDGED, at_stake_of, here_of, rows_of, to_do_of
from tui.keys import key, plain
from tui.screens.measure.result import SLOTS, MeasureResult, both, size_both
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize
    from models.stock_rows import StockRow
    from tui.answers.to_fit import Met


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


def on_shelf(rows: Sequence[StockRow], met: Met | None = None) -> str:
    """Where a size lies: "12 free in B3 (NBR), 4 in C1", or that there is none; `met`: only rubbers for that count."""
    there = sorted((row for row in rows if row.on_hand > 0), key=lambda row: -row.free)
    if not there:
        return "none"
    suits = [row for row in there if met is None or met.suits(row.rubber)]
    left = [f"{row.rubber or 'rubber not given'} in {row.bin_code}" for row in there if row not in suits]
    words = [f"{row.free} free in {row.bin_code}" + (f" ({row.rubber})" if row.rubber else "") for row in suits[:3]]
    more = len(suits) - len(words)
    found = (", ".join(words) + (f" and {more} more bins" if more else "")) or "none suitable"
    return clean(found + (f"; not counted: {', '.join(left[:3])}" if left else ""))


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


def rubbers_there(result: MeasureResult, size: RingSize | None) -> str:
    """The verdict on each rubber in which a ring to fit lies on the shelf, in sentences; "" where there is none."""
    found = result.decision.to_fit if result.decision is not None else ()
    here = next((one for one in found if one.size == size), None)
    if result.met is None or here is None:
        return ""
    rows = rows_of([*(here.on_shelf or ()), *here.left_out])
    return clean(" ".join(f"{one.verdict}." for one in result.met.in_service(rows)))


NEW_HERE = (
    "A new workshop. Three things to do now: type an old ring's ID and width here;",
    f"F5, {key('record')} puts what lies on the shelf on record; F4, {plain('new')} opens a job.",
    f"{plain('menu')} or Ctrl+P, “guide” leads through the first hour.",
)
"""What a workshop without a single booking is greeted with."""


DEMO_MADE = "Making the demo workshop …"
DEMO = (
    "The demo workshop: an invented shop, kept apart from yours. Try an ID of 24.9 and a width of 3.5.",
    f"{plain('menu')} or Ctrl+P, “guide” leads through a day in it.",
)
"""What the demo is greeted with."""


def answer(
    result: MeasureResult,
    unit: str,
    shelf: str,
    above: Sequence[Content] = (),
    *,
    rubbers: str = "",
    highlighted: str = "",
    is_new: bool = False,
    demo_is_there: bool | None = None,
) -> list[Content]:
    """The answer's lines, the ring to fit first; then what is wrong with a reading or the fluid, `above`, the rest.

    `shelf`: where the highlighted ring lies; `highlighted`: its name, said where the first line names more than one.
    `above`: of the place and its record. `rubbers`: the verdict on those that lie there. `is_new`: nothing was ever
    booked. `demo_is_there`: whether the demo is made; None where this is no demo.
    """
    ranking, decision = result.ranking, result.decision
    wrong = [Content.styled(f"! {line}", "bold $text-error") for line in wrongs(result)]
    picture = [Content.styled(UNTRIED_SHORT, "bold $text-warning")] if result.picture else []
    wrong += picture
    if ranking is None:
        if demo_is_there is not None and not wrong and not above:
            greeting: Sequence[str] = DEMO if demo_is_there else (DEMO_MADE,)
            return [Content.styled("Measure the ring.", "bold"), *map(Content, greeting)]
        if is_new and not wrong and not above:
            return [Content.styled("Measure the ring.", "bold"), *map(Content, NEW_HERE)]
        start = [Content("One reading is enough to start; an ID and a width are better.")] if not wrong else []
        return [Content.styled("Measure the ring.", "bold"), *wrong, *above, *start]
    if ranking.conflict is not None:
        return [Content.styled(f"! {ranking.conflict.words}", "bold $text-error"), *picture, *above]
    to_do = None if decision is None else to_do_of(decision, result.following)
    if decision is not None and to_do is not None and (ranking.found or to_do.settled):
        style = "bold reverse" if to_do.settled else "bold $text-warning"
        here, stake = ([Content(one)] if one is not None else [] for one in (here_of(decision), at_stake_of(decision)))
        names_one = decision.waits is None and decision.best is not None and decision.best.size.label in to_do.words
        lines = [
            Content.styled(f" {to_do.words} ", style),
            *wrong,
            *here,
            *above,
            *_shelf(shelf, result.met, rubbers, "" if names_one else highlighted),
            *stake,
        ]
        return lines + ([Content(result.of_machine)] if result.of_machine else [])
    first, *rest = _none(result, unit)
    return [first, *wrong, *rest, *above, *_shelf(shelf, result.met, rubbers)]


def wrongs(result: MeasureResult) -> list[str]:
    """Each field that can't be used, with its sentence."""
    fields = [(slot.name, note.error) for slot, note in zip(SLOTS, result.notes, strict=True) if note.error]
    return [f"{name}: {error}" for name, error in [*fields, *result.service.wrong]]


def chosen_lines(result: MeasureResult, chosen: Candidate | None, unit: str) -> list[Content]:
    """Of the highlighted size: what it measures, its other names; and how sure the names are."""
    doubt = [] if result.ranking is None or result.ranking.conflict is not None else [Content(result.ranking.doubt)]
    if chosen is None or chosen.size is None:
        return doubt
    also = Content.styled("same ring: " + ", ".join(size.label for size in chosen.also), "dim")
    return [Content(size_both(chosen.size, unit)), *([also] if chosen.also else []), *doubt]


def next_line(result: MeasureResult, width: int) -> Content:
    """What to do next, in one line; empty where nothing would change the ring. What has no room stands under `?`."""
    step = result.following
    if step is None:
        return Content("")
    bare = step._replace(hint="")
    ways = (f"{step.short}.", f"{bare.short}.", f"{bare.to_do}.")
    return Content.assemble(("Next: ", "bold"), next((one for one in ways if len(one) + 6 <= width), ways[-1]))


def _shelf(shelf: str, met: Met | None, rubbers: str, ring: str = "") -> list[Content]:
    if not shelf:
        return []
    judged = RUBBER_NOT_JUDGED if met is None else rubbers or f"{met.judged_for}."
    judged = "" if met is None and shelf == "none" else f". {judged}"
    return [Content.assemble((f"Shelf, {ring}: " if ring else "Shelf: ", "bold"), f"{shelf}{judged}")]


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
