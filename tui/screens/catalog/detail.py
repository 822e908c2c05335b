"""A catalog entry in full: dimensions with tolerances in both units, where the row comes from."""

from __future__ import annotations

from textual.content import Content

from tui.screens.catalog.entries import Entry
from tui.widgets.cells import clean


def _with_tolerance(value_mm: float, tolerance_mm: float, unit: str) -> str:
    mm = f"{value_mm:.2f} ±{tolerance_mm:.2f} mm"
    inch = f"{value_mm / 25.4:.3f} ±{tolerance_mm / 25.4:.3f} in"
    return f"{inch} = {mm}" if unit == "in" else f"{mm} = {inch}"


def detail(entry: Entry | None, unit: str) -> Content:
    """A few lines about the highlighted entry."""
    if entry is None:
        return Content("")
    size = entry.size
    published = size.standing == "published"
    standing = "Published table" if published else "! From memory: check against a published table before you buy"
    od_mm = f"{size.od_mm:.2f} mm", f"{size.od_mm / 25.4:.3f} in"
    od = " = ".join(reversed(od_mm) if unit == "in" else od_mm)
    lines = [
        Content.assemble((f" {clean(size.label)} ", "bold reverse"), f"  {clean(entry.title)}"),
        Content.assemble(("ID     ", "bold"), _with_tolerance(size.id_mm, size.id_tol_mm, unit)),
        Content.assemble(("Width  ", "bold"), _with_tolerance(size.cross_section_mm, size.cross_section_tol_mm, unit)),
        Content.assemble(("OD     ", "bold"), od),
        Content.styled(f"{standing}. Source: {clean(size.source)}", "" if published else "$text-warning"),
    ]
    if size.note:
        lines.append(Content.styled(clean(size.note), "dim"))
    return Content("\n").join(lines)
