"""What a job used of a picked line, or what goes back: either is typed, the other follows."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Label, Static

from tui.screens.closing import Sheet
from tui.screens.kits.lines import amount
from tui.screens.shelf.amounts import read_amount
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.kitting.kit_view import LineView


class UsedForm(Sheet[int | None]):
    """Hands back how much goes back to the shelf, in the item's unit. Esc changes nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="used.cancel"),
    ]

    def __init__(self, line: LineView) -> None:
        super().__init__()
        self._line = line
        self._out = line.quantity - line.given_back

    def compose(self) -> ComposeResult:
        """What is out, and the two fields."""
        line, out = self._line, amount(self._out, self._line.counted_in)
        hint = "how many" if line.counted_in == "each" else "as 3.5 L or 2 gal"
        with Vertical(classes="sheet"):
            yield Static(clean(f"{line.item_name}: {out} is out"), classes="title", markup=False)
            yield Static(clean(f"The rest goes back into {line.bin_code}. The line stays picked."), markup=False)
            yield Label("The job used", markup=False)
            yield Input(placeholder=hint, max_length=40, id="used")
            yield Label("Or: so much goes back", markup=False)
            yield Input(placeholder=hint, max_length=40, id="back")
            yield Static("", id="used-error", classes="error", markup=False)
        yield Static("Enter books it · Tab: the other field · Esc cancels", classes="sheet-keys", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Hand back the rest, or say what is wrong."""
        unit = self._line.counted_in
        typed, error = read_amount(event.value, unit, least=0)
        if not error and typed > self._out:
            error = f"Only {amount(self._out, unit)} is out."
        back = self._out - typed if event.input.id == "used" else typed
        if not error and back < 1:
            error = "Then nothing goes back. Esc leaves it as it is."
        if error:
            self.query_one("#used-error", Static).update(f"! {error}")
        else:
            self.dismiss(back)

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
