"""The job sheet over the kit: its text to read here, its PDF to a file or to the browser."""

from __future__ import annotations

from datetime import datetime
from itertools import cycle
from typing import TYPE_CHECKING

from textual.content import Content

import tui
from tui import operations, sheets
from tui.keys import plain
from tui.screens.ask import Ask, Key, Words
from tui.screens.paper import PAPER, closes, writes
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.kitting.kit_view import KitView
    from tui.sheets.records import JobSheet
    from tui.workshop import Workshop

PAPERS = ("A4", "Letter")


def sheet_and_text(workshop: Workshop, kit: KitView) -> tuple[JobSheet, str]:
    """The job sheet of a kit, as a record and as text. Called from a thread."""
    sheet = sheets.from_kit.job_sheet_of(
        kit, who=tui.workshop.user(), written_on=datetime.now().astimezone().date(),
        costs=operations.sheet.cost_of_job(workshop, kit.job_id),
    )  # fmt: skip
    return sheet, sheets.job_sheet.as_text(sheet)


def sheet_to_read(job_id: int, sheet: JobSheet, text: str) -> Ask[None]:
    """The sheet as text; Enter writes the PDF and says where, another key changes the paper."""
    papers = cycle(PAPERS)
    paper = next(papers)

    def other(ask: Ask[None]) -> str:
        nonlocal paper
        paper = next(papers)
        return ""

    def made() -> bytes:
        return sheets.job_sheet.as_pdf(sheet, sheets.paper.paper_named(paper))

    return Ask(
        "",
        Words(Content("\n".join(map(clean, text.splitlines()))), id="sheet-text"),
        keys=(
            Key("leave paper", "Close", "Back to the kit", closes),
            Key("take", "Write PDF", "Write the sheet as a PDF",
                writes("Write the PDF to which file?", f"job-{job_id}.pdf", made)),
            Key("change", "Paper", "A4 or Letter", other),
        ),
        line=lambda: f" Enter writes a PDF · {plain('change')} paper: {paper} · arrows, PgDn scroll · Esc closes",
        name="job-sheet",
        looks=PAPER,
    )  # fmt: skip
