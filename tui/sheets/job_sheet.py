"""The job sheet: what to pick, what to mind, what to tighten, fill, wait for and measure, with room to write."""

from __future__ import annotations

from fractions import Fraction

from catalog.cautions import DEFERS, TORQUE_DEFERS, Harm, Step, for_step, in_order
from catalog.languages.tongue import ENGLISH, Tongue
from catalog.quantity.display import format_torque, format_volume
from tui.sheets import blocks, layout, pdf, plain
from tui.sheets.blocks import Block, Caution, Column, Facts, Heading, Para, Pictures, Room, Sheet, Table
from tui.sheets.paper import A4, Paper
from tui.sheets.pick_list import pick_blocks, short_blocks
from tui.sheets.records import Cure, JobSheet, Tally

UL_PER_LITRE = 1_000_000
UNREVIEWED = (
    "This translation was not reviewed by a native speaker of the trade. Where it is unclear, the English sheet counts."
)


def as_pdf(job: JobSheet, paper: Paper = A4, say: Tongue = ENGLISH) -> bytes:
    """The job sheet as a PDF. Raises `PrintUnavailableError` without the printing libraries."""
    sheet = sheet_of(job, paper, say)
    return pdf.written(layout.pages(sheet), paper, title=sheet.title)


def as_text(job: JobSheet, say: Tongue = ENGLISH) -> str:
    """The same as plain text."""
    return plain.text_of(sheet_of(job, say=say))


def sheet_of(job: JobSheet, paper: Paper = A4, say: Tongue = ENGLISH) -> Sheet:
    """The job sheet as blocks."""
    facts: list[tuple[str, str | None]] = [
        (say("Machine"), job.machine or say("none: work on the bench")),
        (say("Who"), job.who),
    ]
    if job.machine:
        facts.append((say("Hour meter"), job.hours or None))
    facts.append((say("Written"), job.written_on.isoformat()))
    if job.due_on:
        facts.append((say("Due"), job.due_on.isoformat()))
    if job.shop:
        facts.insert(0, (say("Shop"), job.shop))
    parts = (
        (Facts(tuple(facts)), Para(say(DEFERS), strong=True, boxed=True)),
        () if say.code == ENGLISH.code else (Para(say(UNREVIEWED)),),
        (Heading(say("Pick, bin by bin")), *pick_blocks(job.picks, say), *short_blocks(job.shorts, say)),
        _pictures(job, say),
        _steps(job, say),
        _torques(job, say),
        tuple(block for tally in job.tallies for block in _tally(tally, say)),
        _cures(job, say),
        _again(job, say),
        _costs(job, say),
        (
            Room(40.0),
            Heading(say("Signed off")),
            Facts(((say("Done by"), None), (say("When"), None), (say("Still open"), None))),
        ),
    )
    return Sheet(say("Job sheet"), job.job, say(DEFERS), tuple(block for part in parts for block in part), paper, say)


def _pictures(job: JobSheet, say: Tongue) -> tuple[Block, ...]:
    return (Room(58.0), Heading(say("Pictures")), Pictures(job.pictures)) if job.pictures else ()


def _steps(job: JobSheet, say: Tongue) -> tuple[Block, ...]:
    """The steps with their cautions, each caution said once; then what the needs bring that no step names."""
    said: set[str] = set()
    written = {kind for step in job.steps for kind in step.kinds}
    found: list[Block] = [
        Heading(say("Steps and cautions")),
        Para(say("A line that begins with ! can cost a life.")),
    ]
    found += _under_heading(Step.ANY, said, say)
    for step in job.steps:
        found.append(blocks.Step(step.text))
        for kind in in_order(step.kinds):
            found += _not_yet_said(kind, said, say)
    for kind in in_order(set(job.needed) - written):
        found += _under_heading(kind, said, say)
    return tuple(found)


def _under_heading(kind: Step, said: set[str], say: Tongue) -> list[Block]:
    lines = _not_yet_said(kind, said, say)
    return [Para(say(heading(kind)), strong=True), *lines] if lines else []


def heading(kind: Step) -> str:
    """What stands above the cautions of a kind of step, in English."""
    return f"{kind.words.capitalize()}:" if kind in _NOT_DOING else f"If you {kind.words}:"


