"""The answer about a groove as plain text: the verdict first, then the figures, then why."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from catalog.orings.candidates import Interchange
from catalog.orings.figures import Figures
from catalog.orings.gland import Sealing
from catalog.orings.groove import GrooveKind
from catalog.orings.groove_reading import GrooveReading, GrooveTool
from catalog.orings.joint import JointRanking
from catalog.orings.play import Guide
from catalog.orings.sizes import MM_PER_INCH
from catalog.orings.span import Range
from catalog.orings.verdict import Reason, Verdict
from catalog.quantity import both_units
from catalog.standing import Standing
from tui.commands.groove_identity import identity_lines
from tui.commands.groove_input import Read
from tui.commands.judging import ADVICE, cautions, said_length
from tui.commands.output import table
from tui.commands.ring_text import FROM_MEMORY, dimensions

_INNER = {
    GrooveKind.PISTON: "groove root",
    GrooveKind.ROD: "rod",
    GrooveKind.FACE_OUTSIDE: "groove ID",
    GrooveKind.PORT: "neck",
}
_OUTER = {
    GrooveKind.PISTON: "bore",
    GrooveKind.ROD: "groove bottom",
    GrooveKind.FACE_INSIDE: "groove OD",
    GrooveKind.PORT: "mouth of the chamfer",
}
_NOTHING = "No standard ring seals in this groove. Measure it again, or have one cut from cord."


def groove_lines(
    read: Read,
    found: Interchange | None,
    known: JointRanking | None,
    rings: Sequence[Sealing],
    guide: Guide,
    to_measure: Sequence[str],
    shelf: Collection[str] | None,
    limit: int,
    unit: str,
) -> list[str]:
    """The whole answer, line by line."""
    lines = _judged(found, shelf, limit, unit) if found else _ranked(rings, shelf, limit, unit)
    if known is not None:
        lines += ["", "The ring that was measured:", *identity_lines(known, limit, unit)]
    if guide.back_ups is not None:
        where = f" [{guide.back_ups.source}; {guide.back_ups.standing.words}]"
        lines += ["", f"Back-up rings: {guide.back_ups.words}{where}."]
    lines += ["", f"Understood: {said_groove(read, unit)}."]
    lines += [guide.words] if guide.words else []
    lines += [f"Measure this before you trust it: {what}" for what in to_measure]
    return [*lines, *cautions("relieve", "no-hand"), ADVICE]


def said_groove(read: Read, unit: str) -> str:
    """The groove in words and both units, each reading with the ± it was taken with."""
    groove = read.groove
    parts = [f"{groove.kind.value.replace('_', '-')} groove, {groove.motion.value}"]
    by_name = {one.name: one for one in read.readings}
    for name, value, names in (
        (_INNER.get(groove.kind, ""), groove.inner, ("root", "rod", "neck", "groove_diameter")),
        (_OUTER.get(groove.kind, ""), groove.outer, ("bore", "groove_diameter", "mouth")),
        ("depth with clearance", groove.depth, ("depth",)),
        ("width", groove.width, ("width",)),
    ):
        if value is not None:
            reading = next((by_name[one] for one in names if one in by_name), None)
            parts.append(f"{name} {_said(reading, value, unit)}")
    if groove.chamfer is not None:
        parts.append(f"chamfer {groove.chamfer.nominal:g}° from the axis")
    if groove.clearance:
        parts.append(f"gap on diameter {both_units(groove.clearance, first=unit)}")
    if groove.play:
        parts.append(f"play on diameter {both_units(groove.play, first=unit)}")
    if groove.source != "measured":
        parts.append(f"from {groove.label} [{groove.source}]")
    return "; ".join(parts)


def _said(reading: GrooveReading | None, value: Range, unit: str) -> str:
    """A reading with its ± and where the ± is from; a table's dimension with its printed limits."""
    if reading is None:
        return said_length(value, unit)
    whose = "" if reading.tool is GrooveTool.STATED else f" ({reading.tool})"
    if not reading.plus_minus_mm:
        return f"{both_units(reading.value_mm, first=unit)}, exact"
    return f"{both_units(reading.value_mm, first=unit)} ± {reading.plus_minus_mm:.2g} mm{whose}"


