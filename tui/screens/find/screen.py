"""Find: search as you type over the shop's items and the suppliers' lists; take a supplier's list in."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Input, Static

from catalog import orings
from models import search
from tui import screens
from tui.bound import bind
from tui.keys import key, plain
from tui.screens.area import SHARED, Area
from tui.screens.bands import bands
from tui.screens.catalog.picture import Frame
from tui.screens.elsewhere import Marks, by, place_of
from tui.screens.find import about
from tui.screens.find.lines import key_of, row_of
from tui.screens.find.window import BLOCK, HitWindow
from tui.widgets.answer_band import AnswerBand
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows
from tui.widgets.sketch import Sketch

if TYPE_CHECKING:
    from models.search.found import Hit, Page
    from models.watching.heard import Booked

# Enough to swallow a burst of keys before the database is asked.
DEBOUNCE = 0.03
# Rest of the cursor before the shelf is asked.
SHELF_REST = 0.12
FOUND_BY = ("items.", "lists.", "suppliers.", "undo")
"""Actions that change what a search finds; the counts on the shelf do not."""


class FindField(FilterInput):
    """The search; its Enter is the list's."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "screen.accept", "Put on a kit", show=True, id="findfield.accept",
                tooltip="Put the highlighted ring on a job's kit"),
    ]  # fmt: skip


