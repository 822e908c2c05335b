"""Tables: the Catalog's fluid classes, threads and filter media at hand where they are judged."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from textual import work
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Input, Static

from tui.keys import key
from tui.screens.catalog import fluids, media, threads
from tui.screens.catalog.entries import narrow, words
from tui.screens.catalog.full import CAUTION, ruling
from tui.screens.catalog.reference import Entry
from tui.screens.judge.bench import Bench
from tui.screens.judge.ruling import Ruling, nothing
from tui.widgets.answer_band import CUT_SHOWN_BY, Told, chip
from tui.widgets.cells import clean
from tui.widgets.choice import Choice
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from tui.host import Host
    from tui.screens.area import Area

SORTS = ("fluids", "threads", "media")
ENTRIES = {"fluids": fluids.entries, "threads": threads.entries, "media": media.entries}


class TableFilter(FilterInput):
    """The filter. A question mark and Alt with a letter stay the screen's: nothing in the tables has them."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Leave the question mark alone."""
        return character != "?" and not key.startswith("alt+") and super().check_consume_key(key, character)


class TablesPanel(Bench):
    """A filter, the list, the highlighted row in full."""

    CAUTION = CAUTION

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._all: Sequence[Entry] = ()
        self._kept: Sequence[Entry] = ()
        self._emptied = ""

    def compose(self) -> ComposeResult:
        """Filter and sort above, list, detail."""
        with Horizontal(classes="tables-top"):
            yield TableFilter(placeholder="filter: utto   15w-40   m12 1.5   60 mesh   unchecked", max_length=80)
            yield Static(classes="tables-count", markup=False)
        yield Choice(SORTS, id="sort")
        yield Rows(
            [Column("Name", 20), Column("Figures", 24, grow=True), Column("Family", 26, yields=1)],
            empty="Reading the tables …",
            id="entries",
        )
        yield Told(cut=CUT_SHOWN_BY, classes="ruling-line")

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self._load()

    @work(exclusive=True, group="load")
    async def _load(self) -> None:
        sort = self._sort
        self._all = await asyncio.to_thread(ENTRIES[sort])
        self.rows.empty = f"No row matches. {key('clear')} empties the filter."
        self._filter()
        if sort == "fluids":
            found = await cast("Area", self.screen).ask(fluids.own_entries, cast("Host", self.app).workshop, quiet=True)
            if found:
                self._all = (*found, *self._all)
                self._filter()

    @property
    def _sort(self) -> str:
        return SORTS[self.query_one("#sort", Choice).index]

    @property
    def filter(self) -> Input:
        """The filter."""
        return self.query_one(FilterInput)

    def _filter(self) -> None:
        self._kept = narrow(self._all, words(self.filter.value))
        self.query_one(".tables-count", Static).update(f"{len(self._kept):,} of {len(self._all):,} {self._sort}")
        self.rows.show(len(self._kept), self._row)

    def _row(self, index: int) -> Row:
        entry = self._kept[index]
        return Row((entry.name, entry.figures, entry.family))

    @property
    def answer(self) -> Sequence[Content]:
        """The highlighted row: its name and its family, its figures."""
        index = self.rows.cursor
        if not 0 <= index < len(self._kept):
            return [Content("The tables that judgements rest on. Type to narrow the list.")]
        entry = self._kept[index]
        return [Content.assemble(chip(entry.name), f"  {clean(entry.family)}"), Content(clean(entry.figures))]

    @property
    def ruling(self) -> Ruling:
        """The highlighted row, for the sheet of reasons."""
        index = self.rows.cursor
        if not 0 <= index < len(self._kept):
            return nothing("Nothing is highlighted.")
        return ruling(self._kept[index])

    def on_input_changed(self, event: Input.Changed) -> None:
        """Follow the text as it is typed."""
        event.stop()
        kept = clean(event.value)
        if kept != event.value:
            # A pasted control character must never reach the terminal.
            event.input.value = kept
            return
        self._filter()

    def on_choice_changed(self, event: Choice.Changed) -> None:
        """Another table."""
        event.stop()
        self._load()

    def on_rows_highlighted(self, message: Rows.Highlighted) -> None:
        """Show the highlighted row in full."""
        message.stop()
        self._show_line()

    def _show_line(self) -> None:
        ruling = self.ruling
        box = self.query_one(".ruling-line", Static)
        parts = [Content(clean(f"{line.name}: {line.sentence} [{line.source}]")) for line in ruling.lines]
        box.update(Content("\n").join(parts) if parts else Content(""))
        self.post_message(self.Answered(self))

    def clear(self) -> bool:
        """Empty the filter, or bring back what stood in it."""
        typed = self.filter.value
        self.filter.value = "" if typed else self._emptied
        self._emptied = typed or self._emptied
        return bool(typed)

    def example(self) -> bool:
        """There is nothing to fill in."""
        return True

    def turn_picture(self) -> None:
        """A page down: there is no drawing here."""
        self.rows.action_page(1)
