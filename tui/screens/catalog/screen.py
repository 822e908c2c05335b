"""Catalog: ring sizes, fluids, elements, media, threads, ports, seals and grooves, narrowed as you type."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Final, NamedTuple

from textual import work
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Static

import tui
from tui import screens
from tui.bound import bind
from tui.keys import key
from tui.screens.area import SHARED
from tui.screens.bands import ANSWER
from tui.screens.catalog.elements import Known
from tui.screens.catalog.entries import called, narrow, words
from tui.screens.catalog.on_shelf import ShelfIndex, free_cell, shelf_line
from tui.screens.catalog.picture import Frame
from tui.screens.catalog.tables import GROOVES, ON_SHELF, PORTS, TABLES, Table
from tui.screens.measure.result import size_both
from tui.screens.operating import Operating, keys_of
from tui.widgets.answer_band import CUT_SHOWN_BY, AnswerBand, Told
from tui.widgets.cells import clean
from tui.widgets.choice import Choice
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from tui.operations.operation import Operation


PICTURE_ROWS: Final = 14
"""How high the picture over the words is, where they stand beside the list."""
SHEET_COLUMNS: Final = 56


class Asked(NamedTuple):
    """What the rows in sight answer: the table, the text, the group."""

    table: str = ""
    text: str = ""
    group: str = ""


def _enter(name: str) -> list[BindingType]:
    """Enter, which puts what can be needed on a kit and shows any other row in full; the screen says which holds."""
    return [
        bind("take", f"{name}accept", "Put on a kit", show=True,
             tooltip="Put the size, class, element or thread on a kit"),
        bind("take", f"{name}full", "In full", show=True, tooltip="The row with its sources"),
    ]  # fmt: skip


class SizeFilter(FilterInput):
    """The filter; its Enter is the list's. A question mark stays the screen's: nothing in the tables has it."""

    BINDINGS: ClassVar[list[BindingType]] = _enter("screen.")

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Leave the question mark alone."""
        return character != "?" and super().check_consume_key(key, character)


