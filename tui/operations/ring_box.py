"""Many measured rings asked about together: each answered as by itself, worked out as arrays where numpy is there."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from typing import TYPE_CHECKING, Final, NamedTuple

from catalog import orings
from tui.answers.ring import ring_answer
from tui.answers.ring_batch import names_answer
from tui.fields.field import FieldError
from tui.operations.asked_ring import asked_once, decided_of, evidence_of, met_by, ranked, weighed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from catalog.orings.decide import Decision
    from catalog.orings.evidence import Evidence
    from catalog.orings.match import Ranking
    from catalog.orings.next_step import NextStep
    from catalog.orings.size_book import SizeBook
    from tui.answers.ring import BatchRow, RingAnswer
    from tui.answers.ring_batch import RingNames
    from tui.operations.asked_ring import Shelf
    from tui.operations.operation import Bench, Values

FEW: Final = 32
"""Fewer rings than this are answered before numpy is loaded (0.1 s)."""
SURE_TO: Final = 1e-10
"""The arrays' probabilities are those of a single ring to better than this (`tests/catalog/test_box.py`)."""


class Row(NamedTuple):
    """A ring of a box: what its row says, the unit it is in, where it stands, and what was measured, where that is
    worked out already.
    """

    values: Values
    unit: str
    row: BatchRow
    evidence: Evidence | None = None


def answers_of(rows: Sequence[Row], bench: Bench, seen: Shelf, own: SizeBook) -> Iterator[RingAnswer | FieldError]:
    """Each row's answer in their order, or what is wrong with it; to the letter what it would be by itself."""
    boxed: Sequence[RingAnswer | None] = [None] * len(rows)
    if len(rows) >= FEW and has_arrays():
        boxed = _together(rows, bench, seen, own)
    for row, answer in zip(rows, boxed, strict=True):
        if answer is not None:
            yield answer
            continue
        try:
            yield asked_once(row.values, bench, seen, unit=row.unit, row=row.row, own=own)
        except FieldError as problem:
            yield problem


def names_of(rows: Sequence[Row], own: SizeBook) -> Iterator[RingNames | FieldError]:
    """The sizes that each row's ring can be, in their order, or what is wrong with it; the same as by itself."""
    boxed: dict[int, RingNames] = {}
    if len(rows) >= FEW and has_arrays():
        boxed = dict(_names_together(rows, own))
    for at, row in enumerate(rows):
        if at in boxed:
            yield boxed[at]
            continue
        try:
            ranking = ranked(row.values, own=own)
        except FieldError as problem:
            yield problem
            continue
        sizes = [(one.size, one.probability) for one in ranking.matches[: row.values["limit"]]]
        clash = ranking.conflict
        yield names_answer(row.row, sizes, ranking.none_probability, None if clash is None else clash.words)


def _names_together(rows: Sequence[Row], own: SizeBook) -> Iterator[tuple[int, RingNames]]:
    evidences = _evidences(rows)
    places = list(evidences)
    for named in orings.box.names.names(list(evidences.values()), own=own)[0]:
        sizes, shares, none = named.size.tolist(), named.probability.tolist(), named.none.tolist()
        alone = orings.box.rankings.has_equals(named) | orings.box.rankings.on_an_edge(named, (1e6, 1e4), SURE_TO)
        by_itself = alone.tolist()
        for nth, (place, part) in enumerate(orings.box.names.by_ring(named)):
            if by_itself[nth]:
                continue
            at = places[place]
            row = rows[at]
            last = min(part.stop, part.start + row.values["limit"])
            found = zip([own.sizes[one] for one in sizes[part.start : last]], shares[part.start : last], strict=True)
            yield at, names_answer(row.row, found, none[nth])


@cache
def has_arrays() -> bool:
    """Whether numpy is there: it is an extra's."""
    return find_spec("numpy") is not None


def _together(rows: Sequence[Row], bench: Bench, seen: Shelf, own: SizeBook) -> list[RingAnswer | None]:
    """The answers of those rows that arrays can answer; None for the others, and for those that can't be answered."""
    found: list[RingAnswer | None] = [None] * len(rows)
    decisions: dict[int, Decision] = {}
    for at, ranking in _rankings(rows, own):
        values = rows[at].values
        met = met_by(values)
        decisions[at] = decided_of(ranking, values, seen, suits=None if met is None else met.suits)
    steps = orings.box.next_steps.next_steps(list(decisions.values()))
    for (at, decision), following in zip(decisions.items(), steps, strict=True):
        row = rows[at]
        if not _on_an_edge(decision, following, row.values["limit"]):
            found[at] = ring_answer(
                decision,
                following,
                row.unit,
                limit=row.values["limit"],
                row=row.row,
                met=met_by(row.values),
            )
    return found


def _evidences(rows: Sequence[Row]) -> dict[int, Evidence]:
    """What was measured of those rows that arrays may answer."""
    evidences = {}
    for at, row in enumerate(rows):
        try:
            evidence = None if row.values["series"] else row.evidence or evidence_of(row.values)
        except FieldError:
            continue
        if evidence is not None:
            evidences[at] = evidence
    return evidences


def _rankings(rows: Sequence[Row], own: SizeBook) -> Iterator[tuple[int, Ranking]]:
    evidences = _evidences(rows)
    if not evidences:
        return
    limit = max(weighed(rows[at].values) for at in evidences)
    found = orings.box.rankings.rankings(list(evidences.values()), own=own, limit=limit)
    for at, ranking in zip(evidences, found, strict=True):
        if ranking is not None:
            yield at, ranking


def _on_an_edge(decision: Decision, following: NextStep | None, limit: int) -> bool:
    """Whether a last digit that is said might be another by itself: then it is asked about by itself."""
    ranking = decision.ranking
    shares = [ranking.none_probability, *(one.probability for one in ranking.matches[:limit])]
    said = [share for one in decision.to_fit for share in (one.chance.seals, one.chance.marginal)]
    if following is not None:
        said += (following.now, following.then)
    return any(_is_near_half(one, 1e6) for one in shares) or any(
        _is_near_half(one, 1e4) or _is_near_half(one, 1e2) for one in (*shares, *said)
    )


def _is_near_half(share: float, parts: float) -> bool:
    """Whether a share of 1, rounded to so many parts, lies where rounding turns."""
    return abs(share * parts % 1.0 - 0.5) < SURE_TO * parts
