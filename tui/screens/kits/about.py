"""What Kits says of the highlighted job: how its kit stands, when it is due, and what of each need is there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from textual.content import Content

from tui.answers.jobs import Job, fields_of
from tui.screens.kits.lines import amount
from tui.widgets.answer_band import Tone, chip
from tui.widgets.cells import clean
from tui.widgets.kit_strip import Part, strip_line, strip_lines

if TYPE_CHECKING:
    from datetime import date

    from models.jobs import JobRow
    from models.kitting.kit_view import KitView

STRIP: Final = 40
"""Cells of the strip in the answer."""
STATES: Final = {
    "draft": ("NOT LOOKED YET", Tone.DOUBT),
    "ready": ("READY", Tone.GOOD),
    "picked": ("PICKED", Tone.GOOD),
    "done": ("DONE", Tone.GOOD),
}


def parts_of(kit: KitView) -> list[Part]:
    """Each need as a part of the strip."""
    return [
        Part(one.title, one.wanted, max(0, one.wanted - one.missing), max(0, one.missing - one.short))
        for one in kit.needs
    ]


def answer(job: JobRow | None, kit: KitView | None, today: date, *, plain: bool) -> list[Content]:
    """The kit's state and the job with its day; then all needs as a strip. `kit`: the job's, once it is read."""
    if job is None:
        return []
    read = kit if kit is not None and kit.job_id == job.job_id else None
    short = sum(bool(one.short) for one in read.needs) if read is not None else 0
    state = str(job.state if read is None else read.state)
    if state == "draft" and read is not None and not read.needs:
        word, tone = "NO NEEDS YET", Tone.PLAIN
    else:
        word, tone = STATES.get(state, (f"SHORT {short}" if short else "SHORT", Tone.DOUBT))
    late = job.due_on is not None and job.due_on < today and state != "done"
    overdue = Content.assemble(" ", chip("OVERDUE", Tone.BAD)) if late else ""
    lines = [Content.assemble(chip(word, tone), overdue, f" {clean(Job(**fields_of(job)).named)}")]
    if read is not None and read.needs:
        there = sum(not one.missing for one in read.needs)
        told = f"{there} of {len(read.needs)} need{'s' * (len(read.needs) != 1)} there"
        lines.append(Content(f"{strip_line(parts_of(read), STRIP, plain=plain)} {told}"))
    return lines


def drawing(kit: KitView | None, columns: int, rows: int, *, plain: bool) -> list[str]:
    """A line a need."""
    if kit is None:
        return []
    needs = kit.needs
    return strip_lines(
        parts_of(kit), columns, rows, lambda at, quantity: amount(quantity, needs[at].counted_in), plain=plain
    )
