"""Shelf: what lies in which bin, how much of it is free; receive and count."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.screens.area import SHARED, Area
from tui.screens.shelf.lines import ledger, stock_row, words
from tui.widgets.cells import clean
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.shelf import StockRow

# Enough to swallow a burst of keys before the database is asked.
DEBOUNCE = 0.03
LEDGER_REST = 0.12


class StockFilter(FilterInput):
    """The search; its Enter is the list's."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "screen.accept",
            "Count",
            key_display="Enter",
            id="search.accept",
            tooltip="Count the highlighted bin",
        ),
    ]


class ShelfScreen(Area):
    """A search, the stock rows by bin, and the ledger of the highlighted one."""

    AREA = "shelf"
    LIST = "#stock"
    PAGE = Path(__file__).with_name("shelf.md")
    CSS_PATH: ClassVar = [SHARED, "shelf.tcss"]
    AUTO_FOCUS = "#search"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "accept", "Count", key_display="Enter", id="shelf.count",
                tooltip="Count the highlighted bin"),
        Binding("f7,r", "receive", "Receive", key_display="F7", id="shelf.receive", tooltip="Book a delivery in"),
        Binding("f8,c", "clear", "Clear", key_display="F8", id="shelf.clear", tooltip="Empty the search"),
        Binding("slash", "find", "Search", show=False, id="shelf.find", tooltip="Type in the search"),
        Binding("f12,y", "refresh", "Read again", show=False, id="shelf.refresh", tooltip="Read the workshop again"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._stock: tuple[StockRow, ...] = ()
        self._most: dict[str, int] = {}
        self._stock_id: int | None = None
        self._searched = ""

    def body(self) -> Iterable[Widget]:
        """Search, list, ledger."""
        with Horizontal(id="top"):
            yield StockFilter(placeholder="search: item, size, rubber, bin", max_length=200, id="search")
            yield Static(id="count", markup=False)
        with Vertical(id="shelf"):
            yield Rows(
                [
                    Column("Bin", 8),
                    Column("Item", 20, grow=True),
                    Column("Free", 9, right=True),
                    Column("Promised", 9, right=True, yields=1),
                    Column("Stock", 10, yields=2),
                    Column("Expires", 10, yields=3),
                ],
                empty="Reading …",
                id="stock",
            )
            yield Static(id="ledger")

    def workshop_changed(self) -> None:
        """Read the shelf again, keeping the cursor on its row."""
        self._search()

    @work(exclusive=True, group="search")
    async def _search(self, wait: float = 0.0) -> None:
        await asyncio.sleep(wait)
        await self._look_up()

    async def _look_up(self) -> None:
        text = self.query_one("#search", Input).value
        page = await self.ask(self.kitwright.workshop.stock, text)
        if page is None:
            self.rows.empty = "The workshop could not be read."
            self.rows.refresh()
            return
        self._searched = text
        self._stock = page.rows
        self._most = {}
        for row in page.rows:
            self._most[row.counted_in] = max(self._most.get(row.counted_in, 0), row.on_hand)
        self.rows.empty = (
            "Nothing found. F8 clears the search." if text.strip() else "The shelf is empty. F7 books a delivery in."
        )
        cut = len(page.rows) < page.total
        count = f"{len(page.rows)} of {page.total}: type to narrow" if cut else f"{page.total} rows"
        self.query_one("#count", Static).update(count, layout=False)
        at = next((i for i, row in enumerate(page.rows) if row.stock_id == self._stock_id), 0)
        self.rows.show(len(page.rows), self._row, cursor=at)

    def _row(self, index: int) -> Row:
        row = self._stock[index]
        return stock_row(row, self._most.get(row.counted_in, 0), plain=self.kitwright.plain_glyphs)

    @property
    def chosen(self) -> StockRow | None:
        """The highlighted stock row."""
        index = self.rows.cursor
        return self._stock[index] if 0 <= index < len(self._stock) else None

    def on_input_changed(self) -> None:
        """Follow the text as it is typed."""
        self._search(DEBOUNCE)

    def on_rows_highlighted(self) -> None:
        """Show what belongs to the highlighted row."""
        self._stock_id = self.chosen.stock_id if self.chosen else None
        self._show_ledger()

    @work(exclusive=True, group="ledger")
    async def _show_ledger(self) -> None:
        panel = self.query_one("#ledger", Static)
        row = self.chosen
        if row is None:
            panel.update("", layout=False)
            return
        await asyncio.sleep(LEDGER_REST)
        moved = await self.ask(self.kitwright.workshop.movements, row.stock_id)
        lines = ledger(row, moved or (), max(1, panel.size.height - 1))
        panel.update(Content("\n").join([Content(clean(line)) for line in lines]), layout=False)

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self.action_accept()

    def action_find(self) -> None:
        """Go to the search."""
        self.query_one("#search", Input).focus()

    def action_clear(self) -> None:
        """Empty the search."""
        self.query_one("#search", Input).value = ""

    def action_refresh(self) -> None:
        """Read the workshop again."""
        self._search()

    @work(exclusive=True, group="change")
    async def action_accept(self) -> None:
        """Count the highlighted bin."""
        from tui.screens.shelf.dialogs import CountForm

        if self.query_one("#search", Input).value != self._searched:
            # Enter came before the answer to the last letters typed.
            await self._look_up()
        row = self.chosen
        if row is None:
            self.say("Nothing to count here. F7 books a delivery in.")
            return
        counted = await self.app.push_screen_wait(CountForm(row))
        if counted is None:
            return
        after = await self.ask(self.kitwright.workshop.count, row.stock_id, counted)
        if after is not None:
            difference = after.on_hand - row.on_hand
            sign = "+" if difference >= 0 else "−"
            said = f"{words(after.on_hand, after.counted_in)} ({sign}{words(abs(difference), after.counted_in)})"
            self.say(f"Counted {clean(row.item_name)} in {clean(row.bin_code)}: {said}. F9 takes it back.")
            self._search()

    @work(exclusive=True, group="change")
    async def action_receive(self) -> None:
        """Book a delivery in."""
        from tui.screens.shelf.dialogs import ReceiveForm

        known = await self.ask(self.kitwright.workshop.known)
        if known is None:
            return
        delivery = await self.app.push_screen_wait(ReceiveForm(known.items, known.bins, self.chosen))
        if delivery is None:
            return
        row = await self.ask(self.kitwright.workshop.receive, delivery)
        if row is not None:
            self._stock_id = row.stock_id
            here = f"{words(delivery.quantity, row.counted_in)} {clean(row.item_name)} into {clean(row.bin_code)}"
            self.say(f"Received {here}; now {words(row.on_hand, row.counted_in)}. F9 takes it back.")
            self._search()
