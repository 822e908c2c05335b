"""What fitted is noted at a position: rubber, hardness, a word on it. What differs from the record is asked first."""

from __future__ import annotations

from typing import Any, ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Label, Static

from catalog import orings
from tui.bound import bind
from tui.fields.field import Asked, Field, FieldError
from tui.fields.fits import FIT_HARDNESS, FIT_NOTE, FIT_RUBBER
from tui.fields.words import in_a_form
from tui.screens.closing import Sheet
from tui.screens.one_page import OnePage
from tui.widgets.error_line import ErrorLine
from tui.widgets.filter_input import FilterInput


class Words(NamedTuple):
    """What is noted besides size, readings and groove."""

    rubber: str
    hardness_shore_a: int | None
    note: str


class NoteFit(OnePage, Sheet[Words | None]):
    """Enter notes it, Esc changes nothing. `question` is what does not agree with the record, "" where all does."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "cancel", "Cancel", tooltip="Change nothing", id="fit.cancel"),
        bind("take", "accept", "Note it", tooltip="Note that this ring fitted", id="fit.accept"),
    ]
    AUTO_FOCUS = "#fit-rubber"

    def __init__(self, title: str, question: str, rubber: str, hardness: str) -> None:
        super().__init__()
        self._title = title
        self._question = question
        self._rubber = rubber
        self._hardness = hardness

    def compose(self) -> ComposeResult:
        """The title, the question, the fields."""
        with Vertical(classes="sheet"):
            yield Static(self._title, classes="fit-title", markup=False)
            if self._question:
                yield Static(f"? {self._question}", classes="error", markup=False)
            with Horizontal(classes="fit-line"):
                yield self._label(FIT_RUBBER)
                yield FilterInput(self._rubber, placeholder=FIT_RUBBER.what, max_length=40, id="fit-rubber")
            with Horizontal(classes="fit-line"):
                yield self._label(FIT_HARDNESS)
                yield FilterInput(self._hardness, placeholder=FIT_HARDNESS.what, max_length=10, id="fit-hardness")
            with Horizontal(classes="fit-line"):
                yield self._label(FIT_NOTE)
                yield FilterInput(placeholder=FIT_NOTE.what, max_length=FIT_NOTE.longest, id="fit-note")
            yield ErrorLine(id="fit-error")
        yield Static(
            "Enter notes it; the old record stays · Tab: next field · Esc cancels",
            classes="sheet-keys", markup=False,
        )  # fmt: skip

    def on_input_changed(self) -> None:
        """Say when no table here knows the rubber: it may be a slip."""
        rubber = self.query_one("#fit-rubber", Input).value.strip()
        unknown = rubber and not orings.rubber_tables.is_family(rubber)
        said = f"? {rubber} is not a rubber in our tables. Enter keeps it as typed." if unknown else ""
        self.query_one(ErrorLine).say(said, self.query_one("#fit-rubber"))

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)

    def action_accept(self) -> None:
        """Hand back the words, or say what is wrong."""
        values: dict[str, Any] = {}
        for one in (FIT_RUBBER, FIT_HARDNESS, FIT_NOTE):
            try:
                values[one.name] = one.from_text(self.query_one(f"#fit-{one.name}", Input).value, Asked())
            except FieldError as problem:
                field = self.query_one(f"#fit-{one.name}", Input)
                self.query_one(ErrorLine).say(f"! {one.label}: {in_a_form(str(problem))}", field)
                field.focus()
                return
        self.dismiss(Words(values["rubber"], values["hardness"], values["note"]))

    @staticmethod
    def _label(one: Field[Any]) -> Label:
        return Label(f"{one.label:<9}", markup=False)