def _not_yet_said(kind: Step, said: set[str], say: Tongue) -> list[Caution]:
    fresh = [one for one in for_step(kind) if one.key not in said]
    said.update(one.key for one in fresh)
    return [Caution(say(one.text), one.harm is Harm.LIFE) for one in fresh]


_NOT_DOING = frozenset({Step.ANY, Step.FIRST_RUN})


def _torques(job: JobSheet, say: Tongue) -> tuple[Block, ...]:
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
    columns = (
        Column(say("Where"), 4), Column(say("Torque"), 2.4, strong=True), Column(say("Thread"), 3),
        Column(say("Done, by"), 2),
    )  # fmt: skip
    return (Heading(say("Torques")), Para(say(TORQUE_DEFERS), strong=True), Table(columns, rows, tick=True))


def _tally(tally: Tally, say: Tongue) -> tuple[Block, ...]:
    low, full = _volume(tally.low_ul), _volume(tally.full_ul)
    if tally.low_ul == tally.full_ul:
        marks = say("To the mark: {full}.", full=full)
    else:
        marks = say("Low mark at {low}. Full mark at {full}. Stop between the marks.", low=low, full=full)
    columns = (
        Column(say("Pour"), 1), Column(say("Poured"), 3), Column(say("From pack or lot"), 4),
        Column(say("Total so far"), 3),
    )  # fmt: skip
    rows = tuple((str(number), None, None, None) for number in range(1, tally.pours + 1))
    return (
        Room(52.0 + 6.5 * tally.pours),
        Heading(say("Fluid: {where}", where=tally.where) if tally.where else say("Fluid")),
        Para(f"{tally.fluid}. {marks}"),
        Facts(((say("Drained"), None),)),
        Table(columns, rows),
        Facts(((say("Level at the end"), None),)),
    )


def _volume(microlitres: int) -> str:
    return format_volume(Fraction(microlitres, UL_PER_LITRE))


def _cures(job: JobSheet, say: Tongue) -> tuple[Block, ...]:
    if not job.cures:
        return ()
    found: list[Block] = [Heading(say("Cure before filling"))]
    for cure in job.cures:
        found += [Para(_cure(cure, say), strong=True)]
        if cure.sealed_at is None:
            found.append(Facts(((say("Sealed at"), None), (say("Fill from"), None))))
    return (*found, Para(say("The label's own time comes first. Cold, dry air and a thick bead take longer.")))


def _cure(cure: Cure, say: Tongue) -> str:
    place = f"{cure.product}, {cure.where}" if cure.where else cure.product
    if cure.sealed_at is None or cure.fill_from is None:
        return say("{place}: may be filled {duration} after sealing.", place=place, duration=_duration(cure.minutes))
    return say(
        "{place}: sealed {sealed}, may be filled {filled}.",
        place=place, sealed=f"{cure.sealed_at:%Y-%m-%d %H:%M}", filled=f"{cure.fill_from:%Y-%m-%d %H:%M}",
    )  # fmt: skip


def _duration(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return " ".join(filter(None, [f"{hours} h" if hours else "", f"{rest} min" if rest or not hours else ""]))


def _again(job: JobSheet, say: Tongue) -> tuple[Block, ...]:
    if not job.again:
        return ()
    rows = tuple((one.where, one.what, one.last, None, None) for one in job.again)
    columns = (
        Column(say("Where"), 3.0), Column(say("Measure"), 2.3), Column(say("Last time"), 3.3), Column(say("Now"), 2),
        Column(say("With"), 2),
    )  # fmt: skip
    return (Heading(say("Measure again before closing")), Table(columns, rows, tick=True))


def _costs(job: JobSheet, say: Tongue) -> tuple[Block, ...]:
    if job.costs is None or not job.costs.lines:
        return ()
    rows = tuple((one.quantity, one.item, one.cost, one.source) for one in job.costs.lines)
    columns = (
        Column(say("Quantity"), 1.6), Column(say("Part"), 4), Column(say("Cost"), 2), Column(say("Price from"), 4),
    )  # fmt: skip
    return (
        Heading(say("Cost of parts")),
        Table(columns, rows),
        *(Para(words, strong=True) for words in job.costs.summed),
    )
