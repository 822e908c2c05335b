"""A table for long lists: it draws only the lines on screen, so 100,000 rows cost what 40 do."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from typing import ClassVar, Final, NamedTuple

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import BindingType
from textual.cache import LRUCache
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widget import Widget

from tui.bound import bind
from tui.widgets.cells import clean, fit

READING: Final = "Reading …"
UNREAD: Final = "The workshop could not be read."
ANNOTATED: Final = ("¶", "+")
"""The mark of a row that has a picture or a note; and the same in plain letters."""


class Column(NamedTuple):
    """A column: heading, width in cells, alignment, and how soon it gives way when there is no room (0 = never).

    The first column with `grow` takes the cells that are left over.
    """

    title: str
    width: int
    right: bool = False
    yields: int = 0
    grow: bool = False


class Row(NamedTuple):
    """One row's cells, in column order, and its tone: "", "dim", "good", "bad" or "head" (a heading in the list).

    `mark`: one cell before it, such as the one of what somebody else has just changed.
    """

    cells: Sequence[str]
    tone: str = ""
    mark: str = ""


class Rows(ScrollView, can_focus=True):
    """A list over a window: `count` rows, each fetched by `row(index)` only when its line is drawn.

    `loads`: its rows are read first, so nothing is known to be empty until they are shown; of a list that fills as one
    types, False.

    Posts `Highlighted` when the cursor moves and `Chosen` on a click on the highlighted row. Enter is the screen's, so
    that the key line can say what it does.
    """

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "rows--header",
        "rows--cursor",
        "rows--cursor-blurred",
        "rows--dim",
        "rows--good",
        "rows--bad",
        "rows--head",
    }
    DEFAULT_CSS = """
    Rows {
        overflow-x: hidden;
        overflow-y: scroll;
        scrollbar-size-vertical: 1;
        & .rows--header { text-style: bold; color: $text-muted; background: $panel; }
        & .rows--cursor { text-style: bold; color: $block-cursor-foreground; background: $block-cursor-background; }
        & .rows--cursor-blurred { text-style: bold; background: $primary 35%; }
        & .rows--dim { color: $text-muted; }
        & .rows--good { color: $text-success; }
        & .rows--bad { color: $text-warning; text-style: bold; }
        & .rows--head { text-style: bold; color: $text-accent; }
    }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        bind("up", "move(-1)", "Up", tooltip="One row up"),
        bind("down", "move(1)", "Down", tooltip="One row down"),
        bind("page-up", "page(-1)", "Page up", tooltip="One page up"),
        bind("page-down", "page(1)", "Page down", tooltip="One page down"),
        bind("first", "ends(0)", "First", tooltip="First row"),
        bind("last", "ends(1)", "Last", tooltip="Last row"),
    ]

    cursor: reactive[int] = reactive(0, repaint=False)

    class Highlighted(Message):
        """The cursor stands on another row, or other rows stand under it. `index` is -1 when the list is empty."""

        def __init__(self, rows: Rows, index: int) -> None:
            self.rows = rows
            self.index = index
            self._showing = rows.showings
            super().__init__()

        @property
        def is_past(self) -> bool:
            """Whether other rows are shown by now: what it says of a row is true of none, or of another one."""
            return self._showing != self.rows.showings

        @property
        def control(self) -> Rows:
            """The list."""
            return self.rows

    class Chosen(Highlighted):
        """The row was taken."""

    def __init__(
        self,
        columns: Sequence[Column],
        *,
        empty: str = "Nothing here.",
        loads: bool = True,
        mark: str = "▸",
        id: str | None = None,  # noqa: A002 - Textual's own name for it
    ) -> None:
        super().__init__(id=id)
        self._columns = tuple(columns)
        self._shown: tuple[tuple[int, Column, int], ...] = ()
        self._row: Callable[[int], Row] = lambda index: Row(())
        self._count = 0
        self._strips: LRUCache[tuple[int, bool, bool], Strip] = LRUCache(512)
        self._styles: dict[str, Style] = {}
        self._mark = mark
        self._empty = empty
        self._known = not loads
        # How often rows were shown, so that a message knows whether it still speaks of these.
        self.showings = 0

    @property
    def empty(self) -> str:
        """What to say where there are no rows; while nobody knows that yet, that they are read."""
        return self._empty if self._known else READING

    @empty.setter
    def empty(self, words: str) -> None:
        self._empty = words
        self._known = True

    @property
    def count(self) -> int:
        """How many rows the list has."""
        return self._count

    def show(self, count: int, row: Callable[[int], Row], *, cursor: int = 0) -> None:
        """Show other rows. `row(index)` must be quick: it runs when a line is drawn."""
        self._count = count
        self._row = row
        self._known = True
        self.showings += 1
        self._strips.clear()
        self._make_room()
        self.cursor = max(0, min(cursor, count - 1))
        self._keep_cursor_in_view()
        self.refresh()
        self.post_message(self.Highlighted(self, self.cursor if count else -1))

    def renew(self) -> None:
        """Draw the rows anew where they stand: what they say has changed, neither their number nor their order."""
        self._strips.clear()
        self.refresh()

    def _make_room(self) -> None:
        """Tell the scrollbar how long the list is.

        Setting `virtual_size` itself would lay out and repaint the whole screen at every key of a filter. Nothing
        moves when the list gets longer, as the scrollbar is always there, so only the bar and the scroll limits follow.
        """
        size = Size(self.size.width, self._count + 1)
        self.set_reactive(Widget.virtual_size, size)
        self._scroll_update(size)

    def set_columns(self, columns: Sequence[Column]) -> None:
        """Use other headings, e.g. after the unit flipped."""
        self._columns = tuple(columns)
        self._lay_out()

    def _lay_out(self) -> None:
        """Choose the columns that fit, first those that never yield, and give the spare cells to the growing one."""
        room = self.scrollable_content_region.width - 2
        columns = list(enumerate(self._columns))
        while len(columns) > 1 and sum(column.width + 1 for _, column in columns) > room:
            weakest = max(columns, key=lambda pair: (pair[1].yields, pair[0]))
            if not weakest[1].yields:
                break
            columns.remove(weakest)
        spare = max(0, room - sum(column.width + 1 for _, column in columns))
        grower = next((index for index, column in columns if column.grow), -1)
        self._shown = tuple((i, column, column.width + (spare if i == grower else 0)) for i, column in columns)
        self._strips.clear()
        self.refresh()

    def on_resize(self, event: events.Resize) -> None:
        """Lay out for the new size."""
        self._make_room()
        self._lay_out()
        self._keep_cursor_in_view()

    def notify_style_update(self) -> None:
        """Forget styles of the old theme."""
        super().notify_style_update()
        self._styles.clear()
        self._strips.clear()

    def _style(self, name: str) -> Style:
        if name not in self._styles:
            self._styles[name] = self.get_component_rich_style(f"rows--{name}") if name else self.rich_style
        return self._styles[name]

    def render_line(self, y: int) -> Strip:
        """One line of the widget: the headings, a row, or nothing."""
        width = self.scrollable_content_region.width
        if y == 0:
            titles = [fit(column.title, cells, right=column.right) for _, column, cells in self._shown]
            return self._strip("  " + " ".join(titles), "header", width)
        index = self.scroll_offset.y + y - 1
        if index >= self._count:
            words = [] if self._count else textwrap.wrap(clean(self.empty), max(10, width - 3))
            return self._strip(f"  {words[y - 1]}" if y <= len(words) else "", "dim", width)
        selected = index == self.cursor
        key = (index, selected, self.has_focus)
        strip = self._strips.get(key)
        if strip is None:
            strip = self._strips[key] = self._draw(index, selected, width)
        return strip

    def _draw(self, index: int, selected: bool, width: int) -> Strip:
        row = self._row(index)
        cells = [
            fit(row.cells[i] if i < len(row.cells) else "", cells, right=column.right)
            for i, column, cells in self._shown
        ]
        name = row.tone
        if selected:
            name = "cursor" if self.has_focus else "cursor-blurred"
        lead = (self._mark if selected else " ") + (row.mark or " ")
        return self._strip(lead + " ".join(cells), name, width)

    def _strip(self, text: str, name: str, width: int) -> Strip:
        style = self._style(name)
        return Strip([Segment(fit(text, width), style)], width)

    def watch_cursor(self, old: int, new: int) -> None:
        """Redraw the row left and the row reached."""
        if old != new:
            self.refresh_line(old + 1)
            self.refresh_line(new + 1)

    def watch_has_focus(self, value: bool) -> None:
        """Redraw the cursor as focused or not."""
        super().watch_has_focus(value)
        self.refresh_line(self.cursor + 1)

    def move_to(self, index: int) -> None:
        """Put the cursor on a row and bring it into view."""
        index = max(0, min(index, self._count - 1))
        if index == self.cursor or not self._count:
            return
        self.cursor = index
        self._keep_cursor_in_view()
        self.post_message(self.Highlighted(self, index))

    def _keep_cursor_in_view(self) -> None:
        body = max(1, self.scrollable_content_region.height - 1)
        top = self.scroll_offset.y
        if self.cursor < top:
            target = self.cursor
        elif self.cursor >= top + body:
            target = self.cursor - body + 1
        else:
            return
        self.scroll_to(y=target, animate=False, force=True)

    def action_move(self, step: int) -> None:
        """Move the cursor by rows."""
        self.move_to(self.cursor + step)

    def action_page(self, step: int) -> None:
        """Move the cursor by a page."""
        self.move_to(self.cursor + step * max(1, self.scrollable_content_region.height - 2))

    def action_ends(self, last: int) -> None:
        """Move the cursor to the first or the last row."""
        self.move_to(self._count - 1 if last else 0)

    def on_click(self, event: events.Click) -> None:
        """Take what was clicked."""
        offset = event.get_content_offset(self)
        if offset is None or offset.y == 0:
            return
        index = self.scroll_offset.y + offset.y - 1
        if index < self._count:
            if index == self.cursor:
                self.post_message(self.Chosen(self, index))
            else:
                self.move_to(index)
