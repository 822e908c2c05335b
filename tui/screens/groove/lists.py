"""The groove screen's three lists: what was measured, what seals here, what may stand in. Their rows and columns."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from tui.answers.chances import short_percent as percent
from tui.keys import key
from tui.screens.groove.answer import short
from tui.screens.groove.reading import Judged, Line
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from catalog.orings.candidates import Interchange

VIEWS = ("measured", "seals here", "replacements")
MEASURED, SEALS, INSTEAD = range(3)


def columns(view: int, unit: str) -> list[Column]:
    """The columns of a list."""
    if view == MEASURED:
        return [
            Column("Size", 11, grow=True),
            Column("Ring", 4, right=True),
            Column("Groove", 10),
            Column("Both", 4, right=True),
        ]
    return [
        Column("Size", 11, grow=True),
        Column("Here", 10),
        Column("Margin", 6, right=True, yields=2),
        Column("Stock", 5),
        Column(f"ID × width {unit}", 13 + (unit == "in"), right=True, yields=1),
    ]


def empty(view: int, judged: Judged) -> str:
    """What stands in a list without rows."""
    if view == MEASURED:
        return (
            f"No ring was measured. {key('turn')} shows the rings that seal; {key('groove')} goes to the ring's fields."
        )
    if judged.groove is None:
        return "Rings appear here once the groove is measured."
    return "No standard ring seals in this groove." if view == SEALS else "Highlight a ring first."


def lines(view: int, judged: Judged, swap: Interchange | None) -> tuple[list[Line], dict[str, str]]:
    """A list's lines, and by ring why a look-alike is none."""
    if view == MEASURED:
        return list(judged.lines), {}
    if view == SEALS:
        return [Line(one.ring, sealing=one) for one in judged.rings], {}
    if swap is None:
        return [], {}
    found = [Line(one.ring, sealing=one) for one in (swap.ring, *swap.seals)]
    found += [Line(one.sealing.ring, sealing=one.sealing) for one in swap.look_alikes]
    return found, {one.sealing.ring.key: one.why.text for one in swap.look_alikes}


def row(line: Line, view: int, unit: str, *, preferred: Collection[str], plain: bool, first: bool) -> Row:
    """One line as it is shown. `first`: in the list of stand-ins it is the ring that they stand in for."""
    here = "?" if line.sealing is None else short(line.sealing.verdict, plain=plain)
    tone = "" if line.sealing is None else {"seals": "good"}.get(line.sealing.verdict.value, "bad")
    name = line.ring.label + (f" +{len(line.also)}" if line.also else "")
    if view == MEASURED:
        read, both = (
            "" if one is None else percent(one).replace(" ", "") for one in (line.by_readings, line.with_groove)
        )
        return Row((name, read, here, both), tone)
    margin = "" if line.sealing is None else f"{line.sealing.margin:.2f}"
    there = "yes" if line.ring.key in preferred else ""
    size = line.ring
    dims = (
        f"{size.id_mm / 25.4:.3f} × {size.cross_section_mm / 25.4:.3f}"
        if unit == "in"
        else f"{size.id_mm:.2f} × {size.cross_section_mm:.2f}"
    )
    mine = "= " if view == INSTEAD and first else ""
    return Row((mine + name, here, margin, there, dims), tone)
