"""An import on screen: progress, the dry run row by row, a yes, progress again, done. Esc stops it at any time."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tui.answers.supplier_lists import change_of, loaded_of
from tui.bound import bind
from tui.screens.closing import Sheet
from tui.screens.find.running import MOST_OF_EACH, Import, Phase
from tui.screens.find.steps import step
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.supplier_lists.changes import Change

LOOK = 0.1
"""Seconds between two looks at how far it is."""
BAR = 30
LONGEST = 300
"""Letters of a reason or a name beneath the list."""
GLYPHS = {"added": "+", "changed": "~", "withdrawn": "-", "refused": "!"}
ORDER = ("refused", "added", "changed", "withdrawn")


def said_progress(running: Import, *, plain: bool = False) -> str:
    """How far it is: the step, a bar where the end is known, rows."""
    now = running.progress
    if now is None:
        return "starting …"
    if now.part is None:
        return f"{now.step}: {now.rows:,} rows"
    full = round(now.part * BAR)
    on, off = ("#", ".") if plain else ("█", "░")
    return f"{now.step}: {on * full}{off * (BAR - full)} {now.part * 100:3.0f} %  {now.rows:,} rows"


def change_row(change: Change) -> Row:
    """What happens to one row of the list."""
    one = change_of(change)
    tone = "bad" if one.change == "refused" else "dim" if one.change == "withdrawn" else ""
    return Row((f"{GLYPHS[one.change]} {one.change}", str(one.line or ""), one.number or "", one.said), tone)


def change_words(change: Change) -> str:
    """The same in full: its reason or what is different, and what was read in a new text, with how sure."""
    one = change_of(change)
    lines = [clean(one.said, LONGEST)]
    if one.change in ("added", "changed"):
        read = [f"{found.about} {clean(found.text)} ({found.confidence * 100:.0f} % sure)" for found in one.readings]
        lines.append(f"Read from its text: {', '.join(read) if read else 'nothing'}.")
    return "\n".join(lines)


class ImportScreen(Sheet[bool]):
    """Runs one import. Answers whether the list was loaded."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "stop", "Stop", tooltip="Stop; the list stays as it was", id="import.stop"),
        bind("take", "go", "Load", tooltip="Load the list; when it is done, close", id="import.go"),
    ]

    def __init__(self, running: Import, *, plain: bool = False) -> None:
        super().__init__()
        self.running = running
        self._plain = plain
        self._phase: Phase | None = None
        self._changes: tuple[Change, ...] = ()

    def compose(self) -> ComposeResult:
        """What, how far, the counts, the rows, the keys."""
        with Vertical(classes="sheet"):
            yield Static("", id="import-title", classes="title", markup=False)
            yield Static("", id="import-progress", classes="step", markup=False)
            yield Static("", id="import-counts", markup=False)
            yield Rows(
                [Column("Change", 11), Column("Line", 8, right=True, yields=2), Column("Number", 16),
                 Column("What", 20, grow=True)],
                empty="Nothing to show yet.",
                loads=False,
                id="changes",
            )  # fmt: skip
            yield Static("", id="change-words", markup=False)
        yield Static("", id="import-keys", classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """Start it."""
        self.query_one(Rows).focus()
        self.set_interval(LOOK, self._look)
        self._run()
        self._look()

    def on_unmount(self) -> None:
        """The app may close while the import waits for its answer."""
        self.running.stop()

    @work(group="change")
    async def _run(self) -> None:
        await asyncio.to_thread(self.running.run)
        self._look()

    def _look(self) -> None:
        """Show how far it is; other words when another phase begins."""
        phase = self.running.phase
        if phase in (Phase.LOOKING, Phase.WRITING):
            said = said_progress(self.running, plain=self._plain)
            self.query_one("#import-progress", Static).update(said, layout=False)
        if phase is not self._phase:
            self._phase = phase
            self._enter(phase)

    def _enter(self, phase: Phase) -> None:
        keys = {
            Phase.LOOKING: "Dry run: nothing is written · Esc stops",
            Phase.ASKING: "Enter loads the list · Esc leaves it as it was",
            Phase.WRITING: "Writing, all or nothing · Esc stops, the list stays as it was",
        }.get(phase, "Enter or Esc closes")
        self.query_one("#import-keys", Static).update(keys)
        what = f"{clean(self.running.file_name)} into the list of {clean(self.running.supplier.name)}"
        self.query_one("#import-title", Static).update(step(4 if phase in (Phase.LOOKING, Phase.ASKING) else 5, what))
        progress = self.query_one("#import-progress", Static)
        if phase is Phase.ASKING:
            progress.update("Dry run. Nothing is written yet.")
            self._show_dry_run()
        elif phase is Phase.DONE:
            progress.update(self._done())
        elif phase is Phase.STOPPED:
            progress.update("Stopped. The list is as it was before.")
        elif phase is Phase.FAILED:
            progress.update("! Not loaded. The list is as it was before.")
            self.query_one("#import-counts", Static).update(clean(self.running.fault))

    def _done(self) -> str:
        loaded = self.running.loaded
        if loaded is None or loaded.list_id is None:
            return "Done. No changes, so nothing was written."
        return f"Done. {loaded_of(self.running.supplier.name, loaded, ()).did}."

    def _show_dry_run(self) -> None:
        found = self.running.dry_run
        if found is None:
            return
        counts = [f"{found.counts.get(word, 0):,} {word}" for word in ORDER]
        cut = (
            f" The first {MOST_OF_EACH} of each kind are shown."
            if max([0, *found.counts.values()]) > MOST_OF_EACH
            else ""
        )
        read = f"{found.entries:,} usable lines: {', '.join(counts)}.{cut}"
        self.query_one("#import-counts", Static).update(read)
        rows = self.query_one(Rows)
        rows.empty = "No changes."
        shown = sorted(found.shown, key=lambda change: ORDER.index(change.does.value))
        self._changes = tuple(shown)
        rows.show(len(shown), lambda index: change_row(shown[index]))

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        """The highlighted change in full: the whole reason, and what was read out of the text."""
        known = 0 <= event.index < len(self._changes)
        words = change_words(self._changes[event.index]) if known else ""
        self.query_one("#change-words", Static).update(words, layout=False)

    def action_go(self) -> None:
        """Load it; once it is over, close."""
        if self.running.over:
            self.dismiss(self.running.phase is Phase.DONE)
        elif self.running.phase is Phase.ASKING:
            self.running.go()

    def action_stop(self) -> None:
        """Stop it; once it is over, close."""
        if self.running.over:
            self.dismiss(self.running.phase is Phase.DONE)
        else:
            self.running.stop()
