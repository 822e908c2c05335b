"""Kits: the open jobs, and for the highlighted one what it needs, what is there and what is short."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from tui import screens
from tui.bound import bind
from tui.keys import plain
from tui.screens.area import SHARED, Area
from tui.screens.bands import ANSWER, DRAWING
from tui.screens.elsewhere import Marks, by, place_of
from tui.screens.kits import about
from tui.screens.kits.lines import (
    KitLine,
    explain,
    finish_facts,
    finish_words,
    job_keys,
    job_row,
    key_of,
    keys_for,
    kit_lines,
    row_of,
    whole_parts,
)
from tui.screens.kits.operations import KitOperations
from tui.screens.operating import keys_of
from tui.widgets.answer_band import AnswerBand
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows
from tui.widgets.sketch import Sketch

if TYPE_CHECKING:
    from models.job_history import Done
    from models.jobs import JobRow
    from models.kitting.kit_view import KitView
    from models.watching.heard import Booked
    from tui.kitting import KitNow


NOTHING_ON = "Nothing on this kit. Measure a ring, or pick one in the Catalog, and press Enter."
MOST_CELLS = 12
ENTER = {
    "pick": "picks",
    "promise": "promises, from the shelf,",
    "use": "says what was used of",
    "offers": "shows what could fill",
}
"""What Enter does with a line, by its operation."""


def line_columns(rows: Sequence[Row] = ()) -> list[Column]:
    """The columns of a kit's lines: amounts and bins as wide as they are, all that is left to what it is."""
    amount, place = (min(MOST_CELLS, max((len(row.cells[at]) for row in rows), default=3)) for at in (1, 2))
    return [Column("State", 9), Column("Qty", max(3, amount), right=True), Column("Bin", max(3, place)),
            Column("What", 14, grow=True)]  # fmt: skip


