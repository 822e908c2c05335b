"""The list of sizes on Measure: what seals, and what the old ring may have been."""

from __future__ import annotations

from tui.answers.chances import short_percent as percent
from tui.screens.measure.answer import Candidate
from tui.widgets.rows import Column, Row


def columns(unit: str) -> list[Column]:
    """Its headings in the session's unit."""
    return [
        Column("Size", 12, grow=True),
        Column(f"ID × width {unit}", 13 + (unit == "in"), right=True, yields=1),
        Column("Seals", 5, right=True),
        Column("Was", 5, right=True),
    ]


def row(found: Candidate, unit: str) -> Row:
    """A size's row."""
    size = found.size
    dims = ""
    if size is not None:
        inch = unit == "in"
        dims = (
            f"{size.id_mm / 25.4:.3f} × {size.cross_section_mm / 25.4:.3f}"
            if inch
            else f"{size.id_mm:.2f} × {size.cross_section_mm:.2f}"
        )
    names = len(found.also)
    title = found.title + (f" +{names} name{'s' if names > 1 else ''}" if names else "")
    seals = percent(found.seals).replace(" ", "") if found.seals is not None else ""
    sure = percent(found.probability).replace(" ", "") if found.probability is not None else "near"
    return Row((title, dims, seals, sure), "" if size is not None and found.probability is not None else "dim")
