"""Shelf: what lies in which bin and how much of it is free; a scan narrows it to one bin or one item."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Static

import models
from models import inventory
from tui import screens
from tui.bound import bind
from tui.keys import key, plain
from tui.scanning import Takes, looked_up
from tui.screens.area import SHARED, Area
from tui.screens.bands import bands
from tui.screens.elsewhere import Marks, stock_news, told
from tui.screens.operating import keys_of
from tui.screens.shelf.lines import LEDGER_ROWS, Known, answer, belonging, drawing, ledger, stock_row, words
from tui.screens.shelf.operations import ShelfOperations
from tui.widgets.answer_band import AnswerBand
from tui.widgets.cells import clean
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows
from tui.widgets.sketch import Sketch

if TYPE_CHECKING:
    from datetime import date

    from models.inventory.bins import BinRow
    from models.stock_rows import StockRow
    from models.watching.heard import Booked
    from tui.scanning import Scanned
    from tui.workshop import Workshop

# Enough to swallow a burst of keys before the database is asked.
DEBOUNCE = 0.03
LEDGER_REST = 0.12
KEYS = " · ".join(
    f"{plain(means)} {what}"
    for means, what in (
        ("pick", "use"), ("scrap", "scrap"), ("move", "move"), ("all", "round"), ("wanted", "low"),
        ("fill", "boxes"), ("list", "box"), ("new", "code"),
    )
)  # fmt: skip


class StockFilter(FilterInput):
    """The search; its Enter is the list's."""

    # Nothing on the shelf is searched by its bar code's digits; a new code is kept for an item.
    TAKES_CODES: ClassVar = Takes.CHECKED
    BINDINGS: ClassVar[list[BindingType]] = [
        bind(
            "take",
            "screen.operate('count', 'shelf')",
            "Count",
            show=True,
            id="search.accept",
            tooltip="Count the highlighted bin",
        ),
    ]


