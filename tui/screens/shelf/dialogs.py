"""Count and receive: small forms over the shelf. They hand back what was typed and write nothing themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Label, Static

from tui.deliveries import Delivery
from tui.screens.shelf.amounts import read_amount
from tui.screens.shelf.lines import words
from tui.widgets.cells import clean
from tui.widgets.filter_input import FilterInput
from tui.widgets.rows import Column, Row, Rows

if TYPE_CHECKING:
    from models.shelf import StockRow

CANCEL = Binding("escape", "cancel", "Cancel", tooltip="Change nothing", id="form.cancel")


class CountForm(ModalScreen[int | None]):
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


class ReceiveForm(ModalScreen[Delivery | None]):
    """What came in, into which bin, how much. Known items are offered; another name makes a new item."""

    BINDINGS: ClassVar[list[BindingType]] = [
        CANCEL,
        Binding(
            "enter", "next", "Next", priority=True, tooltip="Next field; on the last one, book it", id="receive.next"
        ),
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
    ]

    def __init__(self, names: dict[str, str], bins: tuple[str, ...], row: StockRow | None) -> None:
        """`names`: item names known, each with what it is counted in."""
        super().__init__()
        self._names = names
        self._bins = bins
        self._row = row
        self._offered: list[str] = []

    def compose(self) -> ComposeResult:
        """Three fields and the list that goes with the first two."""
        row = self._row
        with Vertical(classes="sheet", id="receive"):
            yield Static("Receive", classes="title", markup=False)
            yield Label("Item", markup=False)
            yield FilterInput(row.item_name if row else "", placeholder="its name, or a size such as AS568-214",
                              max_length=200, id="item")  # fmt: skip
            yield Label("Bin", markup=False)
            yield FilterInput(row.bin_code if row else "", placeholder="the code on the bin", max_length=200, id="bin")
            yield Label("How much", markup=False)
            yield FilterInput(placeholder="pieces, or a volume such as 5 gal", max_length=40, id="quantity")
            yield Rows([Column("Known", 20, grow=True)], empty="", id="offers")
            yield Static("", id="receive-error", classes="error", markup=False)
        yield Static(
            "Enter: next field, then book · ↓ takes an offer · Esc cancels", classes="sheet-keys", markup=False
        )

    def on_mount(self) -> None:
        """Set up once the widget is on screen."""
        self.query_one("#quantity" if self._row else "#item", Input).focus()

    def on_descendant_focus(self) -> None:
        """Remember which field is in hand."""
        self._offer()

    def on_input_changed(self) -> None:
        """Follow the text as it is typed."""
        self._offer()

    def _offer(self) -> None:
        """Offer known names for the field in hand; say what a new name will make."""
        focused = self.focused
        known: tuple[str, ...] = ()
        text = ""
        if isinstance(focused, Input) and focused.id in ("item", "bin"):
            text = focused.value.strip().casefold()
            known = tuple(self._names) if focused.id == "item" else self._bins
        found = [name for name in known if all(word in name.casefold() for word in text.split())][:50]
        self._offered = found if not (len(found) == 1 and found[0].casefold() == text) else []
        self.query_one("#offers").set_class(not self._offered, "spare")
        self.query_one("#offers", Rows).show(len(self._offered), lambda index: Row((self._offered[index],)), cursor=-1)

    def action_move(self, step: int) -> None:
        """Take the offer above or below into the field."""
        focused = self.focused
        if not self._offered or not isinstance(focused, Input):
            return
        rows = self.query_one("#offers", Rows)
        if focused.value in self._offered:
            rows.move_to(rows.cursor + step)
        with self.prevent(Input.Changed):
            focused.value = self._offered[rows.cursor]

    def action_page(self, step: int) -> None:
        """The offers are few: a page is a step."""
        self.action_move(step)

    def on_rows_chosen(self, event: Rows.Chosen) -> None:
        """Take the row."""
        for field in ("item", "bin"):
            if not self.query_one(f"#{field}", Input).value.strip():
                self.query_one(f"#{field}", Input).value = self._offered[event.index]
                return

    def action_accept(self) -> None:
        """The next field; on the last one, hand back the delivery or say what is missing."""
        order = ["item", "bin", "quantity"]
        focused = self.focused.id if self.focused is not None else None
        for name, ask in (("item", "Type what came in."), ("bin", "Type the code on the bin.")):
            if not self.query_one(f"#{name}", Input).value.strip() and (focused == name or focused == "quantity"):
                self._refuse(name, ask)
                return
        if focused in order[:2]:
            self.query_one(f"#{order[order.index(focused) + 1]}", Input).focus()
            return
        item = self.query_one("#item", Input).value.strip()
        counted_in = next((unit for name, unit in self._names.items() if name.casefold() == item.casefold()), "each")
        quantity, error = read_amount(self.query_one("#quantity", Input).value, counted_in, least=1)
        if error:
            self._refuse("quantity", error)
        else:
            self.dismiss(Delivery(item, self.query_one("#bin", Input).value.strip(), quantity))

    def _refuse(self, name: str, sentence: str) -> None:
        self.query_one("#receive-error", Static).update(f"! {sentence}")
        self.query_one(f"#{name}", Input).focus()

    def action_cancel(self) -> None:
        """Change nothing."""
        self.dismiss(None)