class KitsScreen(KitOperations, Area):
    """Jobs at the left, the kit at the right; Enter goes from one to the other."""

    AREA = "kits"
    LIST = "#lines"
    PAGE = Path(__file__).with_name("kits.md")
    CSS_PATH: ClassVar = [SHARED, "kits.tcss"]
    AUTO_FOCUS = "#jobs"
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "accept", "To the kit", id="kits.enter",
             tooltip="To the kit's lines; there, what the line above the keys says"),
        *keys_of("job", footer=("open",), plain=True),
        *keys_of("kit", footer=("promise", "offers", "pick"), plain=True),
        bind("paper", "sheet", "Sheet", show=True, id="kits.sheet", tooltip="The job sheet, to read or as PDF"),
        bind("why", "when", "When", id="kits.when", tooltip="What the earliest finish waits for: cures and arrivals"),
        bind("turn", "turn", "Closed jobs", id="kits.closed",
             tooltip="The closed jobs, to look at what was used and fitted; and back to the open ones"),
        bind("again", "refresh", "Read again", id="kits.refresh", tooltip="Read the workshop again"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._jobs: tuple[JobRow, ...] = ()
        self._kit: KitView | None = None
        self._lines: list[KitLine] = []
        self._job_id: int | None = None
        self._standing: KitNow | None = None
        self._done: Done | None = None
        """What the highlighted closed job took and fitted."""
        self._marks = Marks()
        self._job_marks = Marks()

    def body(self) -> Iterable[Widget]:
        """The answer; the jobs, and the kit of the highlighted one with its strip and its row in full."""
        yield AnswerBand(id=ANSWER)
        with Horizontal(id="kits"):
            with Vertical(id="jobs-side"):
                yield Static("Open jobs", id="jobs-title", classes="title", markup=False)
                yield Rows(
                    [Column("Job", 23, grow=True), Column("Due", 6, yields=1), Column("Kit", 7)],
                    id="jobs",
                )
            with Vertical(id="kit-side"):
                yield Static("", id="kit-finish", markup=False)
                yield Rows(
                    line_columns(),
                    empty=NOTHING_ON,
                    id="lines",
                )
                with Vertical(classes="side"):
                    yield Sketch(id=DRAWING)
                    yield Static("", id="line-detail", classes="about")
        yield Static("", id="line-keys", classes="quiet", markup=False)

    @property
    def _job_rows(self) -> Rows:
        return self.query_one("#jobs", Rows)

    def workshop_changed(self) -> None:
        """Read jobs and kit again, keeping the cursors where they are."""
        self._read()

    async def take_in(self, booked: tuple[Booked, ...]) -> None:
        """Others booked something: mark what says something else now. Any of it may stand on this kit's shelf."""
        jobs = {job.job_id: job_row(job) for job in self._jobs}
        job_id, lines = self._job_id, {key_of(one): row_of(one) for one in self._lines}
        await self._read_all(stay=key_of(self.entry) if self.entry is not None else None)
        self._job_marks.took(jobs, {job.job_id: job_row(job) for job in self._jobs})
        self._job_rows.renew()
        if job_id == self._job_id:
            fresh = self._marks.took(lines, {key_of(one): row_of(one) for one in self._lines})
            self.rows.renew()
            if self.entry is not None and key_of(self.entry) in fresh:
                self.say(f"{by(booked, self.kitwright.workshop.who)} changed {self.entry.need.title} meanwhile.")

    @work(exclusive=True, group="read")
    async def _read(self) -> None:
        await self._read_all()

    async def _read_all(self, stay: Hashable = None) -> None:
        """Read and show; `stay`: the key of the line that the cursor stays on, wherever it stands now."""
        # At first without `ask`, which loads SQLAlchemy: the jobs are there in half the time.
        closed = self.looks_back
        jobs = None if closed else await self.in_turn(self.kitwright.workshop.first_jobs)
        if jobs is None:
            jobs = await self.ask(self.kitting.closed_jobs if closed else self.kitwright.workshop.jobs)
        none = "No job was closed yet." if closed else f"No open job. {plain('new')} opens one."
        self._job_rows.empty = none if jobs is not None else "The workshop could not be read."
        self._jobs = jobs or ()
        at = next((i for i, job in enumerate(self._jobs) if job.job_id == self._job_id), 0)
        self._job_rows.show(len(self._jobs), self._job_row, cursor=at)
        await self._read_kit(stay)

    async def _read_kit(self, stay: Hashable = None) -> None:
        while True:
            job = self.job
            standing, found = None, None
            if job is not None and job.closed_at is not None:
                found = await self.ask(self.kitting.closed, job.job_id)
            elif job is not None:
                standing = await self.ask(self.kitting.standing, job.job_id)
            now = self.job
            # The cursor may have gone on meanwhile: what was read for the job it left is not shown beside another.
            if (job and job.job_id) == (now and now.job_id):
                break
        self._standing = standing
        kit = self._standing.kit if self._standing else found[0] if found else None
        self._done = found[1] if found else None
        same = kit is not None and kit.job_id == self._job_id
        self._job_id = kit.job_id if kit else None
        self._show_kit(kit, keep=same, stay=stay)

    @work(exclusive=True, group="kit")
    async def _other_kit(self) -> None:
        await self._read_kit()

    def _show_kit(self, kit: KitView | None, *, keep: bool, stay: Hashable) -> None:
        self._kit = kit
        self._lines = kit_lines(kit)
        self._show_answer()
        self.query_one(Sketch).show(partial(about.drawing, kit, plain=bool(self.kitwright.plain_glyphs)))
        finish = self.query_one("#kit-finish", Static)
        # Three lines, less what is lost where they break.
        room = 3 * (self.query_one("#kit-side").size.width - 3) - 12
        words = finish_words(self._standing.finish, kit, room) if self._standing and kit else ""
        if self._done is not None:
            words = screens.kits.closed.told_of(self._done)
        finish.update(clean(words))
        finish.display = bool(words)
        at = self.rows.cursor if keep else 0
        if keep and stay is not None:
            at = place_of(stay, map(key_of, self._lines), at)
        if self._seek is not None:
            at = next((i for i, row in enumerate(self._lines) if row.need.need_id == self._seek), at)
            self._seek = None
            self.rows.focus()
        self.rows.empty = NOTHING_ON if kit is not None else "A job's kit is shown here."
        self.rows.set_columns(line_columns([row_of(one) for one in self._lines]))
        self.rows.show(len(self._lines), self._row, cursor=at)

    def _show_answer(self) -> None:
        today, plain = self.kitwright.workshop.today(), bool(self.kitwright.plain_glyphs)
        self.query_one(AnswerBand).show(about.answer(self.job, self._kit, today, plain=plain))

    def _row(self, index: int) -> Row:
        entry = self._lines[index]
        return self._marks.on(row_of(entry), key_of(entry), plain=self.kitwright.plain_glyphs)

    def _job_row(self, index: int) -> Row:
        job = self._jobs[index]
        return self._job_marks.on(job_row(job), job.job_id, plain=self.kitwright.plain_glyphs)

    @property
    def job(self) -> JobRow | None:
        """The highlighted job."""
        index = self._job_rows.cursor
        return self._jobs[index] if 0 <= index < len(self._jobs) else None

    @property
    def at_jobs(self) -> bool:
        """Whether the keys stand in the list of jobs."""
        return self._job_rows.has_focus

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
            self._marks.at(key_of(self.entry) if self.entry is not None else None)
            self._say_keys()
            return
        self._job_marks.at(self.job.job_id if self.job is not None else None)
        self._show_answer()
        if self.job is not None and self.job.job_id != self._job_id:
            self._other_kit()

    def on_descendant_focus(self) -> None:
        """The keys are the focused list's."""
        self._say_keys()

    def on_resize(self) -> None:
        """What fits has changed."""
        self._say_keys()

    def _say_keys(self) -> None:
        keys = f"{plain('new')} opens a job" if not self._jobs else job_keys() if self.at_jobs else keys_for(self.entry)
        keys = job_keys() if self.at_jobs else keys_for(self.entry)
        if self.looks_back:
            keys = screens.kits.closed.keys_words()
        elif not self._jobs:
            keys = f"{plain('new')} opens a job"
        room = self.size.width - 2
        self.query_one("#line-keys", Static).update(whole_parts(keys, room) if room > 0 else keys)

    def next_words(self) -> str:
        """What Enter does with the job, the need or the line."""
        if self.looks_back and (self.job is None or not self.at_jobs):
            return f"{plain('turn')} goes back to the open jobs"
        if self.job is None:
            return f"{plain('new')} opens a job"
        if self.at_jobs:
            return f"Enter goes to the kit of {self.job.title}"
        entry = self.entry
        if entry is None:
            return f"{plain('kit')} adds a need"
        what = entry.need.title if entry.line is None else entry.line.item_name or entry.need.title
        return f"Enter {ENTER[self._deed()]} {what}"

    def _deed(self) -> str:
        """The operation that the highlighted row calls for."""
        line = self.entry.line if self.entry is not None else None
        return {"have": "pick", "free": "promise", "picked": "use"}.get(str(line.state), "offers") if line else "offers"

    def meant(self) -> Mapping[str, str]:
        """The job's machine; in the kit also the need's position, and the line's item and bin."""
        kit, entry = self._kit, None if self.at_jobs else self.entry
        names = {"machine": kit.machine_name if kit is not None else ""}
        if entry is not None:
            names["position"] = entry.need.position_name
        if entry is not None and entry.line is not None:
            names |= {"item": entry.line.item_name, "bin": entry.line.bin_code}
        return {what: name for what, name in names.items() if name}

    def on_rows_chosen(self, event: Rows.Chosen) -> None:
        """Take the row."""
        if event.rows.id == "jobs":
            self.rows.focus()
        else:
            self.action_accept()

    def action_accept(self) -> None:
        """From the jobs to the kit's lines; there, what the highlighted row calls for."""
        if self.at_jobs:
            self.rows.focus()
        elif self.looks_back:
            self.say(screens.kits.closed.refused())
        elif self.entry is not None:
            self.action_operate(self._deed(), "kit")

    def action_turn(self) -> None:
        """From the open jobs to the closed ones, and back."""
        self.turn(closed=not self.looks_back)
        self._job_rows.focus()
        self._read()

    def turn(self, *, closed: bool) -> None:
        """Whether the closed jobs are listed."""
        self.looks_back = closed
        self._jobs, self._job_id = (), None
        # The list may be drawn before the others are read.
        self._job_rows.empty = ""
        self._job_rows.show(0, self._job_row)
        self.query_one("#jobs-title", Static).update("Closed jobs" if closed else "Open jobs")

    def action_leave(self) -> None:
        """Between the two lists."""
        (self._job_rows if self.rows.has_focus else self.rows).focus()

    def action_when(self) -> None:
        """All that the earliest finish waits for."""
        if self.looks_back:
            self.say(screens.kits.closed.refused())
        elif self._kit is None or self._standing is None or not self._kit.needs:
            self.say("There is nothing on this kit to finish.")
        else:
            self.app.push_screen(
                screens.asking.to_read(f"{self._kit.title}: when", finish_facts(self._standing.finish), name="finish")
            )

    def action_refresh(self) -> None:
        """Read the workshop again."""
        self._marks.clear()
        self._job_marks.clear()
        self._read()
