"""What each column of a supplier's file holds: proposed with the reason, corrected by keys, confirmed by Enter."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Static

import models
from models import supplier_lists
from tui.bound import bind
from tui.keys import plain
from tui.screens.closing import Sheet
from tui.screens.find.steps import step
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.supplier_lists.layout import Layout
    from models.supplier_lists.proposal import Proposal
    from models.supplier_lists.words import Field

WORDS = {"point": ".", "comma": ","}


class ConfirmColumns(Sheet["Layout | None"]):
    """Left and right change what the highlighted column holds, M the decimal mark; Enter confirms, Esc cancels."""

    BINDINGS: ClassVar[list[BindingType]] = [
        bind("leave", "cancel", "Cancel", tooltip="Change nothing", id="columns.cancel"),
        bind("take", "confirm", "Confirm", tooltip="Go on to the dry run", id="columns.confirm"),
        bind("before", "change(-1)", "Other field", tooltip="What the column holds: the one before"),
        bind("after", "change(1)", "Other field", tooltip="What the column holds: the next one"),
        bind("change", "mark", "Decimal mark", tooltip="Point or comma", id="columns.mark"),
    ]

    def __init__(self, file_name: str, proposal: Proposal, layout: Layout, *, remembered: bool) -> None:
        super().__init__()
        self._file_name = file_name
        self._proposal = proposal
        self._layout = layout
        self._remembered = remembered

    def compose(self) -> ComposeResult:
        """The columns, the decimal mark, what is wrong."""
        how = "as you confirmed it last time" if self._remembered else "as proposed"
        with Vertical(classes="sheet"):
            title = step(3, f"Columns of {clean(self._file_name)}, {how}")
            yield Static(title, classes="title", markup=False)
            yield Rows(
                [Column("Column", 14), Column("Holds", 14), Column("Sure", 5, right=True, yields=2),
                 Column("For example", 20, grow=True)],
                id="columns",
            )  # fmt: skip
            yield Static("", id="column-why", classes="quiet step", markup=False)
            yield Static("", id="column-mark", classes="step", markup=False)
            yield Static("", id="column-error", classes="error step", markup=False)
        keys = f"← → what it holds · {plain('change')} decimal mark · Enter dry run · Esc cancels"
        yield Static(keys, classes="sheet-keys", markup=False)

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one(Rows).focus()
        self._show()

    def _show(self) -> None:
        rows = self.query_one(Rows)
        rows.show(len(self._proposal.guesses), self._row, cursor=rows.cursor)
        mark = "comma, as 1.234,50" if self._layout.mark == "," else "point, as 1,234.50"
        self.query_one("#column-mark", Static).update(f"Decimal mark: {mark}")
        self.query_one("#column-error", Static).update("")

    def _field(self, at: int) -> tuple[Field, int | None]:
        found = next((column for column in self._layout.columns if column.at == at), None)
        return (found.field, found.from_packs) if found else (supplier_lists.words.Field.IGNORE, None)

    def _row(self, index: int) -> Row:
        guess = self._proposal.guesses[index]
        field, from_packs = self._field(guess.at)
        holds = f"{field} {from_packs}" if from_packs else "(left out)" if field == "ignore" else str(field)
        said = field == guess.field and from_packs == guess.from_packs
        sure = f"{guess.confidence * 100:.0f} %" if said and guess.confidence else ""
        header = guess.header or f"column {guess.at + 1}"
        return Row((header, holds, sure, " | ".join(guess.examples)), "dim" if field == "ignore" else "")

    def on_rows_highlighted(self, event: Rows.Highlighted) -> None:
        """Why the column is taken for that."""
        if event.index >= 0:
            guess = self._proposal.guesses[event.index]
            said = self._field(guess.at)[0] == guess.field
            self.query_one("#column-why", Static).update(clean(guess.why) if said else "changed by you")

    def action_change(self, step: int) -> None:
        """The next thing the column may hold. Another column that held it lets go."""
        guess = self._proposal.guesses[self.query_one(Rows).cursor]
        fields = [
            field
            for field in supplier_lists.words.Field
            if field is not supplier_lists.words.Field.PRICE_FROM or guess.from_packs
        ]
        at = fields.index(self._field(guess.at)[0]) if self._field(guess.at)[0] in fields else 0
        field = fields[(at + step) % len(fields)]
        from_packs = guess.from_packs if field is supplier_lists.words.Field.PRICE_FROM else None
        self._layout = self._layout.with_field(guess.at, field, from_packs)
        self._show()

    def action_mark(self) -> None:
        """The other decimal mark."""
        self._layout = self._layout._replace(mark="." if self._layout.mark == "," else ",")
        self._show()

    def action_confirm(self) -> None:
        """Go on, where the layout can be used."""
        try:
            self.dismiss(supplier_lists.layout.checked(self._layout))
        except models.errors.InvalidInputError as problem:
            self.query_one("#column-error", Static).update(f"! {problem}")

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
