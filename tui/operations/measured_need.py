"""A ring that a job needs, told by readings of the old one: the decision says which ring, and the need keeps it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import catalog
import models
from catalog import orings
from tui import answers
from tui.fields.field import DEFAULT_UNITS, FieldError
from tui.fields.rings import CONDITION, JOINT, MEASURED, TOOL
from tui.operations.asked_ring import WEIGHED, decided, option_of, shelf_at
from tui.operations.at_machine import at_machine
from tui.operations.operation import Bench
from tui.operations.own_book import own_book

if TYPE_CHECKING:
    from catalog.orings.decide import Decision
    from catalog.orings.match import Match
    from catalog.orings.sizes import RingSize
    from models.jobs import JobRow
    from models.kitting.needs import NeedSpec
    from tui.needing import Needed
    from tui.operations.at_machine import AtMachine
    from tui.operations.operation import Values
    from tui.workshop import Workshop

BY_NAME: Final = "leave the readings out to take it all the same"


def is_measured(values: Values, needed: Needed) -> bool:
    """Whether readings tell of the ring. Raises `FieldError` where they can't, or where none goes with a tool."""
    given = [one for one in MEASURED if values.get(one.name)]
    if given and (needed.kind != "ring" or needed.as_fitted):
        raise FieldError("is of a ring that is asked for by size or by readings alone; leave it out", given[0].flag)
    beside = [one for one in (TOOL, CONDITION, JOINT) if values.get(one.name, one.empty) != one.empty]
    if beside and not given:
        raise FieldError("tells of a measured ring; type a reading, such as --id 24.9mm", beside[0].flag)
    return bool(given)


def spec_by_readings(workshop: Workshop, job: JobRow, needed: Needed, values: Values) -> NeedSpec:
    """The need with what the readings decide: the ring that was named, else the one that goes in.

    Raises `FieldError` where no ring is sure to seal, where the one that was named is not one of them, and, in a
    critical place, until the ring is named.
    """
    bench = Bench(DEFAULT_UNITS, workshop.read, place=workshop.place)
    at = _at(workshop, bench, job, needed)
    decision = decided(
        {**values, "series": (), "limit": WEIGHED, "critical": False},
        shelf_at(bench),
        at=at,
        own=own_book(bench),
        suits=(lambda rubber: rubber in needed.rubbers) if needed.rubbers else None,
    )
    if decision.ranking.conflict is not None:
        raise FieldError("these readings can't be of one ring; measure it again", option_of(_furthest(decision)))
    named = None if needed.size_key is None else decision.ranking.posterior.book.by_key(needed.size_key)
    return _taken(decision, needed, _chosen(decision) if named is None else named)


def _at(workshop: Workshop, bench: Bench, job: JobRow, needed: Needed) -> AtMachine | None:
    """What the job's machine, and the position on it, say of the ring; None for a job on the bench."""
    if job.machine_id is None:
        return None
    number = needed.position_id
    place = "" if number is None else workshop.read(lambda session: models.machines.position(session, number)).name
    return at_machine(bench, job.machine_name, place)


def _furthest(decision: Decision) -> str:
    """The reading that goes least with the others, by its name."""
    ranking = decision.ranking
    assert ranking.conflict is not None
    return ranking.evidence.readings[ranking.conflict.at].dimension.value


def _chosen(decision: Decision) -> RingSize:
    """The ring to fit. Raises `FieldError` where none is sure to seal, or the place is critical."""
    best = decision.best
    if best is None:
        raise FieldError("no size in the tables fits these readings; measure again, or name one with --ring", "-")
    called = f"{best.size.label} ({answers.chances.percent(best.chance.seals)})"
    if not decision.settled:
        step = orings.next_step.next_step(decision)
        told = "" if step is None else f" {step.words}"
        why = answers.to_fit.at_stake_of(decision)
        said = f"not sure which ring seals; {answers.to_fit.nearest(decision, best)}.{f' {why}' if why else ''}{told}"
        raise FieldError(f"{said} Or name it with --ring", "-")
    if decision.wanted.critical:
        raise FieldError(
            f"{answers.to_fit.CRITICAL.lower()}: {called} is likeliest to seal; to take it, name it with --ring", "-"
        )
    return best.size


def _taken(decision: Decision, needed: Needed, size: RingSize) -> NeedSpec:
    """The need of this ring with all that the decision says of it. Raises `FieldError` where it would not do."""
    match = _match_of(decision, size)
    # Rings are judged under their leading name.
    taken = orings.would_do.taken_of(decision, size if match is None else match.size)
    if taken.seals is None or not catalog.compare.at_least(taken.seals, orings.would_do.EVEN):
        best = decision.best
        said = "" if best is None else f"; {best.size.label} would ({answers.chances.percent(best.chance.seals)})"
        how = "" if taken.seals is None else f" ({answers.chances.percent(taken.seals)})"
        raise FieldError(f"{size.label} is not likely to seal where this ring was{how}{said}; {BY_NAME}", "--ring")
    names = () if match is None else (match.size, *match.also)
    return needed.spec()._replace(
        size_key=size.key,
        title=needed.title or size.label,
        equivalents=tuple(one.key for one in names if one.key != size.key),
        probability=None if match is None else match.probability,
        why="measured",
        evidence=decision.ranking.evidence,
        seals=taken.seals,
        would_do=taken.others,
        others=models.words.Others.NEVER if decision.wanted.critical else models.words.Others.WOULD_DO,
    )


def _match_of(decision: Decision, size: RingSize) -> Match | None:
    """What the old ring may have been that goes by the name of this size."""
    every = decision.ranking.matches
    return next((one for one in every if size.key in {name.key for name in (one.size, *one.also)}), None)
