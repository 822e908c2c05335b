"""One question that is answered by yes or no, before something is done that cannot be seen at once."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from tui.screens.closing import Sheet


class AskYes(Sheet[bool]):
    """Enter or y is yes; Esc or n is no."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,y", "answer(True)", "Yes", tooltip="Do it", id="ask.yes"),
        Binding("escape,n", "answer(False)", "No", tooltip="Change nothing", id="ask.no"),
    ]

    def __init__(self, question: str, detail: str) -> None:
        super().__init__()
        self._question = question
        self._detail = detail

    def compose(self) -> ComposeResult:
        """Question and what follows from it."""
        with Vertical(classes="sheet"):
            yield Static(self._question, classes="title", markup=False)
            yield Static(self._detail, markup=False)
        yield Static("Enter or Y: yes · Esc or N: no", classes="sheet-keys", markup=False)

    def action_answer(self, yes: bool) -> None:
        """Hand back the answer."""
        self.dismiss(yes)
