"""The pick list: what to fetch, bin by bin in walking order, with a box to tick for each line."""

from __future__ import annotations

from collections.abc import Iterable

from catalog.cautions import DEFERS
from tui.sheets import layout, pdf, plain
from tui.sheets.blocks import Block, Column, Facts, Heading, Para, Sheet, Table
from tui.sheets.paper import A4, Paper
from tui.sheets.records import PickLine, PickList, ShortLine
from tui.sheets.walking import walked


def as_pdf(picking: PickList, paper: Paper = A4) -> bytes:
    """The pick list as a PDF. Raises `PrintUnavailableError` without the printing libraries."""
    sheet = sheet_of(picking, paper)
    return pdf.written(layout.pages(sheet), paper, title=sheet.title)


def as_text(picking: PickList) -> str:
    """The same as plain text."""
    return plain.text_of(sheet_of(picking))


def sheet_of(picking: PickList, paper: Paper = A4) -> Sheet:
    """The pick list as blocks."""
    facts = [("Shop", picking.shop)] if picking.shop else []
    facts += [("Who", picking.who), ("Written", picking.written_on.isoformat())]
    blocks: list[Block] = [Facts(tuple(facts)), *pick_blocks(picking.lines), *short_blocks(picking.shorts)]
    return Sheet("Pick list", picking.title, DEFERS, tuple(blocks), paper)


def pick_blocks(lines: Iterable[PickLine]) -> tuple[Block, ...]:
    """The table of lines to pick. What is picked already stays on the list and says so."""
    ordered = walked(lines)
    if not ordered:
        return (Para("Nothing to pick."),)
    several = len({line.job for line in ordered}) > 1
    rows = tuple(
        (
            line.bin_code,
            f"{line.quantity}  (picked)" if line.picked else line.quantity,
            _item(line),
            _why(line, several),
        )
        for line in ordered
    )
    columns = (Column("Bin", 2.0, strong=True), Column("Take", 1.9, strong=True), Column("What", 4.4), Column("For", 4))
    return (Table(columns, rows, tick=True),)


def short_blocks(shorts: Iterable[ShortLine]) -> tuple[Block, ...]:
    """The table of what is short, if anything is."""
    rows = tuple((short.need, short.quantity, short.tried) for short in shorts)
    if not rows:
        return ()
    columns = (Column("Need", 4), Column("Short of", 1.8, strong=True), Column("What was tried", 5))
    return (Heading("Short: not on the shelf"), Table(columns, rows))


def _item(line: PickLine) -> str:
    lot = [f"lot {line.lot}"] if line.lot else []
    expires = [f"expires {line.expires_on.isoformat()}"] if line.expires_on else []
    marks = ", ".join([*lot, *expires])
    return f"{line.item}\n{marks}" if marks else line.item


def _why(line: PickLine, several: bool) -> str:
    parts = [line.job if several else "", line.for_what, line.reason]
    return "\n".join(part for part in parts if part)
