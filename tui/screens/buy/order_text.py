"""One order's text to read, and to write for its supplier as PDF, CSV or mail text."""

from __future__ import annotations

import asyncio
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tui.screens.closing import Sheet
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.orders.listing import OrderView
    from tui.buying import Buying

KINDS = {"pdf": "application/pdf", "csv": "text/csv", "txt": "text/plain"}


class OrderText(Sheet[None]):
    """The mail's text; P, C and M write it as PDF, CSV and text."""

    DEFAULT_CSS = """
    OrderText #order-paper {
        width: 82; max-width: 100%; height: 1fr; background: $surface; padding: 0 1;
        scrollbar-size-vertical: 1; overflow-x: hidden;
    }
    OrderText #order-keys { width: 82; max-width: 100%; height: 1; background: $panel; color: $text-muted; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,t", "dismiss", "Close", tooltip="Back to the orders", id="order.close"),
        Binding("p", "write('pdf')", "Write PDF", tooltip="Write the order as a PDF", id="order.pdf"),
        Binding("c", "write('csv')", "Write CSV", tooltip="Write the order as CSV", id="order.csv"),
        Binding("m", "write('txt')", "Write text", tooltip="Write the mail's text", id="order.txt"),
    ]

    def __init__(self, buying: Buying, order: OrderView, text: str) -> None:
        super().__init__()
        self._buying = buying
        self._order = order
        self._text = text

    def compose(self) -> ComposeResult:
        """The text and the keys."""
        with VerticalScroll(id="order-paper"):
            yield Static(Content("\n".join(clean(line) for line in self._text.splitlines())))
        keys = " P PDF · C CSV · M mail text: to a file · arrows, PgDn scroll · Esc closes"
        yield Static(keys, id="order-keys", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#order-paper").focus()

    @work(exclusive=True, group="change")
    async def action_write(self, form: str) -> None:
        """Write it where the person says, or hand it to the browser."""
        from tui.saving import SaveError, save
        from tui.screens.ask_text import AskText
        from tui.sheets.fonts import PrintUnavailableError

        try:
            made = await asyncio.to_thread(self._buying.written, self._order, form)
        except PrintUnavailableError as missing:
            self._say(str(missing), trouble=True)
            return
        name = f"order-{self._order.order_id}.{form}"
        if self.app.is_web:
            self.app.deliver_binary(BytesIO(made), save_filename=name, mime_type=KINDS[form])
            self._say(f"Sent {name} to the browser.")
            return
        target = await self.app.push_screen_wait(
            AskText("Write the order to which file?", "A file there is replaced.", str(Path.cwd() / name))
        )
        if target is None:
            return
        try:
            file = await asyncio.to_thread(save, target, made)
        except SaveError as problem:
            self._say(str(problem), trouble=True)
        else:
            self._say(f"Wrote {clean(str(file))}")

    def _say(self, text: str, *, trouble: bool = False) -> None:
        self.notify(text, markup=False, timeout=10, severity="warning" if trouble else "information")
