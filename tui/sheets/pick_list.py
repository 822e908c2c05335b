"""The pick list: what to fetch, bin by bin in walking order, with a box to tick for each line."""

from __future__ import annotations

from collections.abc import Iterable

from catalog.cautions import DEFERS
from catalog.languages.tongue import ENGLISH, Tongue
from tui.sheets import layout, pdf, plain
from tui.sheets.blocks import Block, Column, Facts, Heading, Para, Sheet, Table
from tui.sheets.paper import A4, Paper
from tui.sheets.records import PickLine, PickList, ShortLine
from tui.sheets.walking import walked


def as_pdf(picking: PickList, paper: Paper = A4, say: Tongue = ENGLISH) -> bytes:
    """The pick list as a PDF. Raises `PrintUnavailableError` without the printing libraries."""
    sheet = sheet_of(picking, paper, say)
    return pdf.written(layout.pages(sheet), paper, title=sheet.title)


def as_text(picking: PickList, say: Tongue = ENGLISH) -> str:
    """The same as plain text."""
    return plain.text_of(sheet_of(picking, say=say))


def sheet_of(picking: PickList, paper: Paper = A4, say: Tongue = ENGLISH) -> Sheet:
    """The pick list as blocks."""
    facts = [(say("Shop"), picking.shop)] if picking.shop else []
    facts += [(say("Who"), picking.who), (say("Written"), picking.written_on.isoformat())]
    blocks: list[Block] = [Facts(tuple(facts)), *pick_blocks(picking.lines, say), *short_blocks(picking.shorts, say)]
    return Sheet(say("Pick list"), picking.title, say(DEFERS), tuple(blocks), paper, say)


def pick_blocks(lines: Iterable[PickLine], say: Tongue = ENGLISH) -> tuple[Block, ...]:
    """The table of lines to pick. What is picked already stays on the list and says so."""
    ordered = walked(lines)
    if not ordered:
        return (Para(say("Nothing to pick.")),)
    several = len({line.job for line in ordered}) > 1
    rows = tuple(
        (
            line.bin_code,
            say("{quantity}  (picked)", quantity=line.quantity) if line.picked else line.quantity,
            _item(line, say),
            _why(line, several),
        )
        for line in ordered
    )
    columns = (
        Column(say("Bin"), 2.0, strong=True), Column(say("Take"), 1.9, strong=True),
        Column(say("What"), 4.4), Column(say("For"), 4),
    )  # fmt: skip
    return (Table(columns, rows, tick=True),)


def short_blocks(shorts: Iterable[ShortLine], say: Tongue = ENGLISH) -> tuple[Block, ...]:
    """The table of what is short, if anything is."""
    rows = tuple((short.need, short.quantity, short.tried) for short in shorts)
    if not rows:
        return ()
    columns = (
        Column(say("Need"), 4), Column(say("Short of"), 1.8, strong=True), Column(say("What was tried"), 5),
    )  # fmt: skip
    return (Heading(say("Short: not on the shelf")), Table(columns, rows))


def _item(line: PickLine, say: Tongue) -> str:
    lot = [say("lot {lot}", lot=line.lot)] if line.lot else []
    expires = [say("expires {day}", day=line.expires_on.isoformat())] if line.expires_on else []
    marks = ", ".join([*lot, *expires])
    return f"{line.item}\n{marks}" if marks else line.item


def _why(line: PickLine, several: bool) -> str:
    parts = [line.job if several else "", line.for_what, line.reason]
    return "\n".join(part for part in parts if part)
