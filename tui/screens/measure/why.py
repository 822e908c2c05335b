"""The reasons behind an answer: every candidate with its probability and how far each reading lies from it."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from tui.answers.chances import short_percent as percent
from tui.answers.reasons import reasons_of
from tui.answers.to_fit import to_fit_of
from tui.screens.ask import Ask
from tui.screens.asking import to_read
from tui.screens.measure.answer import Candidate, candidates
from tui.screens.measure.result import MeasureResult, size_both

SHOWN = 10
"""Rings to fit whose rubbers are told of."""


def why_sheet(result: MeasureResult, chosen: Candidate | None, unit: str, said: Sequence[Content] = ()) -> Ask[None]:
    """One sheet; first all that Measure says (`said`), for which it may have no room."""
    return to_read("Why this answer", Content("\n").join([*said, _words(result, chosen, unit)]), name="why")


def _words(result: MeasureResult, chosen: Candidate | None, unit: str) -> Content:
    ranking = result.ranking
    if ranking is None:
        return Content("Nothing was measured yet.")
    lines = [Content(ranking.doubt)]
    for one in result.decision.to_fit if result.decision is not None else ():
        lines.append(Content(f"{one.size.label} seals in {percent(one.chance.seals)}: {one.why}."))
    if result.met is not None and result.decision is not None:
        lines += [Content(one.words) for one in result.met.verdicts(to_fit_of(result.decision, SHOWN))]
    lines += [
        Content(""),
        Content("Beside each reading: how far it lies from what the size would show, in tolerances."),
        Content("±1.0 is the edge of what the standard allows."),
    ]
    for found in candidates(result):
        lines.append(Content(""))
        lines += _one(found, result, chosen, unit)
    lines += [
        Content(""),
        Content.styled("What it rests on", "bold"),
        *(Content(f"  {one.words}") for one in reasons_of(ranking.because)),
    ]
    if result.following is not None:
        lines += [Content(""), Content.assemble(("Next: ", "bold"), result.following.words)]
    return Content("\n").join(lines)


def _one(found: Candidate, result: MeasureResult, chosen: Candidate | None, unit: str) -> list[Content]:
    mark = "▸ " if chosen is not None and found.title == chosen.title else "  "
    sure = percent(found.probability) if found.probability is not None else "near"
    lines = [Content.assemble(mark, (found.title, "bold"), f"  {sure}")]
    if found.size is None:
        return lines
    lines.append(Content(f"  {size_both(found.size, unit)}"))
    tolerance = f"±{found.size.id_tol_mm:.2f} on the ID, ±{found.size.cross_section_tol_mm:.2f} mm on the width"
    lines.append(Content(f"  as made: {tolerance}"))
    readings = [f"{name} {value:+.1f}" for name, value in zip(result.names, found.residuals, strict=False)]
    if readings:
        lines.append(Content("  " + "   ".join(readings)))
    if found.also:
        lines.append(Content("  same ring: " + ", ".join(size.label for size in found.also)))
    return lines
