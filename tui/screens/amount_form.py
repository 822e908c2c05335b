"""One quantity to type, and a reason where one is wanted: pick another amount, give back, use, scrap."""

from __future__ import annotations

from typing import ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Label, Static

from tui.screens.closing import Sheet
from tui.screens.shelf.amounts import read_amount
from tui.widgets.cells import clean


class Amount(NamedTuple):
    """What was typed: pieces or microlitres, and the reason."""

    quantity: int
    reason: str


class AmountForm(Sheet[Amount | None]):
    """Asks how much; `reason` names a second field, which must be filled where `must` is set. Esc changes nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="amount.cancel"),
    ]

    def __init__(
        self, title: str, detail: str, counted_in: str, *, value: str = "", reason: str = "", must: bool = False
    ) -> None:
        super().__init__()
        self._title = title
        self._detail = detail
        self._counted_in = counted_in
        self._value = value
        self._reason = reason
        self._must = must

    def compose(self) -> ComposeResult:
        """Title, what is known, the field or the two."""
        hint = "how many" if self._counted_in == "each" else "how much, as 3.5 L or 1 gal"
        with Vertical(classes="sheet"):
            yield Static(clean(self._title), classes="title", markup=False)
            yield Static(clean(self._detail), markup=False)
            yield Input(self._value, placeholder=hint, max_length=40, id="amount")
            if self._reason:
                yield Label(self._reason, markup=False)
                yield Input(max_length=500, id="reason")
            yield Static("", id="amount-error", classes="error", markup=False)
        keys = "Enter: next field, then books it" if self._reason else "Enter books it"
        yield Static(f"{keys} · Esc cancels", classes="sheet-keys", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Hand back what was typed, or say what is missing."""
        quantity, error = read_amount(self.query_one("#amount", Input).value, self._counted_in, least=1)
        if error:
            self._refuse("amount", error)
            return
        if self._reason and event.input.id == "amount":
            self.query_one("#reason", Input).focus()
            return
        reason = self.query_one("#reason", Input).value.strip() if self._reason else ""
        if self._must and not reason:
            self._refuse("reason", "Type a reason: it stays in the ledger.")
            return
        self.dismiss(Amount(quantity, reason))

    def _refuse(self, name: str, sentence: str) -> None:
        self.query_one("#amount-error", Static).update(f"! {sentence}")
        self.query_one(f"#{name}", Input).focus()

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