class CatalogScreen(Operating):
    """Which table, a filter, the list, and the highlighted row in full."""

    AREA = "catalog"
    OPERATES = "sizes"
    LIST = "#sizes"
    PAGE = Path(__file__).with_name("catalog.md")
    CSS_PATH: ClassVar = [SHARED, "catalog.tcss"]
    AUTO_FOCUS = "#filter"
    BINDINGS: ClassVar[list[BindingType]] = [
        *_enter(""),
        bind("turn", "table", "Table", show=True, id="catalog.table",
             tooltip="The next table: rings, fluids, filters, media, threads, ports, seals or grooves"),
        bind("all", "series", "Series", show=True, id="catalog.series", tooltip="Only one series or family, or all"),
        bind("clear", "clear", "Clear", show=True, id="catalog.clear", tooltip="Empty the filter"),
        bind("why", "picture", "Why", show=True, priority=True, id="catalog.picture",
             tooltip="The row in full: its picture, and all that is known of it with its sources"),
        bind("search", "find", "Filter", id="catalog.find", tooltip="Type in the filter"),
        *keys_of("sizes"),
        *keys_of("port"),
        *keys_of("groove"),
    ]  # fmt: skip

    def __init__(self) -> None:
        super().__init__()
        self._all: Sequence[Any] = ()
        self._own: Sequence[Any] = ()
        self._tables: Sequence[Any] = ()
        self._kept: Sequence[Any] = ()
        self._asked = Asked()
        self._table = TABLES[0]
        self._typed: dict[str, str] = {}
        self._shelf = ShelfIndex()
        self._loading = True

    def body(self) -> Iterable[Widget]:
        """The answer; table, filter and series; the list, and what more there is of the row with its picture."""
        yield AnswerBand(id=ANSWER)
        yield Choice([table.name.capitalize() for table in TABLES], id="table")
        with Horizontal(id="top"):
            yield SizeFilter(placeholder=self._table.hint, max_length=80, id="filter")
            yield Static(id="count", markup=False)
        for table in TABLES:
            groups = Choice([word for word, _ in table.groups], id=f"groups-{table.name}")
            groups.display = table is self._table
            yield groups
        # No container around the two: each one around the list is painted again with it at every key.
        yield Rows(self._columns(), empty="Reading the tables …", id="sizes")
        yield Told(cut=CUT_SHOWN_BY, id="detail")

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.watch(self.app, "unit", self._unit_flipped, init=False)
        self._load()

    def _columns(self) -> list[Column]:
        columns = self._table.columns(self.kitwright.unit)
        return columns if self._table.key is None else [*columns, ON_SHELF]

    @property
    def _groups(self) -> Choice:
        return self.query_one(f"#groups-{self._table.name}", Choice)

    @work(exclusive=True, group="load")
    async def _load(self) -> None:
        table = self._table
        rows = await self.in_turn(table.load)
        if table is not self._table:
            return
        self._loading = False
        self.rows.empty = f"No {table.one} matches. {key('clear')} clears the filter."
        if table.none:
            self.rows.empty = "Reading what the shop has and its suppliers list …"
        self._own = ()
        self._tables = rows
        self._show_all(rows)
        self._read_own()
        self._read_shelf()

    @work(exclusive=True, group="shelf")
    async def _read_shelf(self) -> None:
        """What lies on the shelf: one statement for all rows of all tables, read beside them."""
        self._shelf = await self.in_turn(self._look_on_shelf)
        self.rows.show(len(self._kept), self._row, cursor=self.rows.cursor)

    def _look_on_shelf(self) -> ShelfIndex:
        return self.kitwright.workshop.on_hand(ShelfIndex) or ShelfIndex()

    def _show_all(self, rows: Sequence[Any]) -> None:
        self._all = rows
        self._asked = Asked()
        self._kept = rows
        self._filter()

    @work(exclusive=True, group="own")
    async def _read_own(self) -> None:
        """What the shop adds to the table, before its rows; the tables do not wait for the workshop."""
        table = self._table
        if table.own is None or self._loading:
            return
        workshop = self.kitwright.workshop
        if table.glances:
            found: Sequence[Any] | None = await self.in_turn(table.own, workshop)
        else:
            found = await self.ask(table.own, workshop, quiet=True)
        if table is not self._table:
            return
        if found is None:
            if table.glances:
                self.say(
                    f"The shop's own {table.what} could not be read: only the built-in ones are listed. "
                    "To see what is wrong: kitwright check",
                    trouble=True,
                )
            return
        if table.none:
            self.rows.empty = f"No {table.one} matches. {key('clear')} clears the filter." if found else table.none
            self.rows.refresh()
        if found != self._own:
            self._own = found
            # A row that the shop confirms or corrects stands there once, as the shop has it.
            same = table.same
            said = {same(one) for one in found} if same is not None else set()
            self._show_all((*found, *(one for one in self._tables if same is None or same(one) not in said)))

    def workshop_changed(self) -> None:
        """The shop may say something else of itself now."""
        self._read_own()
        self._read_shelf()

    def _filter(self) -> None:
        """Narrow in the same breath as the key: 1,800 rows take a third of a millisecond, too little to hand over."""
        text = self.query_one("#filter", Input).value
        group = self._table.groups[self._groups.index][1]
        before = self._asked
        # A longer text of the same beginning can only keep some of what was kept.
        same = before.table == self._table.name and group == before.group and before.text
        among = self._kept if same and text.startswith(before.text) else self._all
        self._kept = narrow(among, words(text), group)
        self._asked = Asked(self._table.name, text, group)
        more = "+" if isinstance(self._own, Known) and self._own.cut else ""
        count = f"{len(self._kept):,} of {len(self._all):,}{more} {self._table.what}"
        # The places have fixed sizes: no layout at every key.
        self.query_one("#count", Static).update(count, layout=False)
        self.rows.show(len(self._kept), self._row, cursor=called(self._kept, text))

    def _row(self, index: int) -> Row:
        entry = self._kept[index]
        row = self._table.row(entry, self.kitwright.unit)
        if self._table.key is None:
            return row
        cell = free_cell(self._shelf.lying(self._table.key(entry)), self.kitwright.units.volume)
        return row._replace(cells=(*row.cells, cell))

    @property
    def chosen(self) -> Any | None:
        """The highlighted row."""
        index = self.rows.cursor
        return self._kept[index] if 0 <= index < len(self._kept) else None

    def on_input_changed(self) -> None:
        """Follow the text as it is typed."""
        self._filter()

    def on_choice_changed(self, event: Choice.Changed) -> None:
        """Follow the choice."""
        if event.choice.id == "table":
            self._turn_to(TABLES[event.choice.index])
        else:
            self._filter()

    def on_rows_highlighted(self) -> None:
        """Show what belongs to the highlighted row: beside the list its picture first, beneath it the words alone."""
        beside = self.has_class("-wide")
        self.query_one(AnswerBand).show(self._answer())
        self.query_one("#detail", Static).update(self._more(PICTURE_ROWS if beside else 0), layout=False)

    def _answer(self) -> list[Content]:
        """What the row is, and what of it lies on the shelf."""
        chosen, table = self.chosen, self._table
        if chosen is None:
            return []
        unit = self.kitwright.unit
        lines = table.detail(chosen, unit).split("\n")[:1]
        if table.kit and lines:
            lines[0] = Content.assemble(lines[0], f"  {size_both(chosen.size, unit)}")
        if table.key is not None:
            lines.append(shelf_line(self._shelf, table.key(chosen), self.kitwright.units.volume))
        return lines

    def _about(self, picture_rows: int, columns: int) -> Content:
        """All of it: the answer, the picture, what is known of the row."""
        return Content("\n").join([*self._answer(), self._more(picture_rows, columns)])

    def _more(self, picture_rows: int, columns: int = 0) -> Content:
        """The picture over what is known of the row beside the answer."""
        chosen, table = self.chosen, self._table
        if chosen is None:
            return Content("")
        parts = []
        if picture_rows:
            columns = columns or max(20, self.query_one("#detail", Static).content_size.width)
            frame = Frame(columns, picture_rows, self.kitwright.unit, bool(self.kitwright.plain_glyphs))
            parts += [Content(clean(line)) for line in table.picture(chosen, frame)]
            parts.append(Content(""))
        return Content("\n").join([*parts, *table.detail(chosen, self.kitwright.unit).split("\n")[1:]])

    def on_resize(self) -> None:
        """Beside the list or beneath it there is another room for the row."""
        self.call_after_refresh(self.on_rows_highlighted)

    def on_rows_chosen(self) -> None:
        """Take the row."""
        if self._table.on_kit:
            self.action_accept()
        else:
            self.action_full()

    def _unit_flipped(self) -> None:
        self.rows.set_columns(self._columns())
        self.on_rows_highlighted()

    def _turn_to(self, table: Table) -> None:
        """Show another table; what was typed over this one is there again when it comes back."""
        field = self.query_one("#filter", Input)
        self._typed[self._table.name] = field.value
        self._groups.display = False
        self._table = table
        self._groups.display = True
        self._all = self._kept = self._own = self._tables = ()
        self._loading = True
        self.rows.empty = "Reading the tables …"
        self.rows.show(0, self._row)
        self.rows.set_columns(self._columns())
        field.placeholder = table.hint
        with field.prevent(Input.Changed):
            field.value = self._typed.get(table.name, "")
        self.refresh_bindings()
        self._load()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What can be needed goes on a kit; what stands in another table is shown in full."""
        if action in ("accept", "full"):
            return self._table.on_kit == (action == "accept")
        if action == "operate" and parameters[1:]:
            # One key loads a table of what is shown; those of grooves are in the menu, whatever is shown.
            shown = {PORTS.name: "port", GROOVES.name: "groove"}.get(self._table.name, "sizes")
            return parameters[1] in ("groove", shown)
        return super().check_action(action, parameters)

    def typed(self, one: Operation) -> Mapping[str, str]:
        """The table that the highlighted size is of, where it is one of the shop's own."""
        chosen = self.chosen
        table = "" if chosen is None or self._table.own_table is None else self._table.own_table(chosen)
        is_groove = self._table is GROOVES
        return {"series": table} if one.name == "drop" and table and (one.area == "groove") is is_groove else {}

    def action_table(self) -> None:
        """The next table."""
        self.query_one("#table", Choice).action_step(1)

    def action_series(self) -> None:
        """The next series or family."""
        self._groups.action_step(1)

    def action_clear(self) -> None:
        """Empty the filter, and take what is typed next: in the list a digit is a key."""
        field = self.query_one("#filter", Input)
        field.value = ""
        self.set_focus(field)
        self._groups.index = 0

    def action_find(self) -> None:
        """Go to the filter."""
        self.query_one("#filter", Input).focus()

    def _catch_up(self) -> None:
        """A key may come before the text typed before it was looked for."""
        if self.query_one("#filter", Input).value != self._asked.text:
            self._filter()

    def next_words(self) -> str:
        """What Enter does with the row."""
        chosen = self.chosen
        if chosen is None:
            return ""
        name = chosen.size.label if self._table.kit else chosen.name
        return f"Enter puts {name} on a kit" if self._table.on_kit else f"Enter shows {name} in full"

    def action_accept(self) -> None:
        """Take the highlighted size, class, element or thread to a job."""
        self._catch_up()
        if self.chosen is not None:
            self._accept(self._table, self.chosen)

    def action_full(self) -> None:
        """Every line of the highlighted row with its source."""
        self._catch_up()
        if self.chosen is not None:
            self.app.push_screen(screens.catalog.full.full_sheet(self.chosen, plain=bool(self.kitwright.plain_glyphs)))

    def action_picture(self) -> None:
        """The highlighted row's picture with all that is known of it, on a sheet of its own."""
        self._catch_up()
        if self.chosen is not None:
            columns = max(30, min(SHEET_COLUMNS, self.size.width - 16))
            rows = max(6, min(PICTURE_ROWS, self.size.height - 12))
            self.app.push_screen(screens.asking.to_read("The row in full", self._about(rows, columns), name="picture"))

    @work(exclusive=True, group="accept")
    async def _accept(self, table: Table, entry: Any) -> None:
        """By the table that the row is of: another one may be open by the time that this begins."""
        if table.needed is not None:
            await screens.accept.accept_need(self, table.needed(entry), entry.name)
        else:
            await screens.accept.accept(self, tui.workshop.ChosenRing(entry.size.label, entry.size.key))
