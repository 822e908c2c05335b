"""A ring in a groove in words, figures and data for the drawing: what the screen shows of one line of its list."""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING

from textual.content import Content

from catalog import orings
from catalog.orings.groove import GrooveKind
from catalog.orings.measured_groove import SOURCE
from tui.answers.chances import short_percent as percent
from tui.answers.groove import UNJUDGED, VERDICTS, back_ups_of, criterion_of, margin_words
from tui.screens.groove.reading import Judged, Line
from tui.screens.judge.ruling import Line as Criterion
from tui.screens.judge.ruling import Ruling
from tui.screens.measure.result import size_both
from tui.widgets.groove.figure_bars import FigureBar
from tui.widgets.groove.groove_picture import Section
from tui.widgets.judge.marks import Mark
from tui.widgets.pictures import number

if TYPE_CHECKING:
    from catalog.orings.gland import Sealing
    from catalog.orings.play import Guide
    from catalog.orings.verdict import Verdict

CAUTION = "Relieve the pressure before you open a joint. The machine's manual has the last word on its rings."
NAMES = {
    "squeeze": "squeeze",
    "squeeze_mm": "least squeeze",
    "stretch": "stretch",
    "width_loss": "width lost",
    "od_compression": "OD held in",
    "fill": "fill",
    "entry": "going in",
    "service_squeeze": "squeeze in service",
    "service_fill": "fill in service",
    "extrusion": "gap and pressure",
}
SEAT = {GrooveKind.FACE_INSIDE: "outer", GrooveKind.FACE_OUTSIDE: "inner"}


def mark(verdict: Verdict) -> Mark:
    """The sign of a verdict."""
    return {"seals": Mark.GOOD, "marginal": Mark.CARE, "will not": Mark.BAD}[verdict.value]


def words(verdict: Verdict) -> str:
    """A verdict as the list says it."""
    return {"seals": "seals", "marginal": "marginal", "will not": "will not"}[verdict.value]


def short(verdict: Verdict, *, plain: bool) -> str:
    """Sign and word."""
    return f"{mark(verdict).glyph(plain=plain)} {words(verdict)}"


def guide(judged: Judged, sealing: Sealing) -> Guide:
    """How the part lies, which play would turn the verdict, and the room for back-up rings: some milliseconds."""
    return orings.play.guide_of(sealing.groove, sealing, judged.service)


def answer(
    judged: Judged, chosen: Line | None, shelf: str, why: str, known: Guide | None, unit: str, *, plain: bool
) -> Content:
    """A few lines for the top: the ring and whether it seals, how sure, its size, where it lies, what decided."""
    if chosen is None:
        if judged.groove is None:
            return Content.assemble(("Measure the groove.", "bold"), f"\n{judged.missing}")
        return Content.assemble(
            ("No standard ring seals in this groove.", "bold"), "\nMeasure it again, or have one cut from cord."
        )
    sealing = chosen.sealing
    lines = []
    if sealing is not None:
        sign = mark(sealing.verdict)
        here = " here" if sign is Mark.GOOD else ""
        verdict = f"{sign.glyph(plain=plain)} {words(sealing.verdict)}{here}"
        lines.append(
            Content.assemble(
                (f" {chosen.ring.label} ", "bold reverse"), " ", (verdict, f"bold {sign.style}"),
                f" margin {sealing.margin:.2f}",
            )
        )  # fmt: skip
    else:
        lines.append(Content.assemble((f" {chosen.ring.label} ", "bold reverse")))
    if chosen.by_readings is not None:
        text = f"Readings {percent(chosen.by_readings)}"
        if chosen.with_groove is not None:
            text += f", with groove {percent(chosen.with_groove)}"
        lines.append(Content.styled(text, "bold"))
    if sealing is not None and (unjudged := play_unknown(judged, sealing)):
        lines.append(Content.styled(f"? {unjudged}", "bold $text-warning"))
    if sealing is not None and (lies := _lies(sealing, known, unit)):
        lines.append(lies)
    lines.append(Content(size_both(chosen.ring, unit)))
    if chosen.also:
        lines.append(Content.styled("same ring: " + ", ".join(size.label for size in chosen.also), "dim"))
    if shelf:
        lines.append(Content.assemble(("Shelf: ", "bold"), shelf))
    if why:
        lines.append(Content.styled(why, "bold $text-warning"))
    elif judged.groove is None:
        lines.append(Content(judged.missing))
    elif judged.told:
        lines.append(Content(judged.told))
    elif sealing is not None:
        lines.append(Content(sealing.reasons[0].text))
    return Content("\n").join(lines)


def play_unknown(judged: Judged, sealing: Sealing) -> str:
    """What is not judged under pressure because nobody measured the play; "" where nothing is left open."""
    under_pressure = judged.service is not None and judged.service.pressure_bar is not None
    if not under_pressure or sealing.groove.clearance is not None:
        return ""
    return "Not judged under pressure: measure the clearance."


