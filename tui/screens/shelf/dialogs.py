"""Count one bin: a small form over the shelf. It hands back what was typed and writes nothing itself."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from tui.screens.closing import Sheet
from tui.screens.shelf.amounts import read_amount
from tui.screens.shelf.lines import opened, words
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.shelf import StockRow

CANCEL = Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="form.cancel")


class CountForm(Sheet[int | None]):
    """How much is in the bin now? Hands back pieces or microlitres."""

    BINDINGS: ClassVar[list[BindingType]] = [CANCEL]

    def __init__(self, row: StockRow) -> None:
        super().__init__()
        self._row = row

    def compose(self) -> ComposeResult:
        """What is counted, what was thought, the field."""
        row = self._row
        thought = (
            f"We think {words(row.on_hand, row.counted_in)}, {words(row.promised, row.counted_in)} of them promised."
        )
        if row.opened:
            thought += f" By the ledger: {opened(row)}."
        with Vertical(classes="sheet"):
            yield Static(f"Count {clean(row.item_name)} in bin {clean(row.bin_code)}", classes="title", markup=False)
            yield Static(thought, markup=False)
            hint = "how many are there" if row.counted_in == "each" else "how much, e.g. 3.5 L or 1 gal"
            yield Input(placeholder=hint, max_length=40, id="counted")
            yield Static("", id="count-error", classes="error", markup=False)
        yield Static("Enter books the count · Esc cancels", classes="sheet-keys", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the answer."""
        counted, error = read_amount(event.value, self._row.counted_in, least=0)
        if error:
            self.query_one("#count-error", Static).update(f"! {error}")
        else:
            self.dismiss(counted)

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