class ShelfScreen(ShelfOperations, Area):
    """A search, the stock rows by bin, and the ledger of the highlighted one."""

    AREA = "shelf"
    LIST = "#stock"
    PAGE = Path(__file__).with_name("shelf.md")
    CSS_PATH: ClassVar = [SHARED, "shelf.tcss"]
    AUTO_FOCUS = "#search"
    BINDINGS: ClassVar[list[BindingType]] = [
        *keys_of("shelf", footer=("count", "receive")),
        bind("clear", "clear", "Clear", show=True, id="shelf.clear",
             tooltip="Empty the search; show all again after a scan"),
        bind("paper", "picture", "Picture, note", show=True, plain=True, id="shelf.picture",
             tooltip="The picture and the note of the item and of the bin: see, add, change, remove"),
        bind("search", "find", "Search", id="shelf.find", tooltip="Type in the search"),
        bind("again", "refresh", "Read again", id="shelf.refresh", tooltip="Read the workshop again"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self.reads = True
        self._stock: tuple[StockRow, ...] = ()
        self._most: dict[str, int] = {}
        self._stock_id: int | None = None
        self._searched = ""
        self._today: date | None = None
        # What a scan narrowed the list to: the bin or the item, by number, and its name.
        self._only: tuple[str, int, str] | None = None
        self._unknown_code = ""
        self._marks = Marks()
        # The row that what is shown of the ledger belongs to.
        self._about: int | None = None
        # Which rows were shown last, and whether somebody has moved to another of them.
        self._shown = 0
        self._moved = False

    def body(self) -> Iterable[Widget]:
        """The answer, the search, list and bars, the ledger."""
        top = Horizontal(
            StockFilter(placeholder="search: item, size, rubber, bin", max_length=200, id="search"),
            Static(id="count", markup=False),
            id="top",
        )
        rows = Rows(
            [
                Column("Bin", 8),
                Column("Item", 20, grow=True),
                Column("Free", 9, right=True),
                Column("Promised", 9, right=True, yields=1),
                Column("Stock", 10, yields=2),
                Column("Expires", 10, yields=3),
            ],
            id="stock",
        )
        yield from bands(top, rows=rows, about="ledger")
        yield Static("", id="shelf-keys", classes="quiet", markup=False)

    def workshop_changed(self) -> None:
        """Read the shelf again, keeping the cursor on its row."""
        self._search()

    @work(exclusive=True, group="search")
    async def _search(self, wait: float = 0.0) -> None:
        await asyncio.sleep(wait)
        await self._look_up()

    async def _look_up(self) -> None:
        text = self.query_one("#search", Input).value
        if text:
            self._only = None
        if self._today is None:
            self._today = self.kitwright.workshop.today()
        rows, total = await self._found(text)
        self.reads = False
        if rows is None:
            self.rows.empty = "The workshop could not be read."
            self.rows.refresh()
            return
        self._searched = text
        self._take_rows(rows)
        self.rows.empty = self._empty(text)
        cut = len(rows) < total
        whole = f"{total} row{'s' * (total != 1)}"
        count = f"{len(rows)} of {total}: type to narrow" if cut else whole
        if self._only is not None:
            count = f"{self._only[2]}: {whole} · {key('clear')} all"
        self.query_one("#count", Static).update(clean(count), layout=False)
        if not total and not text and self.query_one("#search", Input).has_focus:
            # There is nothing to search: letters are keys, as the list says.
            self.rows.focus()
        at = next((i for i, row in enumerate(rows) if row.stock_id == self._stock_id), 0)
        self.rows.show(len(rows), self._row, cursor=at)

    def _take_rows(self, rows: tuple[StockRow, ...]) -> None:
        self._stock = rows
        self._most = {}
        for row in rows:
            self._most[row.counted_in] = max(self._most.get(row.counted_in, 0), row.on_hand)

    async def take_in(self, booked: tuple[Booked, ...]) -> None:
        """Others booked something: only the rows that moved are read, unless there may be others now."""
        news = await self.ask(stock_news, self.kitwright.workshop, booked, quiet=True)
        if news is None:
            return
        before = {row.stock_id: row for row in self._stock}
        if news.whole:
            searched = self._searched
            await self._look_up()
            if searched != self._searched:
                return
        else:
            self._take_rows(tuple(news.rows.get(row.stock_id, row) for row in self._stock))
        self._marks.took(before, {row.stock_id: row for row in self._stock})
        self.rows.renew()
        chosen = self.chosen
        if chosen is not None and chosen.stock_id in news.moves:
            # A form over it says so itself.
            if self.app.screen is self:
                how = told(news.moves[chosen.stock_id], chosen, self.kitwright.workshop.who)
                self.say(f"{chosen.item_name} in {chosen.bin_code}: {how}.")
            self._show_ledger()
            self.say_next()

    async def _found(self, text: str) -> tuple[tuple[StockRow, ...] | None, int]:
        """The rows to show, and how many there are in all."""
        if self._only is not None:
            kind, number, _ = self._only
            found = await self.ask(_rows_of, self.kitwright.workshop, f"{kind}_id", number)
            return found, len(found or ())
        # At first without `ask`, which loads SQLAlchemy: the rows are there in half the time.
        page = None if text else await self.in_turn(self.kitwright.workshop.first_stock)
        if page is None:
            page = await self.ask(self.kitwright.workshop.stock, text)
        return (None, 0) if page is None else (page.rows, page.total)

    def _empty(self, text: str) -> str:
        if self._only is not None:
            return f"{clean(self._only[2])}: nothing there. {key('record')} books in, {key('clear')} shows all."
        if text.strip():
            return f"Nothing found. {key('clear')} clears the search."
        return f"The shelf is empty. {plain('record')} books a delivery in, {plain('list')} a whole box by one paste."

    def _row(self, index: int) -> Row:
        row = self._stock[index]
        plain = self.kitwright.plain_glyphs
        shown = stock_row(row, self._most.get(row.counted_in, 0), self._today, plain=plain)
        return self._marks.on(shown, row.stock_id, plain=plain)

    @property
    def chosen(self) -> StockRow | None:
        """The highlighted stock row."""
        index = self.rows.cursor
        return self._stock[index] if 0 <= index < len(self._stock) else None

    def next_words(self) -> str:
        """What Enter counts."""
        row = self.chosen
        on_hand = "" if row is None else words(row.on_hand, row.counted_in)
        return "" if row is None else f"Enter counts {row.item_name} in {row.bin_code}: {on_hand} on record"

    def meant(self) -> Mapping[str, str]:
        """The highlighted row's item and bin."""
        row = self.chosen
        return {} if row is None else {"item": row.item_name, "bin": row.bin_code}

    def on_descendant_focus(self) -> None:
        """Letters work in the list; the line says how to get there."""
        lead = "" if self.rows.has_focus else "Esc: "
        self.query_one("#shelf-keys", Static).update(lead + KEYS)

    def on_input_changed(self) -> None:
        """Follow the text as it is typed."""
        self._search(DEBOUNCE)

    @property
    def sought(self) -> bool:
        """Whether the highlighted row is one that somebody looked for: by a search, a scan, or the arrows."""
        return self._moved or self._only is not None or bool(self._searched.strip())

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        """Show what belongs to the highlighted row."""
        if not event.is_past:
            self._moved, self._shown = event.rows.showings == self._shown, event.rows.showings
        self._stock_id = self.chosen.stock_id if self.chosen else None
        self._marks.at(self._stock_id)
        self._show_ledger()

    @work(exclusive=True, group="ledger")
    async def _show_ledger(self) -> None:
        row = self.chosen
        if row is None or row.stock_id != self._about:
            # What was known of another row says nothing of this one.
            self._show_known(row, None)
        if row is None:
            return
        await asyncio.sleep(LEDGER_REST)
        self._show_known(row, await self.ask(belonging, self.kitwright.workshop, row, quiet=True))

    def _show_known(self, row: StockRow | None, known: Known | None) -> None:
        self._about = None if known is None or row is None else row.stock_id
        plain, unit = self.kitwright.plain_glyphs, self.kitwright.unit
        band, panel = self.query_one(AnswerBand), self.query_one("#ledger", Static)
        band.show(answer(row, known, self._today, unit, band.size.width, plain=plain))
        self.query_one(Sketch).show(partial(drawing, row, known, plain=plain))
        lines = ledger(known, LEDGER_ROWS)
        panel.update(Content("\n").join([Content(clean(line)) for line in lines]), layout=False)

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self.action_operate("count")

    def action_find(self) -> None:
        """Go to the search."""
        self.query_one("#search", Input).focus()

    def action_clear(self) -> None:
        """Empty the search, show all again after a scan, and take what is typed next: in the list a digit is a key."""
        only, self._only = self._only, None
        field = self.query_one("#search", Input)
        field.value = ""
        self.set_focus(field)
        if only is not None:
            self._search()

    @work(exclusive=True, group="change")
    async def action_picture(self) -> None:
        """Picture and note of the highlighted row's item and bin."""
        if self.query_one("#search", Input).value != self._searched:
            await self._look_up()
        await screens.picture_page.open_for(self)

    def action_refresh(self) -> None:
        """Read the workshop again."""
        self._today = None
        self._marks.clear()
        self._search()

    def scanned(self, found: Scanned) -> bool:
        """A bin's label or a bar code: show that bin or that item, and nothing else."""
        self._show_scanned(found)
        return True

    @work(exclusive=True, group="scanned")
    async def _show_scanned(self, found: Scanned) -> None:
        if found.bin_code:
            place = await self.ask(_bin_named, self.kitwright.workshop, found.bin_code)
            if place is None:
                self.say(
                    f"There is no bin “{clean(found.bin_code)}” here. {key('record')} makes it with a delivery.",
                    trouble=True,
                )
                return
            self._show_only(("bin", place.bin_id, f"bin {place.code}"))
            return
        known = await self.ask(looked_up, self.kitwright.workshop, found.gtin)
        if known is None:
            return
        if known.item_id is not None:
            self._show_only(("item", known.item_id, known.item_name))
            return
        self._unknown_code = found.gtin
        listed = f" Listed as {clean(known.listed[0])}." if known.listed else ""
        self.say(
            f"No item has the bar code {found.gtin} yet.{listed} Highlight its item: {plain('new')} keeps it there.",
            trouble=True,
        )
        self.rows.focus()

    def _show_only(self, only: tuple[str, int, str]) -> None:
        self._only = only
        field = self.query_one("#search", Input)
        with self.prevent(Input.Changed):
            field.value = ""
        self.rows.focus()
        self._search()


def _rows_of(workshop: Workshop, what: str, number: int) -> tuple[StockRow, ...]:
    """What lies in a bin, or where an item lies."""
    return workshop.read(lambda session: models.shelf.rows_of(session, **{what: number}))


def _bin_named(workshop: Workshop, code: str) -> BinRow | None:
    """The bin with this code."""
    return workshop.read(lambda session: inventory.bins.named(session, code))
