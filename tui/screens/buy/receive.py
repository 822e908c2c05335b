"""What came of an order: how many packs of one line, or all of it, and the bin. Hands back what was typed."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Label, Static

from tui.scanning import Takes
from tui.screens.buy.entries import packs
from tui.screens.closing import Sheet
from tui.widgets.cells import clean
from tui.widgets.taken import taken

if TYPE_CHECKING:
    from models.orders.listing import OrderLineView, OrderView


class Arrived(NamedTuple):
    """What was typed. `packs` None: all that is still to come of each line. An empty bin: where each item lies now."""

    packs: int | None
    bin_code: str
    lot_code: str
    expires_on: date | None


class LotField(Input):
    """A lot may be any digits, even those of a bar code."""

    TAKES_CODES: ClassVar = Takes.NONE


class ReceivePacks(Sheet[Arrived | None]):
    """One line with packs, bin, lot and last day; a whole order with the bin for what lies nowhere yet."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="came.cancel"),
        Binding("enter", "next", "Next", priority=True, tooltip="Next field; on the last one, book it", id="came.next"),
    ]

    def __init__(self, order: OrderView, line: OrderLineView | None) -> None:
        super().__init__()
        self._order = order
        self._line = line

    @property
    def _waiting(self) -> list[OrderLineView]:
        lines = self._order.lines if self._line is None else (self._line,)
        return [line for line in lines if line.waits]

    @property
    def _homeless(self) -> list[OrderLineView]:
        return [line for line in self._waiting if not line.bins]

    def compose(self) -> ComposeResult:
        """What is still to come, and the fields."""
        line = self._line
        with Vertical(classes="sheet", id="came"):
            what = f"{clean(line.name or line.number)}" if line else "all that is still to come"
            yield Static(f"Order {self._order.order_id}: {what}", classes="title", markup=False)
            if line is not None:
                waits = packs(line.waits, line.pack_quantity, line.counted_in)
                yield Label(f"Packs that came (still to come: {waits})", markup=False)
                yield Input(str(line.waits), max_length=9, id="came-packs")
            yield Label(self._bin_label(), markup=False)
            yield Input(self._bin_now(), placeholder="the code on the bin", max_length=200, id="came-bin")
            if line is not None:
                yield Label("Lot (may stay empty)", markup=False)
                yield LotField(max_length=200, id="came-lot")
                yield Label("Last day to use it, as 2029-06-30 (may stay empty)", markup=False)
                yield Input(max_length=10, id="came-expires")
            yield Static("", id="came-error", classes="error", markup=False)
        yield Static("Enter: next field, then book · Esc cancels", classes="sheet-keys", markup=False)

    def _bin_label(self) -> str:
        if self._line is not None:
            return "Bin"
        if self._homeless:
            names = ", ".join(clean(line.name or line.number) for line in self._homeless[:3])
            return f"Bin for what lies nowhere yet: {names}{' …' if len(self._homeless) > 3 else ''}"
        return "Bin (empty: each goes where it lies now)"

    def _bin_now(self) -> str:
        return self._line.bins[0] if self._line is not None and self._line.bins else ""

    async def action_next(self) -> None:
        """The next field; on the last one, hand back what was typed or say what is missing."""
        await taken(self.focused)
        fields = list(self.query(Input))
        focused = next((i for i, field in enumerate(fields) if field.has_focus), len(fields) - 1)
        if focused < len(fields) - 1:
            fields[focused + 1].focus()
        else:
            self._book()

    def _book(self) -> None:
        count: int | None = None
        place = self.query_one("#came-bin", Input).value.strip()
        lot, last = "", None
        if self._line is not None:
            text = self.query_one("#came-packs", Input).value.strip()
            if not (text.isascii() and text.isdigit() and 1 <= int(text) <= self._line.waits):
                self._refuse("came-packs", f"Type a whole number from 1 to {self._line.waits}.")
                return
            count = int(text)
            lot = self.query_one("#came-lot", Input).value.strip()
            day = self.query_one("#came-expires", Input).value.strip()
            try:
                last = date.fromisoformat(day) if day else None
            except ValueError:
                self._refuse("came-expires", "Type the day like 2029-06-30, or leave it empty.")
                return
        if not place and self._homeless:
            self._refuse("came-bin", "Type the code on the bin it goes to.")
            return
        self.dismiss(Arrived(count, place, lot, last))

    def _refuse(self, name: str, sentence: str) -> None:
        self.query_one("#came-error", Static).update(f"! {sentence}")
        self.query_one(f"#{name}", Input).focus()

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
