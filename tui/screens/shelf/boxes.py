"""What is missing from the assortment boxes: box by box, size by size."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tui.screens.asking import Line, choose
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.inventory.assortments import Box
    from tui.screens.ask import Ask


def boxes_sheet(boxes: Sequence[Box], *, plain: bool = False) -> Ask[int | None]:
    """Each box with what it lacks; Enter hands back the bin's number, to show it on the shelf."""
    lacks = sum(len(box.missing) for box in boxes)
    return choose(
        f"What is missing from {len(boxes)} boxes: {lacks} sizes",
        [
            Column("Size", 24, grow=True),
            Column("Has", 5, right=True),
            Column("Holds", 5, right=True),
            Column("Missing", 8, right=True),
            Column("Filled", 10, yields=1),
        ],
        [line for box in boxes for line in _lines(box, plain=plain)],
        empty="No bin is an assortment box yet: kitwright shelf box says what a full one holds.",
        line="Enter shows the box on the shelf · ↑ ↓ · Esc back",
        name="boxes",
        enter=("Show", "Show it on the shelf"),
    )


def _lines(box: Box, *, plain: bool) -> list[Line[int]]:
    missing = box.missing
    full = sum(row.full for row in box.rows)
    there = sum(min(row.on_hand, row.full) for row in box.rows)
    words = f"{box.code}: {len(missing)} of {sum(bool(row.full) for row in box.rows)} sizes are not full"
    note = f", {box.note}" if box.note else ""
    head = Row((f"{box.code}{note}", str(there), str(full), str(full - there), _bar(there, full, plain)), "head")
    lines = [Line(head, (words, box.note), box.bin_id)]
    for row in missing:
        gone = "none left" if not row.on_hand else f"{row.on_hand} left"
        said = f"{row.item_name}: {gone} of {row.full}, {row.free} of them free"
        cells = (f"  {row.item_name}", str(row.on_hand), str(row.full), str(row.missing),
                 _bar(row.on_hand, row.full, plain))  # fmt: skip
        lines.append(Line(Row(cells, "bad" if not row.on_hand else ""), (said,), box.bin_id))
    return lines


def _bar(there: int, full: int, plain: bool) -> str:
    cells = round(10 * min(there, full) / full) if full else 0
    on, off = ("#", ".") if plain else ("█", "░")
    return on * cells + off * (10 - cells)