def _judged(found: Interchange, shelf: Collection[str] | None, limit: int, unit: str) -> list[str]:
    own = found.ring
    memory = f" [{FROM_MEMORY}]" if own.ring.standing is Standing.MEMORY else ""
    lines = [
        f"{own.ring.label}: {_verdict(own.verdict)} ({dimensions(own.ring, unit)}){memory}",
        _margin(own.margin),
        "",
        *_figures(own.fitted, "as fitted"),
    ]
    if own.served is not None:
        lines += ["", *_figures(own.served, "in service")]
    lines += ["", "Why:"]
    lines += [f"  {reason.verdict.value}: {reason.text} [{reason.source}{_standing(reason)}]" for reason in own.reasons]
    lines.append("")
    if found.seals:
        lines += [f"Also seals here{_cut(found.seals, limit)}:", *_table(found.seals[:limit], shelf)]
    else:
        lines.append("No other standard size seals here.")
    if found.look_alikes:
        lines += ["", f"Near in size, but not to be trusted here{_cut(found.look_alikes, limit)}:"]
        for one in found.look_alikes[:limit]:
            lines.append(f"  {one.sealing.ring.label}: {_verdict(one.sealing.verdict)}. {one.why.text}")
    return lines


def _ranked(rings: Sequence[Sealing], shelf: Collection[str] | None, limit: int, unit: str) -> list[str]:
    if not rings:
        return [_NOTHING]
    best = rings[0]
    lines = [f"{best.ring.label}: {_verdict(best.verdict)} ({dimensions(best.ring, unit)})", _margin(best.margin), ""]
    order = "what is on the shelf first, then " if shelf is not None else ""
    lines.append(f"Rings for this groove, {order}most margin in the worst case first{_cut(rings, limit)}:")
    return lines + _table(rings[:limit], shelf)


def _standing(reason: Reason) -> str:
    """The standing, where the source does not say it itself."""
    words = reason.standing.words
    return "" if words == reason.source else f"; {words}"


def _verdict(verdict: Verdict) -> str:
    return {Verdict.SEALS: "seals", Verdict.MARGINAL: "marginal", Verdict.WILL_NOT: "will not seal"}[verdict]


def _margin(margin: float) -> str:
    return f"Margin in the worst case: {margin:.2f} (1 is mid-band, 0 is at a limit, below 0 is past it)."


def _cut(items: Sequence[object], limit: int) -> str:
    return f" ({limit} of {len(items)})" if len(items) > limit else ""


def _figures(figures: Figures, when: str) -> list[str]:
    percents: list[tuple[str, Range | None]] = [
        ("squeeze %", figures.squeeze),
        ("stretch %", figures.stretch),
        ("OD held in %", figures.od_compression),
        ("width lost to stretch %", figures.width_loss),
        ("fill %", figures.fill),
    ]
    lengths = [("squeeze", figures.squeeze_mm), ("width after stretch", figures.section_mm)]
    lengths.append(("gap it lies in", figures.depth_mm))
    rows = [(name, *(f"{one:.1f}" for one in value)) for name, value in percents if value is not None]
    rows += [(f"{name} mm", *(f"{one:.3f}" for one in value)) for name, value in lengths]
    rows += [(f"{name} in", *(f"{one / MM_PER_INCH:.4f}" for one in value)) for name, value in lengths]
    return table((when, "least", "nominal", "most"), rows, right=(1, 2, 3))


def _table(rings: Sequence[Sealing], shelf: Collection[str] | None) -> list[str]:
    rows = [
        (
            one.ring.label,
            _verdict(one.verdict),
            f"{one.margin:.2f}",
            f"{one.squeeze.minimum:.0f}/{one.squeeze.nominal:.0f}/{one.squeeze.maximum:.0f}",
            "" if one.stretch is None else f"{one.stretch.nominal:.1f}",
            "" if one.fill is None else f"{one.fill.maximum:.0f}",
            f"{one.ring.id_mm:.2f} × {one.ring.cross_section_mm:.2f}",
            f"{one.ring.id_mm / MM_PER_INCH:.3f} × {one.ring.cross_section_mm / MM_PER_INCH:.3f}",
            "; ".join(
                [
                    *(["on the shelf"] if shelf is not None and one.ring.key in shelf else []),
                    *([FROM_MEMORY] if one.ring.standing is Standing.MEMORY else []),
                ]
            ),
        )
        for one in rings
    ]
    header = ("size", "here", "margin", "squeeze %", "stretch %", "most fill %", "ID × width mm", "in", "")
    return table(header, rows, right=(2, 3, 4, 5))
