"""The job sheet: what to pick, what to mind, what to tighten, fill, wait for and measure, with room to write."""

from __future__ import annotations

from fractions import Fraction

from catalog.cautions import DEFERS, TORQUE_DEFERS, Harm, Step, for_step, in_order
from catalog.quantity.display import format_torque, format_volume
from tui.sheets import blocks, layout, pdf, plain
from tui.sheets.blocks import Block, Caution, Column, Facts, Heading, Para, Room, Sheet, Table
from tui.sheets.paper import A4, Paper
from tui.sheets.pick_list import pick_blocks, short_blocks
from tui.sheets.records import Cure, JobSheet, Tally

UL_PER_LITRE = 1_000_000


def as_pdf(job: JobSheet, paper: Paper = A4) -> bytes:
    """The job sheet as a PDF. Raises `PrintUnavailableError` without the printing libraries."""
    sheet = sheet_of(job, paper)
    return pdf.written(layout.pages(sheet), paper, title=sheet.title)


def as_text(job: JobSheet) -> str:
    """The same as plain text."""
    return plain.text_of(sheet_of(job))


def sheet_of(job: JobSheet, paper: Paper = A4) -> Sheet:
    """The job sheet as blocks."""
    facts = [("Machine", job.machine or "none: work on the bench"), ("Who", job.who)]
    facts.append(("Written", job.written_on.isoformat()))
    if job.due_on:
        facts.append(("Due", job.due_on.isoformat()))
    if job.shop:
        facts.insert(0, ("Shop", job.shop))
    parts = (
        (Facts(tuple(facts)), Para(DEFERS, strong=True, boxed=True)),
        (Heading("Pick, bin by bin"), *pick_blocks(job.picks), *short_blocks(job.shorts)),
        _steps(job),
        _torques(job),
        tuple(block for tally in job.tallies for block in _tally(tally)),
        _cures(job),
        _again(job),
        _costs(job),
        (Room(40.0), Heading("Signed off"), Facts((("Done by", None), ("When", None), ("Still open", None)))),
    )
    return Sheet("Job sheet", job.job, DEFERS, tuple(block for part in parts for block in part), paper)


def _steps(job: JobSheet) -> tuple[Block, ...]:
    """The steps with their cautions, each caution said once; then what the needs bring that no step names."""
    said: set[str] = set()
    written = {kind for step in job.steps for kind in step.kinds}
    found: list[Block] = [Heading("Steps and cautions"), Para("A line that begins with ! can cost a life.")]
    found += _under_heading(Step.ANY, said)
    for step in job.steps:
        found.append(blocks.Step(step.text))
        for kind in in_order(step.kinds):
            found += _not_yet_said(kind, said)
    for kind in in_order(set(job.needed) - written):
        found += _under_heading(kind, said)
    return tuple(found)


def _under_heading(kind: Step, said: set[str]) -> list[Block]:
    lines = _not_yet_said(kind, said)
    heading = f"{kind.words.capitalize()}:" if kind in _NOT_DOING else f"If you {kind.words}:"
    return [Para(heading, strong=True), *lines] if lines else []


def _not_yet_said(kind: Step, said: set[str]) -> list[Caution]:
    fresh = [one for one in for_step(kind) if one.key not in said]
    said.update(one.key for one in fresh)
    return [Caution(one.text, one.harm is Harm.LIFE) for one in fresh]


_NOT_DOING = frozenset({Step.ANY, Step.FIRST_RUN})


def _torques(job: JobSheet) -> tuple[Block, ...]:
    if not job.torques:
        return ()
    rows = tuple(
        (
            "\n".join(filter(None, [one.where, one.bolt])),
            format_torque(one.newton_metres).replace(" (", "\n("),
            "\n".join(filter(None, [one.thread, one.note])),
            None,
        )
        for one in job.torques
    )
    columns = (Column("Where", 4), Column("Torque", 2.4, strong=True), Column("Thread", 3), Column("Done, by", 2))
    return (Heading("Torques"), Para(TORQUE_DEFERS, strong=True), Table(columns, rows, tick=True))


def _tally(tally: Tally) -> tuple[Block, ...]:
    low, full = _volume(tally.low_ul), _volume(tally.full_ul)
    if tally.low_ul == tally.full_ul:
        marks = f"To the mark: {full}."
    else:
        marks = f"Low mark at {low}. Full mark at {full}. Stop between the marks."
    columns = (Column("Pour", 1), Column("Poured", 3), Column("From pack or lot", 4), Column("Total so far", 3))
    rows = tuple((str(number), None, None, None) for number in range(1, tally.pours + 1))
    return (
        Room(52.0 + 6.5 * tally.pours),
        Heading(f"Fluid: {tally.where}" if tally.where else "Fluid"),
        Para(f"{tally.fluid}. {marks}"),
        Facts((("Drained", None),)),
        Table(columns, rows),
        Facts((("Level at the end", None),)),
    )


def _volume(microlitres: int) -> str:
    return format_volume(Fraction(microlitres, UL_PER_LITRE))


def _cures(job: JobSheet) -> tuple[Block, ...]:
    if not job.cures:
        return ()
    found: list[Block] = [Heading("Cure before filling")]
    for cure in job.cures:
        found += [Para(_cure(cure), strong=True)]
        if cure.sealed_at is None:
            found.append(Facts((("Sealed at", None), ("Fill from", None))))
    return (*found, Para("The label's own time comes first. Cold, dry air and a thick bead take longer."))


def _cure(cure: Cure) -> str:
    place = f"{cure.product}, {cure.where}" if cure.where else cure.product
    if cure.sealed_at is None or cure.fill_from is None:
        return f"{place}: may be filled {_duration(cure.minutes)} after sealing."
    return f"{place}: sealed {cure.sealed_at:%Y-%m-%d %H:%M}, may be filled {cure.fill_from:%Y-%m-%d %H:%M}."


def _duration(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return " ".join(filter(None, [f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else ""]))


def _again(job: JobSheet) -> tuple[Block, ...]:
    if not job.again:
        return ()
    rows = tuple((one.where, one.what, one.last, None, None) for one in job.again)
    columns = (
        Column("Where", 3.0), Column("Measure", 2.3), Column("Last time", 3.3), Column("Now", 2), Column("With", 2),
    )  # fmt: skip
    return (Heading("Measure again before closing"), Table(columns, rows, tick=True))


def _costs(job: JobSheet) -> tuple[Block, ...]:
    if job.costs is None or not job.costs.lines:
        return ()
    rows = tuple((one.quantity, one.item, one.cost, one.source) for one in job.costs.lines)
    columns = (Column("Quantity", 1.6), Column("Part", 4), Column("Cost", 2), Column("Price from", 4))
    return (
        Heading("Cost of parts"),
        Table(columns, rows),
        *(Para(words, strong=True) for words in job.costs.summed),
    )
