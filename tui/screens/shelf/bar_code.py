"""Which bar code is on an item's pack: scanned or typed, its check digit looked at before it is taken."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from tui.screens.closing import Sheet
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from tui.scanning import Scanned


class AskBarCode(Sheet[str | None]):
    """Hands back the digits, checked. Esc changes nothing."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="code.cancel"),
    ]

    def __init__(self, item_name: str, code: str) -> None:
        super().__init__()
        self._item_name = item_name
        self._code = code

    def compose(self) -> ComposeResult:
        """The item and the field."""
        with Vertical(classes="sheet"):
            yield Static(clean(f"Bar code on the pack of {self._item_name}"), classes="title", markup=False)
            yield Input(self._code, placeholder="scan it, or type the digits under the bars", max_length=40, id="code")
            yield Static("", id="code-error", classes="error", markup=False)
        yield Static("Enter or a scan keeps it · Esc cancels", classes="sheet-keys", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the digits, or say what is wrong."""
        from catalog.gtin import GtinError, normalise

        try:
            self.dismiss(normalise(event.value).digits)
        except GtinError as problem:
            self.query_one("#code-error", Static).update(f"! {clean(str(problem))}")

    def scanned(self, found: Scanned) -> bool:
        """A scan is the answer."""
        if not found.gtin:
            return False
        self.dismiss(found.gtin)
        return True

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
