"""Kits: the open jobs, and for the highlighted one what it needs, what is there and what is short."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from tui.screens.area import SHARED, Area
from tui.screens.kits.lines import KitLine, explain, job_row, kit_lines, row_of
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.kit_view import KitView
    from tui.screens.kits.tally_words import Poured


class KitsScreen(Area):
    """Jobs at the left, the kit at the right; Enter goes from one to the other."""

    AREA = "kits"
    LIST = "#lines"
    PAGE = Path(__file__).with_name("kits.md")
    CSS_PATH: ClassVar = [SHARED, "kits.tcss"]
    AUTO_FOCUS = "#jobs"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "accept", "To the kit", show=False, id="kits.enter", tooltip="To the kit's lines"),
        Binding("n", "new_job", "New job", key_display="N", id="kits.new", tooltip="Open a job"),
        Binding("f7,l", "look", "Look on shelf", key_display="F7", id="kits.look",
                tooltip="Promise free stock to whatever this job still lacks"),
        Binding("f8,r", "release", "Release", key_display="F8", show=False, id="kits.release",
                tooltip="Give the highlighted line's promise back to free stock"),
        Binding("p", "pick", "Pick", key_display="P", id="kits.pick",
                tooltip="Take the highlighted line off the shelf for the job"),
        Binding("delete,d", "strike", "Strike", key_display="Del", show=False, id="kits.strike",
                tooltip="Strike the highlighted need off the kit"),
        Binding("s", "sheet", "Sheet", key_display="S", id="kits.sheet", tooltip="The job sheet, to read or as PDF"),
        Binding("t", "tally", "Tally", key_display="T", id="kits.tally",
                tooltip="Type each pour of the highlighted fluid; see it between the marks"),
        Binding("x", "close_job", "Close job", show=False, id="kits.close", tooltip="Close the job; promises go back"),
        Binding("f12,y", "refresh", "Read again", show=False, id="kits.refresh", tooltip="Read the workshop again"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._jobs: tuple[JobRow, ...] = ()
        self._kit: KitView | None = None
        self._lines: list[KitLine] = []
        self._job_id: int | None = None
        # Pours typed so far, by need; they last as long as the app is open.
        self._pours: dict[int, list[Poured]] = {}

    def body(self) -> Iterable[Widget]:
        """Two lists and a line about the highlighted row."""
        with Horizontal(id="kits"):
            with Vertical(id="jobs-side"):
                yield Static("Open jobs", classes="title", markup=False)
                yield Rows(
                    [Column("Job", 12, grow=True), Column("Due", 6, yields=1), Column("Kit", 8)],
                    empty="Reading …",
                    id="jobs",
                )
            with Vertical(id="kit-side"):
                yield Static("", id="kit-title", classes="title", markup=False)
                yield Rows(
                    [Column("State", 9), Column("Qty", 8, right=True), Column("Bin", 6), Column("What", 14, grow=True)],
                    empty="Nothing on this kit. Measure a ring, or pick one in the Catalog, and press Enter.",
                    id="lines",
                )
                yield Static("", id="line-detail")

    @property
    def _job_rows(self) -> Rows:
        return self.query_one("#jobs", Rows)

    def workshop_changed(self) -> None:
        """Read jobs and kit again, keeping the cursors where they are."""
        self._read()

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        jobs = await self.ask(self.kitwright.workshop.jobs)
        self._job_rows.empty = "No open job. N opens one." if jobs is not None else "The workshop could not be read."
        self._jobs = jobs or ()
        at = next((i for i, job in enumerate(self._jobs) if job.job_id == self._job_id), 0)
        self._job_rows.show(len(self._jobs), lambda index: job_row(self._jobs[index]), cursor=at)
        await self._read_kit()

    async def _read_kit(self) -> None:
        job = self.job
        kit = await self.ask(self.kitwright.workshop.kit, job.job_id) if job else None
        same = kit is not None and kit.job_id == self._job_id
        self._job_id = kit.job_id if kit else None
        self._show_kit(kit, keep=same)

    @work(exclusive=True, group="kit")
    async def _other_kit(self) -> None:
        await self._read_kit()

    def _show_kit(self, kit: KitView | None, *, keep: bool) -> None:
        self._kit = kit
        self._lines = kit_lines(kit)
        title = ""
        if kit is not None:
            machine = f" on {kit.machine_name}" if kit.machine_name else ""
            title = clean(f"{kit.title}{machine}: {kit.state}")
        self.query_one("#kit-title", Static).update(title)
        self.rows.show(len(self._lines), self._row, cursor=self.rows.cursor if keep else 0)

    def _row(self, index: int) -> Row:
        return row_of(self._lines[index])

    @property
    def job(self) -> JobRow | None:
        """The highlighted job."""
        index = self._job_rows.cursor
        return self._jobs[index] if 0 <= index < len(self._jobs) else None

    @property
    def entry(self) -> KitLine | None:
        """The highlighted need or line."""
        index = self.rows.cursor
        return self._lines[index] if 0 <= index < len(self._lines) else None

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        """Show what belongs to the highlighted row."""
        if event.rows.id == "lines":
            words = Content("\n").join([Content(clean(line)) for line in explain(self.entry)])
            self.query_one("#line-detail", Static).update(words)
        elif self.job is not None and self.job.job_id != self._job_id:
            self._other_kit()

    def on_rows_chosen(self, event: Rows.Chosen) -> None:
        """Take the row."""
        if event.rows.id == "jobs":
            self.action_accept()

    def action_accept(self) -> None:
        """From the jobs to the kit's lines."""
        self.rows.focus()

    def action_leave(self) -> None:
        """Between the two lists."""
        (self._job_rows if self.rows.has_focus else self.rows).focus()

    def action_refresh(self) -> None:
        """Read the workshop again."""
        self._read()

    @work(exclusive=True, group="change")
    async def action_new_job(self) -> None:
        """Open a job."""
        from tui.screens.ask_text import AskText

        title = await self.app.push_screen_wait(AskText("Open a job", "What is to be done, e.g. Reseal the lift valve"))
        if title is not None:
            job = await self.ask(self.kitwright.workshop.open_job, title)
            if job is not None:
                self._job_id = job.job_id
                self._read()

    @work(exclusive=True, group="change")
    async def action_close_job(self) -> None:
        """Close the highlighted job, once asked."""
        from tui.screens.ask_yes import AskYes

        job = self.job
        if job is None:
            self.say("There is no open job to close.")
            return
        question = AskYes(
            f"Close “{clean(job.title)}”?", "What is promised and not picked goes back to free. F9 undoes it."
        )
        if await self.app.push_screen_wait(question):
            await self._change(f"Closed “{clean(job.title)}”.", self.kitwright.workshop.close_job, job.job_id)

    async def _change(self, said: str, call: Callable[..., object], *given: object) -> None:
        if await self.ask(call, *given) is not None:
            self.say(f"{said} F9 takes it back.")
            self._read()

    @work(exclusive=True, group="change")
    async def action_look(self) -> None:
        """Promise free stock to what the job lacks."""
        job = self.job
        if job is None:
            self.say("There is no open job. N opens one.")
        else:
            await self._change("Looked on the shelf.", self.kitwright.workshop.look_on_shelf, job.job_id)

    @work(exclusive=True, group="change")
    async def action_sheet(self) -> None:
        """The highlighted job's sheet."""
        from tui.screens.kits.sheet import SheetScreen, sheet_and_text

        if self._kit is None:
            self.say("There is no open job. N opens one.")
            return
        made = await self.ask(sheet_and_text, self._kit)
        if made is not None:
            self.app.push_screen(SheetScreen(self._kit.job_id, *made))

    def action_tally(self) -> None:
        """The tally of the highlighted fluid, or of the kit's only one."""
        from tui.screens.kits.tally import TallyScreen

        fluids = [need for need in (self._kit.needs if self._kit else ()) if need.low_ul and need.full_ul]
        need = self.entry.need if self.entry and self.entry.need in fluids else None
        if need is None and len(fluids) == 1:
            need = fluids[0]
        if need is None:
            several = "Highlight the fluid to tally." if fluids else "This kit needs no fluid with marks."
            self.say(several)
            return
        pours = self._pours.setdefault(need.need_id, [])
        self.app.push_screen(TallyScreen(need, pours, self.kitwright.unit, plain=self.kitwright.plain_glyphs))

    def _promised(self, word: str) -> int | None:
        """The highlighted line's number where it holds a promise; else a sentence."""
        entry = self.entry
        line = entry.line if entry else None
        if line is None or line.line_id is None or str(line.state) != "have":
            self.say(f"Highlight a line that says “have” to {word} it.")
            return None
        return line.line_id

    @work(exclusive=True, group="change")
    async def action_release(self) -> None:
        """Give the highlighted promise back."""
        line_id = self._promised("release")
        if line_id is not None:
            await self._change("Released.", self.kitwright.workshop.release, line_id)

    @work(exclusive=True, group="change")
    async def action_pick(self) -> None:
        """Take the highlighted line off the shelf."""
        line_id = self._promised("pick")
        if line_id is not None:
            await self._change("Picked.", self.kitwright.workshop.pick, [line_id])

    @work(exclusive=True, group="change")
    async def action_strike(self) -> None:
        """Strike the highlighted need."""
        entry = self.entry
        if entry is None:
            self.say("Highlight a need to strike it.")
        else:
            await self._change(
                f"Struck “{clean(entry.need.title)}”.", self.kitwright.workshop.strike, entry.need.need_id
            )
