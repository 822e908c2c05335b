"""Once a job is closed: whether the rings it used fitted, so that the next service starts from the record."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tui.ring_words import record_words, ring_words
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.fits.fitted import Fitted, Used
    from tui.kitting import Kitting
    from tui.screens.area import Area

BY_HAND = "^O on Measure, then F8, notes one by hand."


async def ask_what_fitted(area: Area, kitting: Kitting, job_id: int) -> str:
    """Ask, and put on record what a person says did fit; what is to be said of it, "" where nothing of it is new."""
    used = await area.ask(kitting.used, job_id)
    if used is None:
        return ""
    if not used.waiting:
        where = clean(", ".join(place.position_name for place in used.mixed), 100)
        return f"Several sorts of ring went in at {where}: nobody can tell which fitted. {BY_HAND}" if where else ""
    chosen = await area.app.push_screen_wait(WhatFitted(used))
    noted = await area.ask(kitting.note_fitted, job_id, chosen) if chosen else ()
    if noted:
        return f"On record: {len(noted)} {'ring' if len(noted) == 1 else 'rings'}. F9 takes that back first."
    return "" if noted is None else f"No ring was put on record. {BY_HAND}"


class WhatFitted(Sheet[tuple["Fitted", ...]]):
    """The rings a job used, each ticked; Space takes a tick off, Enter hands back what is ticked, Esc nothing.

    No letter answers: the one that closed the job may still bounce.
    """

    DEFAULT_CSS = """
    WhatFitted #fitted-list { height: 8; }
    WhatFitted.-tall #fitted-list { height: 16; }
    WhatFitted #fitted-words { height: 2; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        # Before the list, which would page on.
        Binding("space", "tick", "Tick", tooltip="Whether this one fitted", id="fitted.tick", priority=True),
        Binding("enter", "accept", "On record", tooltip="Put what is ticked on record", id="fitted.accept"),
        Binding("escape", "none", "None", tooltip="Put none on record", id="fitted.none"),
    ]

    def __init__(self, used: Used) -> None:
        super().__init__()
        self._waiting = waiting = used.waiting
        self._mixed = used.mixed
        self._out: set[int] = set()
        self._machines = {one.machine_name for one in waiting}

    def compose(self) -> ComposeResult:
        """The question, the rings, what follows from it."""
        one = len(self._waiting) == 1
        on = f" on {clean(next(iter(self._machines)), 40)}" if len(self._machines) == 1 else ""
        with Vertical(classes="sheet wide"):
            yield Static(f"Did {'this ring' if one else 'these rings'} fit{on}?", classes="title", markup=False)
            yield Rows(
                [
                    Column("", 1),
                    Column("Place", 26, grow=True),
                    Column("Went in", 18),
                    Column("On record till now", 19, yields=1),
                ],
                empty="",
                id="fitted-list",
            )
            yield Static("", id="fitted-words", markup=False)
            yield Static("What is ticked goes on record: the next service starts from there.", markup=False)
            if self._mixed:
                where = clean(", ".join(place.position_name for place in self._mixed), 100)
                yield Static(f"Several sorts went in at {where}: note by hand which fitted.", markup=False)
        yield Static("Enter: on record · Space: tick · Esc: none of them", classes="sheet-keys wide", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one(Rows).focus()
        self._show()

    def _show(self) -> None:
        rows = self.query_one(Rows)
        rows.show(len(self._waiting), self._row, cursor=rows.cursor)

    def on_rows_highlighted(self) -> None:
        """The highlighted ring in full."""
        one = self._waiting[self.query_one(Rows).cursor]
        before = f", on record till now {record_words(one.record)}" if one.record is not None else ""
        words = f"{one.machine_name}, {one.position_name}: {ring_words(one.ring)}{before}"
        self.query_one("#fitted-words", Static).update(clean(words, 200))

    def _row(self, index: int) -> Row:
        one = self._waiting[index]
        place = one.position_name if len(self._machines) == 1 else f"{one.position_name}, {one.machine_name}"
        before = record_words(one.record) if one.record is not None else "–"
        out = index in self._out
        return Row((" " if out else "✓", place, ring_words(one.ring), before), "dim" if out else "")

    def action_tick(self) -> None:
        """Take the highlighted ring's tick off, or set it again."""
        self._out ^= {self.query_one(Rows).cursor}
        self._show()

    def on_rows_chosen(self) -> None:
        """A click on the highlighted ring is Space."""
        self.action_tick()

    def action_accept(self) -> None:
        """Hand back what is ticked."""
        self.dismiss(tuple(one for at, one in enumerate(self._waiting) if at not in self._out))

    def action_none(self) -> None:
        """Hand back none."""
        self.dismiss(())
