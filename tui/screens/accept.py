"""A chosen size becomes a need on a job's kit: ask which job, write it, say whether the shelf has it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.screens.choose_job import ChooseJob
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.kit_view import NeedView
    from tui.screens.area import Area
    from tui.workshop import Wish


def shelf_words(need: NeedView) -> str:
    """A need's lines in one sentence: what is there and where, what is short."""
    have = [f"{line.quantity} in bin {line.bin_code}" for line in need.lines if line.line_id is not None]
    parts = ["have " + ", ".join(have)] if have else []
    if need.missing:
        parts.append(f"SHORT {need.missing}")
    return "; ".join(parts) or "nothing wanted"


async def accept(area: Area, wish: Wish) -> None:
    """Ask, write, say. Runs in a worker of the area's; Esc in the question changes nothing."""
    workshop = area.kitwright.workshop
    jobs = await area.ask(workshop.jobs)
    if jobs is None:
        return
    if not area.is_current:
        # A slow machine: another screen was opened meanwhile, and a question put over it would take its keys.
        area.say(f"{clean(wish.label)} is on no job: the screen changed first. Press Enter again there.", trouble=True)
        return
    # The jobs on the ring's own machine first, each group most urgent first.
    jobs = tuple(sorted(jobs, key=lambda job: job.machine_name != wish.machine)) if wish.machine else jobs
    choice = await area.app.push_screen_wait(ChooseJob(wish.label, jobs))
    if choice is None:
        return
    job_id = choice.job_id
    if job_id is None:
        opened = await area.ask(workshop.open_job, choice.title, wish.machine_id)
        if opened is None:
            return
        job_id = opened.job_id
    need = await area.ask(workshop.accept, job_id, wish, choice.pieces, choice.spares)
    if need is not None:
        area.say(
            f"{clean(wish.label)} on “{clean(choice.title)}”: {clean(shelf_words(need))}. F9 takes it back.",
            trouble=bool(need.missing),
        )
        area.workshop_changed()
