"""The job sheet over the kit: its text to read here, its PDF to a file or to the browser."""

from __future__ import annotations

import asyncio
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tui.screens.closing import Sheet
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.kitting.kit_view import KitView
    from tui.sheets.records import JobSheet

PAPERS = ("A4", "Letter")


def sheet_and_text(kit: KitView) -> tuple[JobSheet, str]:
    """The job sheet of a kit, as a record and as text. Called from a thread."""
    from tui.sheets import job_sheet
    from tui.sheets.from_kit import job_sheet_of
    from tui.workshop import user

    sheet = job_sheet_of(kit, who=user(), written_on=datetime.now().astimezone().date())
    return sheet, job_sheet.as_text(sheet)


class SheetScreen(Sheet[None]):
    """The sheet as text; W writes the PDF and says where, P changes the paper."""

    DEFAULT_CSS = """
    SheetScreen #paper {
        width: 82; max-width: 100%; height: 1fr; background: $surface; padding: 0 0 0 1;
        scrollbar-size-vertical: 1; overflow-x: hidden;
    }
    SheetScreen #paper-keys { width: 82; max-width: 100%; height: 1; background: $panel; color: $text-muted; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,s", "dismiss", "Close", tooltip="Back to the kit", id="sheet.close"),
        Binding("w", "write", "Write PDF", tooltip="Write the sheet as a PDF", id="sheet.write"),
        Binding("p", "paper", "Paper", tooltip="A4 or Letter", id="sheet.paper"),
    ]

    def __init__(self, job_id: int, sheet: JobSheet, text: str) -> None:
        super().__init__()
        self._job_id = job_id
        self._sheet = sheet
        self._text = text
        self._paper = 0

    def compose(self) -> ComposeResult:
        """The text and the keys."""
        with VerticalScroll(id="paper"):
            yield Static(Content("\n".join(clean(line) for line in self._text.splitlines())), id="sheet-text")
        yield Static("", id="paper-keys", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#paper").focus()
        self._say_keys()

    def _say_keys(self) -> None:
        keys = f" W writes a PDF · P paper: {PAPERS[self._paper]} · arrows, PgDn scroll · Esc closes"
        self.query_one("#paper-keys", Static).update(keys)

    def action_paper(self) -> None:
        """The other paper."""
        self._paper = 1 - self._paper
        self._say_keys()

    @work(exclusive=True, group="change")
    async def action_write(self) -> None:
        """Write the PDF where the person says, or hand it to the browser."""
        from tui.saving import SaveError, save
        from tui.screens.ask_text import AskText
        from tui.sheets.fonts import PrintUnavailableError

        try:
            made = await asyncio.to_thread(self._made)
        except PrintUnavailableError as missing:
            self._say(str(missing), trouble=True)
            return
        name = f"job-{self._job_id}.pdf"
        if self.app.is_web:
            self.app.deliver_binary(BytesIO(made), save_filename=name, mime_type="application/pdf")
            self._say(f"Sent {name} to the browser.")
            return
        value = str(Path.cwd() / name)
        target = await self.app.push_screen_wait(
            AskText("Write the PDF to which file?", "A file there is replaced.", value)
        )
        if target is None:
            return
        try:
            file = await asyncio.to_thread(save, target, made)
        except SaveError as problem:
            self._say(str(problem), trouble=True)
        else:
            self._say(f"Wrote {clean(str(file))}")

    def _made(self) -> bytes:
        from tui.sheets import job_sheet
        from tui.sheets.paper import paper_named

        return job_sheet.as_pdf(self._sheet, paper_named(PAPERS[self._paper]))

    def _say(self, text: str, *, trouble: bool = False) -> None:
        self.notify(text, markup=False, timeout=10, severity="warning" if trouble else "information")
