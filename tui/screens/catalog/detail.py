"""A row of the Catalog in full: figures in both units, where they come from, how far they can be trusted."""

from __future__ import annotations

from textual.content import Content

from catalog.standing import Standing
from tui.screens.catalog.entries import Entry
from tui.screens.catalog.reference import Entry as Reference
from tui.screens.catalog.reference import Fact, is_memory
from tui.widgets.cells import clean


def _with_tolerance(value_mm: float, tolerance_mm: float, unit: str) -> str:
    mm = f"{value_mm:.2f} ±{tolerance_mm:.2f} mm"
    inch = f"{value_mm / 25.4:.3f} ±{tolerance_mm / 25.4:.3f} in"
    return f"{inch} = {mm}" if unit == "in" else f"{mm} = {inch}"


def ring(entry: Entry | None, unit: str) -> Content:
    """A few lines about the highlighted size."""
    if entry is None:
        return Content("")
    size = entry.size
    sure = size.standing in (Standing.PUBLISHED, Standing.CHECKED, Standing.SHOP)
    standing = f"{size.standing.words[0].upper()}{size.standing.words[1:]}"
    source = f". Source: {clean(size.source)}" if size.standing is not Standing.MEMORY else ""
    if not sure:
        standing = "! Unchecked row: compare with a published table first"
    od_mm = f"{size.od_mm:.2f} mm", f"{size.od_mm / 25.4:.3f} in"
    od = " = ".join(reversed(od_mm) if unit == "in" else od_mm)
    lines = [
        Content.assemble((f" {clean(size.label)} ", "bold reverse"), f"  {clean(entry.title)}"),
        Content.assemble(("ID     ", "bold"), _with_tolerance(size.id_mm, size.id_tol_mm, unit)),
        Content.assemble(("Width  ", "bold"), _with_tolerance(size.cross_section_mm, size.cross_section_tol_mm, unit)),
        Content.assemble(("OD     ", "bold"), od),
        Content.styled(f"{standing}{source}", "" if sure else "$text-warning"),
    ]
    if size.note:
        lines.append(Content.styled(clean(size.note), "dim"))
    return Content("\n").join(lines)


def reference(entry: Reference | None, unit: str) -> Content:
    """A few lines about the highlighted row, each with its source and standing."""
    if entry is None:
        return Content("")
    lines = [Content.assemble((f" {clean(entry.name)} ", "bold reverse"), f"  {clean(entry.family)}")]
    if not any(entry.figures in fact.sentence for fact in entry.facts):
        lines.append(Content(clean(entry.figures)))
    lines += [_fact(fact, named=fact.name != entry.name) for fact in entry.facts]
    return Content("\n").join(lines)


def _fact(fact: Fact, *, named: bool) -> Content:
    lead = (f"{clean(fact.name[:1].upper() + fact.name[1:])}: ", "bold") if named else ("", "")
    memory = is_memory(fact.standing)
    said = ": ".join(part for part in (fact.standing_words, fact.own_source) if part)
    end = (f" [{'! ' if memory else ''}{clean(said)}]", "$text-warning" if memory else "dim")
    return Content.assemble(lead, clean(fact.sentence), end)