class FindScreen(Area):
    """A field, what was found, and the highlighted row in full."""

    AREA = "find"
    LIST = "#hits"
    PAGE = Path(__file__).with_name("find.md")
    CSS_PATH: ClassVar = [SHARED, "find.tcss"]
    AUTO_FOCUS = "#find-text"
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("take", "accept", "Put on a kit", show=True, id="find.accept",
                tooltip="Put the highlighted ring on a job's kit"),
        bind("list", "load", "Load a list", show=True, id="find.load", tooltip="Take a supplier's list in"),
        bind("clear", "clear", "Clear", show=True, id="find.clear", tooltip="Empty the search"),
        bind("paper", "app.anywhere('picture', 'show')", "Picture, note", id="find.picture",
                tooltip="The picture and the note of the highlighted item"),
        bind("search", "find", "Search", id="find.find", tooltip="Type in the search"),
        bind("again", "refresh", "Read again", id="find.refresh", tooltip="Read the workshop again"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._window = HitWindow("")
        self._marks = Marks()
        # The row that what is shown of the shelf belongs to.
        self._about: tuple[str, int] | None = None
        # Keys typed between two steps of loading a list: they belong to the next one. None while no list is loaded.
        self._between: list[events.Key | events.Paste] | None = None

    def body(self) -> Iterable[Widget]:
        """The answer, field and count, list and drawing."""
        top = Horizontal(
            FindField(placeholder="a number, part of one, words, or 3.5 x 25 nbr", max_length=200, id="find-text"),
            Static(id="find-count", markup=False),
            id="find-top",
        )
        rows = Rows(
            [
                Column("From", 10, yields=1), Column("Number", 13, yields=2), Column("Name", 26, grow=True),
                Column("Size", 8, yields=3), Column("Pack", 7, right=True, yields=4), Column("Price", 12, right=True),
            ],
            id="hits",
        )  # fmt: skip
        yield from bands(top, rows=rows)

    def workshop_changed(self) -> None:
        """Search again, keeping the cursor."""
        self._search(keep=True)

    async def take_in(self, booked: tuple[Booked, ...]) -> None:
        """Others added or renamed an item, or loaded a list: what is found by it is marked, and the cursor stays."""
        if not any(one.what.startswith(FOUND_BY) for one in booked):
            return
        window, here = self._window, self.hit
        await self._look(keep=True)
        if window.text != self._window.text:
            return
        after = self._window.first()
        fresh = self._marks.took(
            {key_of(one): row_of(one) for one in window.first()}, {key_of(one): row_of(one) for one in after}
        )
        if here is not None and self.rows.cursor < len(after):
            self.rows.move_to(place_of(key_of(here), map(key_of, after), self.rows.cursor))
            if key_of(here) in fresh:
                self.say(f"{by(booked, self.kitwright.workshop.who)} changed {here.name} meanwhile.")
        self.rows.renew()

    @work(exclusive=True, group="search")
    async def _search(self, *, keep: bool = False) -> None:
        await asyncio.sleep(DEBOUNCE)
        await self._look(keep=keep)

    async def _look(self, *, keep: bool = False) -> None:
        text = self.query_one("#find-text", Input).value
        window = HitWindow(text)
        # At first without `ask`, which loads SQLAlchemy: the rows are there in half the time.
        page = None if text.strip() else await self.in_turn(self.kitwright.workshop.first_found, BLOCK)
        if page is None:
            page = await self.ask(self._page, text, 0, quiet=True)
        if page is None:
            self.rows.empty = f"The workshop could not be read. {plain('again')} tries again."
        else:
            nothing = f"No match. Try part of the number, or {key('clear')} to clear."
            self.rows.empty = (
                nothing if text.strip() else f"No item and no supplier's list yet. {key('list')} loads a list."
            )
            window.put(0, page)
        at = self.rows.cursor if keep and text == self._window.text else 0
        self._window = window
        self._show(at)

    def _page(self, text: str, offset: int) -> Page:
        if self.kitwright.unit == "in":
            text = search.sizes.in_inches(text)
        return self.kitwright.workshop.read(
            lambda session: search.searching.search(session, text, limit=BLOCK, offset=offset)
        )

    def _show(self, cursor: int) -> None:
        self.query_one("#find-count", Static).update(self._window.said(), layout=False)
        self.rows.show(self._window.total, self._row, cursor=cursor)

    def _row(self, index: int) -> Row:
        hit = self._window.row(index)
        if hit is None and self._window.wanted:
            self.call_next(self._fetch)
        return (
            row_of(hit) if hit is None else self._marks.on(row_of(hit), key_of(hit), plain=self.kitwright.plain_glyphs)
        )

    def _fetch(self) -> None:
        """Start fetching, unless that is under way."""
        if not any(worker.group == "blocks" and not worker.is_finished for worker in self.workers):
            self._fetch_blocks()

    @work(group="blocks")
    async def _fetch_blocks(self) -> None:
        while self._window.wanted:
            window = self._window
            block = window.wanted[-1]
            page = await self.ask(self._page, window.text, block * BLOCK, quiet=True)
            if window is not self._window:
                continue
            if page is None:
                window.wanted.clear()
                return
            window.put(block, page)
            # Whatever is still wanted and in sight asks again when it is drawn.
            self._show(self.rows.cursor)

    @property
    def hit(self) -> Hit | None:
        """The highlighted row, once it is here."""
        index = self.rows.cursor
        return self._window.row(index) if 0 <= index < self._window.total else None

    def meant(self) -> Mapping[str, str]:
        """The highlighted item; a row of a supplier's list is none."""
        hit = self.hit
        return {"item": hit.name} if hit is not None and hit.where == "item" else {}

    def on_input_changed(self) -> None:
        """Follow the text as it is typed."""
        self._search()

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.watch(self.app, "unit", self._unit_flipped, init=False)

    def _unit_flipped(self) -> None:
        self._show_about()
        # A bare length is another one now.
        self._search(keep=True)

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        """Show what belongs to the highlighted row, and look ahead."""
        self._marks.at(key_of(self.hit) if self.hit is not None else None)
        self._show_about()
        self.refresh_bindings()
        if self._window.near_end(event.index) or self._window.wanted:
            self._fetch()

    @work(exclusive=True, group="about")
    async def _show_about(self) -> None:
        """What the row is; where it lies once the cursor has rested on it."""
        hit = self.hit
        if hit is None or key_of(hit) != self._about:
            self._show_lying(hit, None)
        if hit is None:
            return
        await asyncio.sleep(SHELF_REST)
        self._show_lying(hit, await self.ask(about.lying, self.kitwright.workshop, hit, quiet=True))

    def _show_lying(self, hit: Hit | None, there: about.Lying | None) -> None:
        self._about = None if hit is None or there is None else key_of(hit)
        unit, plain = self.kitwright.unit, bool(self.kitwright.plain_glyphs)
        self.query_one(AnswerBand).show(about.answer(hit, there, unit))
        self.query_one(Sketch).show(lambda columns, rows: about.drawing(there, Frame(columns, rows, unit, plain)))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Enter is offered only where it does something: on a ring of a known size."""
        if action == "accept" and self.is_mounted:
            return self.hit is None or bool(self.hit.size_key)
        return super().check_action(action, parameters)

    def next_words(self) -> str:
        """What Enter puts on a kit; where to go with what is not a ring."""
        hit = self.hit
        if hit is None:
            typed = self.query_one("#find-text", Input).value
            said = f"{key('clear')} clears the search" if typed else "type"
            return f"{said}, or {key('list')} loads a supplier's list"
        if hit.size_key:
            return f"Enter puts {orings.sizes.label_of(hit.size_key)} on a kit"
        if str(hit.where) == "item":
            return f"no ring: {key('kits')} Kits puts it on a job, {key('shelf')} Shelf has where it lies"
        return f"no ring: put it on a job in Kits ({key('kits')}), and Buy ({key('buy')}) orders it"

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self.action_accept()

    def action_clear(self) -> None:
        """Empty the search, and take what is typed next: in the list a digit is a key."""
        field = self.query_one("#find-text", Input)
        field.value = ""
        self.set_focus(field)

    def action_find(self) -> None:
        """Go to the field."""
        self.query_one("#find-text", Input).focus()

    def action_refresh(self) -> None:
        """Read the workshop again."""
        self._marks.clear()
        self._search(keep=True)

    def action_accept(self) -> None:
        """Take the highlighted ring to a job, unless a list is being opened: its next question comes soon."""
        if any(worker.node is self and worker.group == "list" and not worker.is_finished for worker in self.workers):
            self.say("The list is being opened.")
            return
        self._accept()

    @work(exclusive=True, group="accept")
    async def _accept(self) -> None:
        if self.query_one("#find-text", Input).value != self._window.text:
            # Enter came before the answer to the last letters typed; take nothing older than they are.
            await self._look()
        hit = self.hit
        if hit is None:
            return
        if not hit.size_key:
            self.say("Only a ring of a known size goes on a kit from here.")
            return
        await screens.accept.accept(self, screens.find.chosen_ring.chosen_ring_of(hit))

    @work(exclusive=True, group="list")
    async def action_load(self) -> None:
        """Take a supplier's list in, step by step; Esc at any of them changes nothing."""
        self._between = []
        try:
            loaded = await screens.find.load.load_list(self)
        finally:
            self._between = None
        if loaded:
            self.workshop_changed()

    def keeps(self, event: events.Key | events.Paste) -> bool:
        """What is typed while a step of loading a list is on its way waits for it, and goes into no search."""
        if self._between is None or (isinstance(event, events.Key) and not event.is_printable):
            return False
        self._between.append(event)
        return True

    def on_screen_suspend(self) -> None:
        """The next step lies over this: hand it what was typed for it."""
        if self._between:
            waiting, self._between = self._between, []
            self.app.call_later(self.kitwright.hand_on, waiting)
