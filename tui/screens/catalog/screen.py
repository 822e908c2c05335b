"""Catalog: every size of every series, narrowed as you type."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.screens.area import SHARED, Area
from tui.screens.catalog.detail import detail
from tui.screens.catalog.entries import Entry, entries, narrow, words
from tui.widgets.choice import Choice
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

# The series in the order of the choice; "" is all of them. Words short enough to stand side by side at 80 columns.
SERIES = (("all", ""), ("AS568", "as568"), ("JIS", "jis"), ("metric", "metric"), ("BS 4518", "bs4518"),
          ("French R", "afnor"), ("stock", "stock"))  # fmt: skip


class SizeFilter(FilterInput):
    """The filter; its Enter is the list's."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter",
            "screen.accept",
            "Put on a kit",
            key_display="Enter",
            id="filter.accept",
            tooltip="Put the size on a kit",
        ),
    ]


class CatalogScreen(Area):
    """A filter, the list, and the highlighted size in full."""

    AREA = "catalog"
    LIST = "#sizes"
    PAGE = Path(__file__).with_name("catalog.md")
    CSS_PATH: ClassVar = [SHARED, "catalog.tcss"]
    AUTO_FOCUS = "#filter"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "accept", "Put on a kit", key_display="Enter", id="catalog.accept",
                tooltip="Put the highlighted size on a job's kit"),
        Binding("f7,s", "series", "Series", key_display="F7", id="catalog.series", tooltip="Only one series, or all"),
        Binding("f8,c", "clear", "Clear", key_display="F8", id="catalog.clear", tooltip="Empty the filter"),
        Binding("slash", "find", "Filter", show=False, id="catalog.find", tooltip="Type in the filter"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._all: Sequence[Entry] = ()
        self._kept: Sequence[Entry] = ()
        self._asked: tuple[str, str] = ("", "")

    def body(self) -> Iterable[Widget]:
        """Filter and series above, list and detail below."""
        with Horizontal(id="top"):
            yield SizeFilter(placeholder="filter: 214   25 x 3.5   .984   jis p   memory", max_length=80, id="filter")
            yield Static(id="count", markup=False)
        yield Choice([word for word, _ in SERIES], id="series")
        # No container around the two: each one around the list is painted again with it at every key.
        yield Rows(self._columns(), empty="Reading the tables …", id="sizes")
        yield Static(id="detail")

    def _columns(self) -> list[Column]:
        mm = [Column("ID mm", 8, right=True), Column("width mm", 8, right=True)]
        inch = [Column("ID in", 7, right=True, yields=2), Column("width in", 8, right=True, yields=2)]
        dims = [*inch, *mm] if self.kitwright.unit == "in" else [*mm, *inch]
        series, standing = Column("Series", 18, yields=3), Column("Source", 11, yields=1)
        return [Column("Size", 15, grow=True), *dims, standing, series]

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.watch(self.app, "unit", self._unit_flipped, init=False)
        self._load()

    @work(exclusive=True, group="load")
    async def _load(self) -> None:
        self._all = await asyncio.to_thread(entries)
        self.rows.empty = "No size has all of that. F8 clears the filter."
        self._asked = ("", "")
        self._kept = self._all
        self._filter()

    def _filter(self) -> None:
        """Narrow in the same breath as the key: 1,800 rows take a third of a millisecond, too little to hand over."""
        text = self.query_one("#filter", Input).value
        series = SERIES[self.query_one("#series", Choice).index][1]
        before, before_series = self._asked
        # A longer text of the same beginning can only keep some of what was kept.
        among = self._kept if text.startswith(before) and series == before_series and before else self._all
        self._kept = narrow(among, words(text), series)
        self._asked = (text, series)
        count = f"{len(self._kept):,} of {len(self._all):,} sizes"
        # The places have fixed sizes: no layout at every key.
        self.query_one("#count", Static).update(count, layout=False)
        self.rows.show(len(self._kept), self._row)

    def _row(self, index: int) -> Row:
        entry = self._kept[index]
        size = entry.size
        mm = [f"{size.id_mm:.2f}", f"{size.cross_section_mm:.2f}"]
        inch = [f"{size.id_mm / 25.4:.3f}", f"{size.cross_section_mm / 25.4:.3f}"]
        dims = [*inch, *mm] if self.kitwright.unit == "in" else [*mm, *inch]
        standing = "published" if size.standing == "published" else "from memory"
        return Row((size.label, *dims, standing, entry.title))

    @property
    def chosen(self) -> Entry | None:
        """The highlighted entry."""
        index = self.rows.cursor
        return self._kept[index] if 0 <= index < len(self._kept) else None

    def on_input_changed(self) -> None:
        """Follow the text as it is typed."""
        self._filter()

    def on_choice_changed(self) -> None:
        """Follow the choice."""
        self._filter()

    def on_rows_highlighted(self) -> None:
        """Show what belongs to the highlighted row."""
        self.query_one("#detail", Static).update(detail(self.chosen, self.kitwright.unit), layout=False)

    def on_rows_chosen(self) -> None:
        """Take the row."""
        self.action_accept()

    def _unit_flipped(self) -> None:
        self.rows.set_columns(self._columns())
        self.on_rows_highlighted()

    def action_series(self) -> None:
        """The next series."""
        self.query_one("#series", Choice).action_step(1)

    def action_clear(self) -> None:
        """Empty the filter."""
        self.query_one("#filter", Input).value = ""
        self.query_one("#series", Choice).index = 0

    def action_find(self) -> None:
        """Go to the filter."""
        self.query_one("#filter", Input).focus()

    def action_accept(self) -> None:
        """Take the highlighted size to a job."""
        if self.query_one("#filter", Input).value != self._asked[0]:
            self._filter()
        if self.chosen is not None:
            self._accept(self.chosen)

    @work(exclusive=True, group="accept")
    async def _accept(self, entry: Entry) -> None:
        from tui.screens.accept import accept
        from tui.workshop import Wish

        await accept(self, Wish(entry.size.label, entry.size.key))