def _lies(sealing: Sealing, known: Guide | None, unit: str) -> Content | None:
    """How the part was taken to lie, and where the play is unknown which play turns the verdict."""
    pushed = sealing.groove.pushed_mm
    match sealing.groove.guiding:
        case orings.groove.Guiding.UNKNOWN:
            turns = known.turns if known is not None else ()
            # Rounded down: up to the play that is shown the better verdict holds.
            said = ", ".join(f"over {_down(one.play_mm, unit)} {words(one.verdict)}" for one in turns)
            return Content.styled(f"Play unknown, taken as centred{'; ' + said if said else ''}.", "bold $text-warning")
        case orings.groove.Guiding.CENTRED:
            return Content("Guided centred, as you said.")
        case _ if pushed > 0:
            return Content(f"Pushed over by {pushed / 2:.3g} mm, half the play.")
    return None


def bars(sealing: Sealing, *, plain: bool) -> list[FigureBar]:
    """The figures that are judged, each against its band."""
    groove, ring, fitted = sealing.groove, sealing.ring, sealing.fitted
    verdicts = {reason.about: reason.verdict for reason in reversed(sealing.reasons)}
    figures = [
        ("squeeze", fitted.squeeze, orings.limits.squeeze_rule(groove.kind, groove.motion, ring.cross_section_mm))
    ]
    if fitted.stretch is not None and "stretch" in verdicts:
        figures.append(("stretch", fitted.stretch, orings.limits.stretch_rule(groove.kind, ring.id_mm)))
    if fitted.od_compression is not None:
        figures.append(("od_compression", fitted.od_compression, orings.limits.compression_rule(ring.od_mm)))
    if fitted.fill is not None:
        figures.append(("fill", fitted.fill, orings.limits.FILL))
    found = []
    for about, value, rule in figures:
        sign = mark(verdicts[about])
        word = {Mark.GOOD: "ok", Mark.CARE: "care"}.get(sign, "NO")
        name = "OD held" if about == "od_compression" else about
        found.append(
            FigureBar(name, *value, rule.worst, rule.usual, sign.glyph(plain=plain), word, sign.style)
        )  # fmt: skip
    return found


def section(sealing: Sealing, unit: str) -> Section:
    """What the drawing shows of a ring in its groove."""
    groove, fitted = sealing.groove, sealing.fitted
    closed = f"squeezed {fitted.squeeze.nominal:.0f} %"
    if fitted.fill is not None:
        closed += f", fill {fitted.fill.nominal:.0f} %"
    return Section(
        ring=sealing.ring.cross_section_mm,
        stretched=fitted.section_mm.nominal,
        depth=fitted.depth_mm.nominal,
        width=None if groove.width is None else groove.width.nominal,
        chamfer=None if groove.chamfer is None else groove.chamfer.nominal,
        gap=groove.clearance or 0.0,
        seat=SEAT.get(groove.kind, "middle"),
        down=groove.kind is GrooveKind.ROD,
        free_words=f"ring {number(sealing.ring.cross_section_mm, unit)} {unit}",
        closed_words=closed,
    )


def _down(mm: float, unit: str) -> str:
    value, steps = (mm / 25.4, 1000) if unit == "in" else (mm, 100)
    return f"{floor(value * steps + 1e-6) / steps:.{3 if unit == 'in' else 2}f} {unit}"


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def ruling(judged: Judged, chosen: Line) -> Ruling:
    """Every reason with its source, for the sheet of reasons."""
    sealing = chosen.sealing
    says = [f"{chosen.ring.label}: {size_both(chosen.ring, 'mm')}."]
    if chosen.by_readings is not None and chosen.with_groove is not None:
        says.append(f"By readings {percent(chosen.by_readings)}, with the groove {percent(chosen.with_groove)}.")
    if judged.told:
        says.append(judged.told)
    if sealing is None:
        return Ruling(Mark.NOTE, "", (*says, judged.missing), caution=CAUTION)
    says.append(margin_words(sealing.margin))
    lines = [
        Criterion(
            *(mark(one.verdict), one.verdict.value, NAMES.get(one.about, one.about), one.text),
            criterion_of(one).sourced,
        )
        for one in sealing.reasons
    ]
    groove = sealing.groove
    if groove.source != SOURCE:
        lines.append(Criterion(Mark.NOTE, "standard", "groove", f"{groove.label}.", groove.source))
    if unjudged := play_unknown(judged, sealing):
        says.insert(0, unjudged)
        text = f"Measure the clearance on diameter: {UNJUDGED}"
        lines.append(Criterion(Mark.MEASURE, "measure", "gap and pressure", text))
    told = guide(judged, sealing)
    if told.words:
        says.insert(0, told.words)
    if told.turns:
        text = f"Measure the play on diameter: {orings.play.turning_words(told.turns)}."
        lines.append(Criterion(Mark.MEASURE, "measure", "play", text))
    if (found := back_ups_of(told.back_ups)) is not None:
        lines.append(Criterion(Mark.NOTE, "back-up", "back-up rings", f"{_sentence(found.words)}.", found.sourced))
    return Ruling(
        mark(sealing.verdict), f"{VERDICTS[sealing.verdict.value]} here", tuple(says), tuple(lines), caution=CAUTION
    )
