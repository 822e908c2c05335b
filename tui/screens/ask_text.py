"""One question with one answer to type."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from tui.screens.closing import Sheet


class AskText(Sheet[str | None]):
    """`question` as title, `hint` under the field; Enter answers, Esc answers None. An empty answer is not taken."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="ask.cancel"),
    ]

    def __init__(self, question: str, hint: str, value: str = "") -> None:
        super().__init__()
        self._question = question
        self._hint = hint
        self._value = value

    def compose(self) -> ComposeResult:
        """Question, field, hint."""
        with Vertical(classes="sheet"):
            yield Static(self._question, classes="title", markup=False)
            yield Input(self._value, max_length=200, id="ask-text")
            yield Static(self._hint, classes="quiet", markup=False)
            yield Static("", id="ask-error", classes="error", markup=False)
        yield Static("Enter answers · Esc cancels", classes="sheet-keys", markup=False)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the answer, or say that there is none."""
        if event.value.strip():
            self.dismiss(event.value.strip())
        else:
            self.query_one("#ask-error", Static).update("! Nothing is typed. Type an answer, or press Esc.")

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
