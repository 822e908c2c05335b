"""The job sheet over the kit: its text to read here, its PDF to a file or to the browser."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from itertools import cycle
from typing import TYPE_CHECKING

from textual.content import Content
from textual.widgets import Static

import tui
from catalog.languages import tongue
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


def sheets_of(workshop: Workshop, kit: KitView) -> dict[str, JobSheet]:
    """The job sheet of a kit in each language, English first. Called from a thread."""
    made, pictures = {}, operations.sheet.pictures_of_job(workshop, kit.job_id)
    for code in tongue.NAMES:
        say = tongue.tongue(code)
        made[code] = sheets.from_kit.job_sheet_of(
            kit, who=tui.workshop.user(), written_on=datetime.now().astimezone().date(),
            costs=operations.sheet.cost_of_job(workshop, kit.job_id, say), pictures=pictures, say=say,
        )  # fmt: skip
    return made


def _text(sheet: JobSheet, code: str) -> Content:
    text = sheets.job_sheet.as_text(sheet, tongue.tongue(code))
    return Content("\n".join(map(clean, text.splitlines())))


def sheet_to_read(job_id: int, made: Mapping[str, JobSheet]) -> Ask[None]:
    """The sheet as text; Enter writes the PDF and says where, other keys change the paper and the language."""
    papers, languages = cycle(PAPERS), cycle(made)
    paper, language = next(papers), next(languages)

    def turn(ask: Ask[None]) -> str:
        nonlocal language
        language = next(languages)
        ask.query_one("#sheet-text", Static).update(_text(made[language], language))
        return ""

    def other(ask: Ask[None]) -> str:
        nonlocal paper
        paper = next(papers)
        return ""

    def pdf() -> bytes:
        return sheets.job_sheet.as_pdf(made[language], sheets.paper.paper_named(paper), tongue.tongue(language))

    return Ask(
        "",
        Words(_text(made[language], language), id="sheet-text"),
        keys=(
            Key("leave paper", "Close", "Back to the kit", closes),
            Key("take", "Write PDF", "Write the sheet as a PDF",
                writes("Write the PDF to which file?", f"job-{job_id}.pdf", pdf)),
            Key("change", "Paper", "A4 or Letter", other),
            Key("turn", "Language", "The language of whom it is for: the next of them", turn),
        ),
        line=lambda: (
            f" Enter writes a PDF · {plain('turn')} language: {tongue.NAMES[language]} · "
            f"{plain('change')} paper: {paper} · arrows scroll · Esc closes"
        ),
        name="job-sheet",
        looks=PAPER,
    )  # fmt: skip
