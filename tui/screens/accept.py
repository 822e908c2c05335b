"""What was chosen becomes a need on a job's kit: ask which job, write it, say whether the shelf has it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, NamedTuple

from tui import answers, screens
from tui.answers.kits import Need, NeedAdded, RingsAdded, need_of
from tui.fields.field import Asked
from tui.needing import FIELDS, Needed, read
from tui.operations.registry import operation
from tui.screens.choose_job import ChooseJob, Detail, JobChoice
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from collections.abc import Mapping

    from models.jobs import JobRow
    from tui.screens.area import Area
    from tui.workshop import ChosenRing, Workshop

    Write = Callable[[Workshop, JobRow, JobChoice], tuple[Need, ...]]

# What is asked beside the job, by kind: a judgement knows the class and the grade of a fluid, but not how much.
ASKED: Final = {
    "fluid": (
        Detail("low", "Low mark", width=18),
        Detail("full", "  Full mark", width=18),
    ),
    "fastener": (
        Detail("class", "Thread × length, as on the shelf", width=22, hint="M10 × 1.5 × 30"),
        Detail("grade", "  Grade", width=7, hint="8.8"),
    ),
}


class Added(NamedTuple):
    """What was put on a kit: the job's title and number, the needs."""

    title: str
    job_id: int
    needs: tuple[Need, ...]


async def accept(area: Area, chosen_ring: ChosenRing) -> Added | None:
    """Ask, write, say; gives what was added. Runs in a worker of the area's; Esc in the question changes nothing.

    For a critical place it is asked once more first, with the chance and what may be wrong.
    """
    if chosen_ring.critical:
        question = screens.asking.yes_or_no(
            f"{answers.to_fit.CRITICAL}: {clean(chosen_ring.label)} on a kit?",
            f"{chosen_ring.doubt or answers.to_fit.NOT_JUDGED} {answers.to_fit.MANUAL}",
        )
        if not await area.app.push_screen_wait(question):
            return None

    def write(workshop: Workshop, job: JobRow, choice: JobChoice) -> tuple[Need, ...]:
        return (need_of(workshop.accept(job.job_id, chosen_ring, choice.pieces, choice.spares)),)

    return await _into_a_kit(
        area, chosen_ring.label, lambda jobs: ChooseJob(chosen_ring.label, jobs, machine=chosen_ring.machine), write,
        machine=chosen_ring.machine, machine_id=chosen_ring.machine_id,
    )  # fmt: skip


async def accept_rings(area: Area, rings: tuple[ChosenRing, ...]) -> Added | None:
    """The same for several rings, which go on one kit in one change: so many of each."""
    label = rings[0].label if len(rings) == 1 else f"{len(rings)} rings"
    # One count for all: a ring of which another number is wanted is changed on the kit.
    asked = label if len(rings) == 1 else f"{label}, this count and these spares of each"

    def write(workshop: Workshop, job: JobRow, choice: JobChoice) -> tuple[Need, ...]:
        values = {"job": job, "rings": rings, "count": choice.pieces, "spares": choice.spares}
        answer = operation("ring", "kit").perform(workshop, values)
        assert isinstance(answer, RingsAdded)
        return answer.added

    return await _into_a_kit(area, label, lambda jobs: ChooseJob(asked, jobs), write)


async def accept_need(area: Area, needed: Needed, label: str) -> None:
    """The same for what a judgement asked for; a fluid's marks, or a fastener's class, are asked with the job."""
    asked = Asked(area.kitwright.units)
    known = {"class": needed.spec_class, "grade": needed.spec_grade}
    hints = {one.name: one.hint(asked) for one in FIELDS[needed.kind]}
    details = [
        one._replace(value=known.get(one.key, ""), hint=one.hint or hints[one.key])
        for one in ASKED.get(needed.kind, ())
    ]

    def refuse(typed: Mapping[str, str]) -> tuple[str, str] | None:
        wrong = read(needed.kind, {**known, **typed}, asked)[1]
        return next(iter(wrong.items()), None)

    def write(workshop: Workshop, job: JobRow, choice: JobChoice) -> tuple[Need, ...]:
        told = read(needed.kind, {**known, **choice.details}, asked)[0]
        whole = needed._replace(
            pieces=choice.pieces, spares=choice.spares, spec_class=told.spec_class, spec_grade=told.spec_grade,
            low_ul=told.low_ul, full_ul=told.full_ul,
        )  # fmt: skip
        answer = operation("job", "need").perform(workshop, {"job": job, "needed": whole})
        assert isinstance(answer, NeedAdded)
        return (answer.added,)

    def ask(jobs: tuple[JobRow, ...]) -> ChooseJob:
        return ChooseJob(label, jobs, details=details, refuse=refuse, counted=needed.kind != "fluid", spares=0)

    await _into_a_kit(area, label, ask, write)


def _open(need: Need) -> bool:
    return bool(need.rubber_open)


async def _into_a_kit(
    area: Area,
    label: str,
    question: Callable[[tuple[JobRow, ...]], ChooseJob],
    write: Write,
    *,
    machine: str = "",
    machine_id: int | None = None,
) -> Added | None:
    workshop = area.kitwright.workshop
    jobs = await area.ask(workshop.jobs)
    if jobs is None:
        return None
    if not area.is_current:
        # A slow machine: another screen was opened meanwhile, and a question put over it would take its keys.
        area.say(f"{clean(label)} is on no job: the screen changed first. Ask for it again there.", trouble=True)
        return None
    # The jobs on the thing's own machine first, each group most urgent first.
    jobs = tuple(sorted(jobs, key=lambda job: job.machine_name != machine)) if machine else jobs
    choice = await area.app.push_screen_wait(question(jobs))
    if choice is None:
        return None
    job = choice.job
    if job is None:
        job = await area.ask(workshop.open_job, choice.title, machine_id)
        if job is None:
            return None
    needs = await area.ask(write, workshop, job, choice)
    if needs is None:
        return None
    untold = f" ! {clean(needs[0].rubber_open)}" if needs[0].rubber_open else "."
    what = f"{clean(needs[0].title)} on “{clean(choice.title)}”: {clean(needs[0].standing)}{untold} F9 takes it back."
    if len(needs) == 1 and needs[0].again:
        what = f"{clean(needs[0].again)}. {what}"
    if len(needs) > 1:
        short = sum(one.short > 0 for one in needs)
        there = f"SHORT of {short}" if short else "all are there"
        untold = f" ! Rubber of {opened} not judged: which fluid?" if (opened := sum(map(_open, needs))) else "."
        what = f"{len(needs)} rings on “{clean(choice.title)}”: {there}{untold} F9 takes them back."
    area.say(what, trouble=any(one.short for one in needs))
    area.workshop_changed()
    return Added(choice.title, job.job_id, needs)
